"""Which lessons there are: those that come with the program, and what a file says of itself at a glance."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from ..base.errors import ChiparcError
from ..base.language import LANGUAGES, spoken
from ..base.places import shared
from ..documents.document_text import load_text
from ..documents.toml_lines import parse_toml
from .lesson_reading import FORMAT

ORDER = (
    *("which-way-is-which", "thickest-chip", "rubbing-and-heat", "pushed-or-pulled", "slack-table"),
    *("skin-and-exceptions", "chip-thinning", "chatter-heard"),
)
"""The lessons in the order in which they build on one another."""

_FORMAT = re.compile(rf'^\s*format\s*=\s*["\']{FORMAT}["\']', re.MULTILINE)


@dataclass(frozen=True, slots=True)
class LessonEntry:
    """A lesson in the list: name, file, what it says of itself, how long it takes.  Nothing of it is checked."""

    id: str
    file: Path
    title: str
    about: str
    minutes: float


def in_this_language(file: Path) -> Path:
    """One of our lessons in the language that is spoken, English where it is not there; another file as it is."""
    ours = shared("lessons")
    if file.parent not in (ours, *(ours / id for id in LANGUAGES)):
        return file
    own = ours / spoken.language.id / file.name
    return own if own.is_file() else ours / file.name


def is_lesson(text: str) -> bool:
    """Whether a document says that it is a lesson."""
    return _FORMAT.search(text) is not None


def glance(file: Path) -> LessonEntry | None:
    """What a file says of itself, read quickly; None for what is no lesson."""
    try:
        data = parse_toml(load_text(str(file)), str(file))
    except ChiparcError:
        return None
    if data.get("format") != FORMAT:
        return None
    scenes = data.get("scene")
    listed = [s.get("minutes") for s in scenes if isinstance(s, dict)] if isinstance(scenes, list) else []
    minutes = sum(float(m) for m in listed if isinstance(m, int | float))
    return LessonEntry(file.stem, file, str(data.get("title", file.stem)), str(data.get("about", "")), minutes)


@lru_cache(maxsize=4)
def _lessons_in(language: str) -> tuple[LessonEntry, ...]:
    files = {file.name: file for folder in ((), (language,)) for file in shared("lessons", *folder).glob("*.toml")}
    found = {each.id: each for file in files.values() if (each := glance(file)) is not None}
    return tuple(found[id] for id in (*ORDER, *sorted(found.keys() - set(ORDER))) if id in found)


def our_lessons(language: str = "") -> tuple[LessonEntry, ...]:
    """The lessons that come with the program, in their order; in English where a language does not have one.

    language : the one that is spoken unless given.  English lessons stand in ``shared/lessons``, those of another
    language in a folder of its name below it, under the same file names.
    """
    return _lessons_in(language or spoken.language.id)


def our_lesson(name: str, language: str = "") -> Path | None:
    """The file of one of our lessons; None if there is none of that name."""
    return next((each.file for each in our_lessons(language) if each.id == name), None)


def is_ours(file: Path) -> bool:
    """Whether a file is a lesson that comes with the program, in whichever language."""
    return shared("lessons") in file.absolute().parents
