"""``python3 tests steady``: along every slider of the window, where the verdict changes twice within a twentieth.

Takes the examples and random ordinary cuts (:func:`tests.usual_setups.ordinary`), some on a table with lost motion,
some with a skin, some with modes.  Either is a verdict too: climb, either, conventional are two changes.  A change is
looked for at every hundredth of the travel; two that may lie less than a twentieth apart are closed in on.  What lies
beyond a setup that is not legal is another stretch.
"""

from __future__ import annotations

import argparse
import itertools
import random
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from unittest.mock import patch

from core.advice import ladder
from core.advice.ladder import verdict
from core.base.errors import ChiparcError
from core.documents.materials import resolved
from core.documents.setup_examples import EXAMPLES
from core.setup.direction_change import with_diameter
from core.setup.setup import Setup
from core.setup.setup_limits import RANGES, check_setup
from core.setup.travel import ENDS, travel
from tests.usual_setups import ORDINARY_KINDS

TWENTIETH, PLACES, HALVINGS = 0.05, 100, 6

ALLOWED = 0.001
"""By how much less than a twentieth two changes may be told apart: what closing in leaves."""

NOT_OF_ONE_SIDE = ("cut.centre_offset_mm",)


@dataclass(frozen=True, slots=True)
class Twice:
    """Two changes less than a twentieth of the travel apart: where, and the three verdicts in their order."""

    name: str
    key: str
    first: float
    second: float
    said: tuple[str, str, str]

    def __str__(self) -> str:
        stretch = f"{self.first:.4f} to {self.second:.4f}"
        return f"{self.name:28s} {self.key:30s} {stretch}  {', '.join(self.said)}"


def moved(setup: Setup, key: str, share: float) -> Setup | None:
    """The setup with one figure at a share of its slider's travel, as the window sets it; None where not legal."""
    try:
        value = travel(setup, key).value_at(share)
        if key == "cutter.diameter_mm":
            changed = with_diameter(setup, value)
        else:
            changed = setup.with_keys({key: round(value) if RANGES[key].whole else value})
        check_setup(changed)
    except ChiparcError:
        return None
    return changed


def places_of(setup: Setup, key: str, low: float = 0.0, high: float = 1.0, count: int = PLACES) -> list[float]:
    """Shares of the travel at which to ask: hundredths, or each whole figure."""
    if RANGES[key].whole:
        way = travel(setup, key)
        count = round(way.high - way.low)
    return [low + (high - low) * i / count for i in range(count + 1)]


def closed_in(way: Callable[[float], str | None], low: float, high: float, said: str | None) -> float:
    """Where between two shares what is said at ``low`` ends."""
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if way(middle) == said else (low, middle)
    return high


def twice_along(name: str, setup: Setup, key: str, low: float = 0.0, high: float = 1.0) -> list[Twice]:
    """Where along a part of one slider the verdict changes twice within a twentieth."""

    def way(share: float) -> str | None:
        there = moved(setup, key, share)
        found = None if there is None else verdict(there)
        return None if found is None else found.direction

    places, whole = places_of(setup, key, low, high), RANGES[key].whole
    ways = [way(share) for share in places]
    changed = [i for i in range(1, len(ways)) if ways[i] != ways[i - 1]]
    found = []
    for i, j in itertools.pairwise(changed):
        said = (ways[i - 1], ways[i], ways[j])
        if None in said or places[j - 1] - places[i] > TWENTIETH:
            continue
        if whole:
            first, second = places[i], places[j]
        else:
            first, second = (closed_in(way, places[k - 1], places[k], ways[k - 1]) for k in (i, j))
        if second - first < TWENTIETH - ALLOWED:
            found.append(Twice(name, key, first, second, said))  # type: ignore[arg-type]
    return found


def keys_of(setup: Setup) -> tuple[str, ...]:
    """The figures of the setup that have a slider: those that are given."""
    return tuple(key for key in ENDS if key not in NOT_OF_ONE_SIDE and setup.value(key) is not None)


@contextmanager
def without_estimates() -> Iterator[None]:
    """Modes estimated from the beam choose no direction, and their draws take longer than all the rest."""
    with patch("core.advice.stability.with_modes", lambda setup: (setup, False)):
        yield
    # What was told so lacks a condition, and is kept.
    for kept in (ladder._drawn, ladder._steady):
        kept.cache_clear()


def cuts(count: int, seed: int) -> Iterator[tuple[str, Setup]]:
    """The one-sided examples, then so many ordinary cuts."""
    for each in EXAMPLES:
        yield each.id, resolved(each.setup())
    chance = random.Random(seed)
    for i, kind in zip(range(count), itertools.cycle(ORDINARY_KINDS), strict=False):
        yield f"ordinary {i}, {kind}", ORDINARY_KINDS[kind](chance)


def main(arguments: list[str]) -> int:
    """Scan, name what is found, count it by slider."""
    parser = argparse.ArgumentParser(prog="python3 tests steady", description=__doc__)
    parser.add_argument("--cuts", type=int, default=20, help="random ordinary cuts beside the examples")
    parser.add_argument("--seed", type=int, default=13)
    parser.add_argument("--only", default="", help="cuts whose name holds this")
    parser.add_argument("--keys", default="", help="sliders whose key holds this")
    chosen = parser.parse_args(arguments)
    counted: Counter[str] = Counter()
    sliders: Counter[str] = Counter()
    said: Counter[str] = Counter()
    with without_estimates():
        for name, setup in cuts(chosen.cuts, chosen.seed):
            decided = verdict(setup)
            if decided is None or chosen.only not in name:
                continue
            begun = time.process_time()
            said[decided.direction] += 1
            for key in keys_of(setup):
                if chosen.keys not in key:
                    continue
                sliders[key] += 1
                for twice in twice_along(name, setup, key):
                    counted[key] += 1
                    sys.stdout.write(f"{twice}\n")
                    sys.stdout.flush()
            sys.stdout.write(f"{name}: {decided.direction}, {time.process_time() - begun:.0f} s\n")
            sys.stdout.flush()
    for key, count in sliders.items():
        sys.stdout.write(f"{key:32s} {counted[key]:4d} in {count} cuts\n")
    total = sum(counted.values())
    sys.stdout.write(f"{total} in all; as they are set, the cuts are told {dict(said)}\n")
    return 1 if total else 0
