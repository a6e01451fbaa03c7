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
    """One setup of the gallery: its name, and the title of its document."""

    id: str
    title: str

    @property
    def file(self) -> Path:
        """Where its document lies."""
        return shared("setups", f"{self.id}.toml")

    @property
    def sentence(self) -> str:
        """What it shows, in one sentence: the line of its ``[show]``."""
        return _line(self.id)

    def setup(self) -> Setup:
        """The setup itself.  Raises DocumentError if the file has been damaged."""
        return load_setup(self.file)


@lru_cache(maxsize=64)
def _line(id: str) -> str:
    return example(id).setup().show.line


EXAMPLES: tuple[Example, ...] = (
    Example("boss", "Boss on a pump bracket"),
    Example("finishing-aluminium", "Finishing the side of an aluminium bracket"),
    Example("worn-finish", "Last pass on a stainless flange, worn edge"),
    Example("roughing-steel", "Roughing a steel bracket"),
    Example("slot-steel", "Slot for the clamp, in steel"),
    Example("facing-cast-iron", "Facing a cast-iron foot"),
    Example("thin-wall-aluminium", "Thin wall of an aluminium bracket"),
    Example("long-reach", "Long reach into a steel pocket"),
    Example("reach-soft-across", "Long reach, soft across the feed"),
    Example("reach-soft-along", "Long reach, soft along the feed"),
    Example("reach-alike", "Long reach, alike both ways"),
    Example("pocket-wall-titanium", "Pocket wall in titanium"),
    Example("flame-cut-plate", "Flame-cut edge of a base plate"),
    Example("groove-brass", "Wall of an oil groove in brass"),
    Example("facing-wide-steel", "Facing a steel base with a wide cutter"),
    Example("left-hand", "Mirror bracket with a left-hand cutter"),
    Example("runout-two-teeth", "Two teeth and a worn collet"),
    Example("slack-table", "Climbing on the old hand mill"),
)
"""All examples, in the order of the gallery; the first is the opening setup."""


@lru_cache(maxsize=1)
def _by_id() -> dict[str, Example]:
    return {each.id: each for each in EXAMPLES}


def example(id: str) -> Example:
    """The example of that name.  Raises KeyError for a name that is not in the gallery."""
    return _by_id()[id]
