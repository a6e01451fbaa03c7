"""The history of one point of the chart: how the cutter moves, what chip each tooth takes, what it sounds like.

With regeneration, loss of contact and runout, without helix, as :mod:`time_simulation` has it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from ..maths.arrays import Array
from ..setup.setup import Setup
from .estimated_modes import with_modes
from .regenerative_cut import regenerative_cut
from .stability import missing
from .time_record import Spectrum, TimeRecord, Waves, spectrum, waves
from .time_simulation import steps_for, turn_by_turn
from .verdict import Verdict
from .vibration_sound import Sound, sound

TURNS, FEWEST_TURNS = 40, 8
MOST_STEPS = 60_000
"""Steps of one history: some seconds beside the window."""

HEARD_SECONDS = 2.0
"""A sound is slowed until it lasts so long."""


@dataclass(frozen=True, slots=True, eq=False)
class CutHistory:
    """What a resolved setup did: ``turn`` of ``turns`` are worked out; the rest is None until all are.

    ``missing`` : why there is nothing ("" if there is).  ``estimated`` : modes from the beam.
    """

    setup: Setup
    estimated: bool
    missing: str = ""
    turn: int = 0
    turns: int = TURNS
    record: TimeRecord | None = None
    lines: Spectrum | None = None
    verdict: Verdict | None = None

    @property
    def done(self) -> bool:
        """Whether nothing follows."""
        return bool(self.missing) or self.record is not None

    def once_a_turn(self) -> Array:
        """Places (turns, 2), mm, each time that tooth 0 enters."""
        assert self.record is not None
        return self.record.once_a_turn()

    def last_waves(self) -> Waves:
        """The waves that tooth 0 met in its last whole passage."""
        assert self.record is not None
        return waves(self.record)

    def sound(self) -> Sound:
        """What it sounds like: the movement along the axis that moves more, slowed to be heard."""
        assert self.record is not None
        moved = self.record.displacement
        moving = int(moved.std(0).argmax())
        seconds = float(self.record.time[-1])
        return sound(moved[:, moving], float(self.record.time[1]), slowed=max(1.0, HEARD_SECONDS / seconds))


def cut_history(setup: Setup) -> Iterator[CutHistory]:
    """The history of a resolved setup, turn by turn; the last one has everything."""
    given, estimated = with_modes(setup)
    begun = CutHistory(setup, estimated)
    lacks = missing(given)
    if lacks is not None:
        yield replace(begun, missing=lacks.replace(" ", "_"))
        return
    cut, rpm, depth = regenerative_cut(given), setup.cut.spindle_speed_rpm, setup.cut.axial_engagement_mm
    # The spring of a deep cut is resolved as far as that costs no turns.
    affordable = cut.teeth * (MOST_STEPS // TURNS // cut.teeth)
    steps = min(steps_for(cut, rpm, depth), max(steps_for(cut, rpm, 0.0), affordable))
    turns = min(TURNS, MOST_STEPS // steps)
    if turns < FEWEST_TURNS:
        yield replace(begun, missing="too_long")
        return
    run = turn_by_turn(cut, rpm, depth, turns=turns, steps_per_turn=steps, record=0)
    while True:
        try:
            yield replace(begun, turn=next(run), turns=turns)
        except StopIteration as end:
            simulation = end.value
            break
    record = simulation.record
    assert record is not None
    yield replace(
        begun, turn=turns, turns=turns, record=record, lines=spectrum(record), verdict=simulation.verdicts[0]
    )
