"""What undo calls a step: an id of the words, told in whichever language is spoken when it is asked for."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from core.base.glossary import glossary
from core.base.words import inside, say

TERM = "term"
"""In place of a group of the words: the id is that of a term of the glossary."""


class StepName(NamedTuple):
    """The name of a step; steps of one name are alike, in every language.

    group, id : of the words; with the group :data:`TERM` of the glossary.
    """

    group: str
    id: str


OPENING = StepName("window", "opening")
"""A step that opens another document.  It is told with that document's name."""

DIRECTION = StepName("window", "direction_step")


@lru_cache(maxsize=64)
def step_words(name: StepName) -> str:
    """A step as it is called within a sentence, such as ``"radial width"``."""
    return inside(glossary()[name.id].word if name.group == TERM else say(name.group, name.id))
