"""Which way to mill this cut: a ladder of questions, of which the first that has a clear answer decides.

No score and no count.  The rungs are those of :mod:`core.setup.rungs`, in the order that the document asks for; each
asks its checks (:mod:`.checks`) and answers with the first that has an answer.  The last is custom: climb, on a
machine without lost motion (Kalpakjian and Schmid, Manufacturing engineering and technology, from memory).

The same is asked in 64 fixed draws of what is known only roughly (:mod:`.draws`).  With fewer than 48 that agree, or
where a figure that is moved a little on its slider would turn it (:mod:`.steadiness`), the verdict is "either: too
close to call".  What is not known is never safe: it stands as a condition in the headline.
A straddling cut has both halves and no choice of direction; its choice is the offset (:mod:`.offsets`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

import numpy as np

from ..effects.machine_limits import LOST_MOTION_SHARE, power_check, torque_check
from ..force.force_turn import force_turn
from ..setup.rungs import RUNGS
from ..setup.setup import Advice, Setup
from .checks import CHECKS_OF, Check, Way, check
from .draws import DRAWS, ENOUGH, INPUTS, Worlds, as_told, drawn
from .steadiness import turned_nearby

Answer = Literal["climb", "conventional", "not clear", "not known"]
Direction = Literal["climb", "conventional", "either"]


@dataclass(frozen=True, slots=True, eq=False)
class Rung:
    """One question: its ``answer``, the check that gave it (``by``, else ""), what is ``missing`` (document keys).

    ``asked`` is false where the person has switched it off.  ``clear_in`` of 64 draws answer alike, None where none
    were drawn.  ``out`` are directions that are excluded here, ``unsure`` those that something not told may exclude.
    """

    id: str
    answer: Answer
    by: str
    missing: tuple[str, ...]
    asked: bool
    clear_in: int | None
    checks: dict[str, Check]
    out: tuple[Way, ...] = ()
    unsure: tuple[Way, ...] = ()

    @property
    def number(self) -> int:
        """Its number on the usual ladder, from 1."""
        return RUNGS.index(self.id) + 1

    def state(self, way: Way) -> Literal["clear", "excluded", "not known", "not clear"]:
        """What the question says of one direction."""
        if self.answer == way:
            return "clear"
        if way in self.out or self.answer in ("climb", "conventional"):
            return "excluded"
        return "not known" if self.answer == "not known" or way in self.unsure else "not clear"


@dataclass(frozen=True, slots=True)
class Condition:
    """Under what the verdict holds: ``id`` of its words, and the document's keys that would settle it."""

    id: str
    keys: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Verdict:
    """What the ladder says of a cut.

    ``direction`` is either where it is too close to call; ``leaning`` is what the setup as it is told says, None
    where no rung that is asked has an answer.  ``rung`` decided, by ``by`` (a check, "" for custom).  ``stands_in``
    draws of 64, None without draws.  ``settles`` names the uncertain input that divides the draws most; ``turned_by``
    is the key of a figure that would turn the verdict if it were moved a little.
    """

    direction: Direction
    leaning: Way | None
    rung: str | None
    by: str
    stands_in: int | None
    conditions: tuple[Condition, ...]
    settles: str | None
    rungs: tuple[Rung, ...]
    turned_by: str | None = None

    @property
    def number(self) -> int | None:
        """Number of the rung that decided, 1 to 5."""
        return None if self.rung is None else RUNGS.index(self.rung) + 1

    @property
    def close(self) -> bool:
        """Whether it is too close to call."""
        return self.direction == "either" and self.leaning is not None


def _rung(id: str, setup: Setup, worlds: Worlds) -> tuple[Rung, np.ndarray]:
    """One rung, and its votes in every world."""
    checks = {name: check(name, setup, worlds) for name in CHECKS_OF[id]}
    votes = np.zeros(len(worlds.places), int)
    by = ""
    for name, found in checks.items():
        if not by and votes[0] == 0 and found.votes[0] != 0:
            by = name
        votes = np.where(votes == 0, found.votes, votes)
    if id == "custom":
        votes = np.ones_like(votes)
    missing = tuple(dict.fromkeys(key for found in checks.values() for key in found.missing))
    told = int(votes[0])
    answer: Answer = "climb" if told > 0 else "conventional" if told < 0 else "not known" if missing else "not clear"
    ways: tuple[Way, Way] = ("climb", "conventional")
    out = tuple(
        way for i, way in enumerate(ways) if any(c.out is not None and bool(c.out[i, 0]) for c in checks.values())
    )
    unsure = tuple(way for way in ways if any(way in c.unsure for c in checks.values()))
    clear_in = None if len(votes) == 1 else int((votes[1:] == told).sum())
    asked = id not in setup.advice.off
    return Rung(id, answer, by, () if told else missing, asked, clear_in, checks, out, unsure), votes


def _settles(votes: np.ndarray) -> str | None:
    """The uncertain input whose places differ most between the draws for climb and those for conventional."""
    climb = votes[1:] > 0
    if climb.all() or not climb.any():
        return None
    places = drawn().places[1:]
    apart = np.abs(places[climb].mean(axis=0) - places[~climb].mean(axis=0))
    return INPUTS[int(apart.argmax())]


def _pulls(setup: Setup, way: Way) -> bool:
    """Whether a direction pulls the table; where the force is not known climb is taken to."""
    turn = force_turn(setup.facing(way))
    return way == "climb" if turn is None else turn.fy.greatest > 0.0


def _chatters(way: Way, part: Rung) -> tuple[Condition, ...]:
    """Under what a direction may be milled that chatters, or may."""
    asked = part.checks["stability"]
    place = 0 if way == "climb" else 1
    if asked.out is not None:
        unstable = asked.out[place]
        if unstable[0]:
            return (Condition("unstable", ("cut.axial_engagement_mm",)),)
        if unstable[1:].sum() > DRAWS - ENOUGH:
            return (Condition("may_chatter", ("dynamics",)),)
    elif asked.why == "estimated" and way in asked.unsure:
        return (Condition("tap_test", ("dynamics",)),)
    return ()


def _conditions(setup: Setup, way: Way, machine: Rung, part: Rung) -> tuple[Condition, ...]:
    """Under what a direction may be milled on this machine."""
    conditions = []
    pull, told = machine.checks["pull"], setup.machine
    slack = None if told is None else told.backlash_mm
    if way in pull.unsure:
        keys = tuple(key for key in pull.missing if key.startswith("machine.")) or ("machine.backlash_mm",)
        conditions.append(Condition("no_lost_motion" if slack is None else "holds", keys))
    elif pull.out is not None and bool(pull.out[0 if way == "climb" else 1, 0]):
        conditions.append(Condition("slack_taken_out", ("machine.backlash_mm",)))
    elif slack is not None and slack > LOST_MOTION_SHARE * setup.cut.feed_per_tooth_mm and _pulls(setup, way):
        conditions.append(Condition("slack_held", ("machine.table_friction_n", "machine.feed_preload_n")))
    own = setup.facing(way)
    for id, limit, key in (
        ("power", power_check(own), "machine.power_kw"),
        ("torque", torque_check(own), "machine.torque_nm"),
    ):
        if limit is not None and limit.crossed:
            conditions.append(Condition(id, (key,)))
    return (*conditions, *_chatters(way, part))


def _worked_out(setup: Setup, worlds: Worlds) -> Verdict | None:
    if setup.cut.direction == "straddling":
        return None
    rungs, taken = [], np.zeros(len(worlds.places), int)
    decided, by = None, ""
    for id in setup.advice.whole_order:
        rung, votes = _rung(id, setup, worlds)
        rungs.append(rung)
        if not rung.asked:
            continue
        if decided is None and taken[0] == 0 and votes[0] != 0:
            decided, by = id, rung.by
        taken = np.where(taken == 0, votes, taken)
    leaning: Way | None = {1: "climb", -1: "conventional"}.get(int(taken[0]))  # type: ignore[assignment]
    stands_in = None if len(taken) == 1 else int((taken[1:] == taken[0]).sum()) if leaning else 0
    sure = leaning is not None and (stands_in is None or stands_in >= ENOUGH)
    machine, part = (next(rung for rung in rungs if rung.id == id) for id in ("machine", "part"))
    return Verdict(
        direction=leaning if sure and leaning is not None else "either",
        leaning=leaning,
        rung=decided,
        by=by,
        stands_in=stands_in,
        conditions=() if leaning is None else _conditions(setup, leaning, machine, part),
        settles=None if sure or len(taken) == 1 else _settles(taken),
        rungs=tuple(rungs),
    )


def _kept_by(setup: Setup) -> Setup:
    """Asked in either direction, under any title, the ladder says the same."""
    way = setup.cut.direction
    return replace(setup, title="", cut=replace(setup.cut, direction=way if way == "straddling" else "climb"))


@lru_cache(maxsize=64)
def _told(setup: Setup) -> Verdict | None:
    return _worked_out(setup, as_told())


@lru_cache(maxsize=256)
def _drawn(setup: Setup) -> Verdict | None:
    return _worked_out(setup, drawn())


@lru_cache(maxsize=256)
def _steady(setup: Setup) -> Verdict | None:
    found = _drawn(setup)
    if found is None or found.direction == "either":
        return found
    by = turned_nearby(setup)
    return found if by is None else replace(found, direction="either", turned_by=by)


def nominal_verdict(setup: Setup) -> Verdict | None:
    """What the ladder says if everything is as the setup tells; None for a straddling cut.  Fit for a drag."""
    return _told(_kept_by(setup))


def verdict_of_draws(setup: Setup) -> Verdict | None:
    """What the ladder says, with the draws alone; None for a straddling cut.

    What :func:`verdict` says until it has looked at what is near: soon enough for a hand that still moves.
    """
    return _drawn(_kept_by(setup))


def verdict(setup: Setup) -> Verdict | None:
    """What the ladder says, with the draws and with what is near; None for a straddling cut."""
    return _steady(_kept_by(setup))


def usual_ladder(setup: Setup) -> Setup:
    """The setup with every rung asked in the usual order."""
    return replace(setup, advice=Advice())


__all__ = ["DRAWS", "Condition", "Rung", "Verdict", "nominal_verdict", "usual_ladder", "verdict", "verdict_of_draws"]
