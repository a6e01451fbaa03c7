"""The gallery: setups that come with the program, all from one small shop that makes pump brackets."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from ..base.places import shared
from ..setup.setup import Setup
from .setup_document import load_setup


@dataclass(frozen=True, slots=True)
class Example:
    """One setup of the gallery: its name, the title of its document, and what it shows, in one sentence."""

    id: str
    title: str
    sentence: str

    @property
    def file(self) -> Path:
        """Where its document lies."""
        return shared("setups", f"{self.id}.toml")

    def setup(self) -> Setup:
        """The setup itself.  Raises DocumentError if the file has been damaged."""
        return load_setup(self.file)


EXAMPLES: tuple[Example, ...] = (
    Example(
        "boss",
        "Boss on a pump bracket",
        "The opening setup: a third of the width, climb; press D to see the other direction.",
    ),
    Example(
        "finishing-aluminium",
        "Finishing the side of an aluminium bracket",
        "A thin, tall finishing pass whose chip is much thinner than the feed per tooth.",
    ),
    Example(
        "worn-finish",
        "Last pass on a stainless flange, worn edge",
        "Chips too thin for a worn edge: it rubs all the way; sharpen the edge or raise the feed.",
    ),
    Example("roughing-steel", "Roughing a steel bracket", "Where force, torque and power come from in a heavy cut."),
    Example(
        "slot-steel",
        "Slot for the clamp, in steel",
        "A full slot is both directions in one turn: conventional on the left, climb on the right.",
    ),
    Example(
        "facing-cast-iron",
        "Facing a cast-iron foot",
        "A face mill set off the middle, whose 75 degree edge thins the chip.",
    ),
    Example(
        "thin-wall-aluminium",
        "Thin wall of an aluminium bracket",
        "So thin a chip with a strong edge force heats the climbing edge more; in a wider cut it no longer does.",
    ),
    Example(
        "long-reach",
        "Long reach into a steel pocket",
        "A slender cutter at part width: climbing leaves far more stock; shorten it, and both keep the tolerance.",
    ),
    Example(
        "pocket-wall-titanium",
        "Pocket wall in titanium",
        "Heat in the edge: short arcs, low speed, and the question of when the tooth is hottest.",
    ),
    Example(
        "flame-cut-plate",
        "Flame-cut edge of a base plate",
        "A hard skin on the outside: conventional breaks out through it, climb would strike it first.",
    ),
    Example(
        "groove-brass",
        "Wall of an oil groove in brass",
        "A 1 mm cutter whose chip is hardly thicker than its edge is blunt: look for the rubbing.",
    ),
    Example(
        "facing-wide-steel",
        "Facing a steel base with a wide cutter",
        "A 160 mm cutter with 120 mm of work in the middle: many teeth share the load.",
    ),
    Example(
        "left-hand",
        "Mirror bracket with a left-hand cutter",
        "The same figures in a mirror: what was on the right is on the left.",
    ),
    Example(
        "runout-two-teeth",
        "Two teeth and a worn collet",
        "One of two teeth takes the larger chip and makes the wall alone.",
    ),
    Example(
        "slack-table",
        "Climbing on the old hand mill",
        "The cut pulls a table with a slack screw: a case where climb is the wrong way.",
    ),
)
"""All examples, in the order of the gallery; the first is the opening setup."""


@lru_cache(maxsize=1)
def _by_id() -> dict[str, Example]:
    return {each.id: each for each in EXAMPLES}


def example(id: str) -> Example:
    """The example of that name.  Raises KeyError for a name that is not in the gallery."""
    return _by_id()[id]


def story(title: str) -> str:
    """What the example whose document has that title shows, in one sentence; empty for any other title."""
    return _stories().get(title, "")


@lru_cache(maxsize=1)
def _stories() -> dict[str, str]:
    return {each.title: each.sentence for each in EXAMPLES}
