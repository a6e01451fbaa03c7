"""A lesson as a value: scenes over setups, words to say, what to show, and predictions.  Nothing is computed here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ..setup.setup import Setup

Kind = Literal["pin", "choose", "order", "estimate"]
KINDS: tuple[Kind, ...] = ("pin", "choose", "order", "estimate")

PINS = {
    "entry": "engagement.entry_deg",
    "exit": "engagement.exit_deg",
    "thickest": "chip.arc.h_max_deg",
    "hottest": "heat.peak_deg",
}
"""What a pin on the clock ring may be put at, and the tooth angle of the report that answers it."""

PIN_NEAR_DEG, SHARE_NEAR = 10.0, 0.25
"""How far a pin may be off, degrees, and an estimate, as a share, and still count as near, unless a lesson says."""


@dataclass(frozen=True, slots=True)
class Option:
    """One thing to choose or to put in its place in an order.

    Either a cut of its own, ``setup``, of which the figure counts; or the range ``low`` to ``high`` or the word
    ``value`` that the figure of the scene's cut must have for this option to be the right one.
    """

    text: str
    setup: Setup | None = None
    low: float | None = None
    high: float | None = None
    value: str | bool | None = None


@dataclass(frozen=True, slots=True)
class Predict:
    """What learners are asked before they see it.

    figure : the key of the report that answers, of which cut with ``@``; for a pin one of PINS.  ``near``: degrees of
    a pin, share of an estimate.  ``wanted``: of options with cuts of their own, the one with the most or the least of
    the figure; of an order, what stands first.  ``why`` : the reason, told when the answer is revealed.
    """

    kind: Kind
    ask: str
    why: str
    figure: str
    near: float = 0.0
    wanted: Literal["most", "least"] = "most"
    options: tuple[Option, ...] = ()


@dataclass(frozen=True, slots=True)
class Scene:
    """One scene.  ``setup`` as its document has it, not resolved; its ``show`` is how the window shows it.

    say : what the teacher says; do : what the teacher does, not read out; holds : what the words claim, checked.
    """

    title: str
    minutes: float
    say: str
    setup: Setup
    do: str = ""
    holds: tuple[str, ...] = ()
    predict: Predict | None = None


@dataclass(frozen=True, slots=True)
class Lesson:
    """A whole lesson.

    about : one sentence for the list of lessons; caution : what is said before anything else, empty if nothing;
    tasks : ids of what its worksheet asks, empty for those that fit.
    """

    title: str
    about: str
    scenes: tuple[Scene, ...]
    caution: str = ""
    tasks: tuple[str, ...] = ()

    @property
    def minutes(self) -> float:
        """How long it takes."""
        return sum(scene.minutes for scene in self.scenes)

    def before(self, index: int) -> Setup | None:
        """The cut of the scene before; None for the first."""
        return self.scenes[index - 1].setup if index > 0 else None
