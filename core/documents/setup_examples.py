"""The gallery: setups that come with the program, all from one small shop that makes pump brackets."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from ..base.language import ENGLISH, LANGUAGES, spoken, texts
from ..base.places import shared
from ..setup.setup import Setup
from .setup_document import load_setup


@dataclass(frozen=True, slots=True)
class Example:
    """One setup of the gallery, by its name."""

    id: str

    @property
    def title(self) -> str:
        """The title of its document, in the language that is spoken."""
        return told(self.id)["title"]

    @property
    def file(self) -> Path:
        """Where its document lies."""
        return shared("setups", f"{self.id}.toml")

    @property
    def sentence(self) -> str:
        """What it shows, in one sentence: the line of its ``[show]``."""
        return _line(self.id)

    def setup(self) -> Setup:
        """The setup itself, its title and line in the language that is spoken.

        Raises DocumentError if the file has been damaged.
        """
        return self.in_words(_as_read(self.file))

    def in_words(self, setup: Setup) -> Setup:
        """This setup as it was read, its title and line in the language that is spoken."""
        words = told(self.id)
        line = words.get("line", setup.show.line)
        return replace(setup, title=words["title"], show=replace(setup.show, line=line))


@lru_cache(maxsize=64)
def _as_read(file: Path) -> Setup:
    return load_setup(file)


@lru_cache(maxsize=64)
def _line(id: str) -> str:
    return example(id).setup().show.line


@lru_cache(maxsize=4)
def _titles(language: str) -> dict[str, dict[str, str]]:
    return texts("examples", language)


def told(id: str) -> dict[str, str]:
    """What an example is called, and its line where the document has it in another language."""
    return {**_titles(ENGLISH.id)[id], **_titles(spoken.language.id).get(id, {})}


def in_this_language(setup: Setup) -> Setup:
    """An example that was opened in one language, titled in the one that is spoken now; else the setup itself."""
    for each in EXAMPLES:
        known = [_titles(id).get(each.id, {}) for id in LANGUAGES]
        if setup.title in [words.get("title") for words in known]:
            own = each.setup()
            lines = (load_setup(each.file).show.line, *(words.get("line") for words in known))
            line = own.show.line if setup.show.line in lines else setup.show.line
            return replace(setup, title=own.title, show=replace(setup.show, line=line))
    return setup


EXAMPLES: tuple[Example, ...] = tuple(map(Example, texts("examples", ENGLISH.id)))
"""All examples, in the order of the gallery; the first is the opening setup."""


@lru_cache(maxsize=1)
def _by_id() -> dict[str, Example]:
    return {each.id: each for each in EXAMPLES}


def example(id: str) -> Example:
    """The example of that name.  Raises KeyError for a name that is not in the gallery."""
    return _by_id()[id]
