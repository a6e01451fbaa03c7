"""A cut as a scene of a lesson document: what "capture" adds, and a new lesson to begin with."""

from __future__ import annotations

from dataclasses import replace

from ..base.words import say
from ..documents.setup_examples import EXAMPLES
from ..documents.setup_writing import mode_tables, setup_tables
from ..documents.toml_edit import toml_lines, toml_value
from ..setup.setup import Setup
from ..setup.show import Show
from .lesson_reading import FORMAT, VERSION


def _as_example(setup: Setup) -> str:
    """The example that this cut is; "" if it is none."""
    plain = replace(setup, show=Show())
    return next((each.id for each in EXAMPLES if replace(each.setup(), show=Show()) == plain), "")


def scene_block(setup: Setup, title: str = "") -> str:
    """A ``[[scene]]`` with this cut and its view, and words that ask to be replaced."""
    head = {"title": title or setup.title or say("lesson_editor", "scene_title"), "minutes": 2}
    known = _as_example(setup)
    text = "[[scene]]\n" + toml_lines(head)
    text += f"example = {toml_value(known)}\n" if known else ""
    text += f'say = """\n{say("lesson_editor", "scene_words")}\n"""\n'
    for path, values in setup_tables(setup).items():
        table = ".".join(map(str, path))
        if path[0] == "show":
            text += f"\n[scene.show]\n{toml_lines(values)}"
        elif not known:
            text += f"\n[scene.setup.{table}]\n{toml_lines(values)}"
    if not known:
        text += "".join(f"\n[[scene.setup.dynamics]]\n{toml_lines(mode)}" for mode in mode_tables(setup))
    return text


def with_scene(text: str, setup: Setup, title: str = "") -> str:
    """A lesson's text with a scene more at its end."""
    newline = "\r\n" if "\r\n" in text else "\n"
    return text.rstrip() + (newline * 2) + scene_block(setup, title).replace("\n", newline)


def new_lesson(setup: Setup) -> str:
    """A lesson of one scene, to go on from."""
    head = {
        "format": FORMAT,
        "version": VERSION,
        "title": say("lesson_editor", "new_title"),
        "about": say("lesson_editor", "new_about"),
    }
    return with_scene(toml_lines(head), setup)
