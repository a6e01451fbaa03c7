"""What a control of the hand-rail sets and how: its key, quantity, slider and words."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from app.controls.thinning_line import ThinningLine
from app.state.step_name import TERM, StepName
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.glossary import explained, glossary
from core.base.words import say
from core.setup.setup import Setup


@dataclass(frozen=True, slots=True)
class ControlSpec:
    """What a control sets and how: a document key, its quantity, the slider's range for a setup.

    factor : quantity's house unit per document unit (an edge radius is mm in the document, µm in hand).
    write : how a value gets into a setup where it takes more than the key itself.
    term : what explains it in the glossary, if not its quantity.
    brief : the note where what stands beside it would have no room.
    beside : makes what stands beside the note and can be clicked.
    optional : an emptied field takes the figure out of the setup, which then has ``left_out``.
    """

    key: str
    quantity: str
    low: Callable[[Setup], float]
    high: Callable[[Setup], float]
    logarithmic: bool = False
    factor: float = 1.0
    whole: bool = False
    figures: int = 3
    name: str = ""
    note: Callable[[Setup, str], str] | None = None
    write: Callable[[Setup, Any], Setup] | None = None
    share_of: Callable[[Setup], float] | None = None
    term: str = ""
    optional: bool = False
    left_out: float | None = None
    brief: Callable[[Setup, str], str] | None = None
    beside: Callable[[Workbench, ViewState], ThinningLine] | None = None
    carries: bool = False

    @property
    def word(self) -> str:
        """The control's name."""
        return say("control", self.name) if self.name else glossary()[self.term or self.quantity].word

    @property
    def step(self) -> StepName:
        """What undo calls a change by this control."""
        return StepName("control", self.name) if self.name else StepName(TERM, self.term or self.quantity)

    def put(self, setup: Setup, value: Any) -> Setup:
        """The setup with this figure at ``value``, in the document's unit; None takes an optional one out."""
        return self.write(setup, value) if self.write else setup.with_keys({self.key: value})

    @property
    def hint(self) -> str:
        """The control explained in one sentence."""
        return explained(self.term or self.quantity)
