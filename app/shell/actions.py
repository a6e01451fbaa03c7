"""The window's own commands: word, keys, menu, and what each calls.  Pages add theirs."""

from __future__ import annotations

import operator
from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING

from app.kit.look import theme_of
from app.pages.page import Action
from app.state.view_state import THEMES, UNITS
from core.base.language import LANGUAGES, language
from core.base.words import say

if TYPE_CHECKING:
    from app.shell.main_window import MainWindow

MENUS = ("File", "Edit", "View", "Motion", "Help")
"""The menus in their order; one without a command is not shown."""


def shell_actions(window: MainWindow) -> tuple[Action, ...]:
    """Every command that is there whatever page is on top."""
    files, view, bench = window.files, window.view, window.workbench

    def next_units() -> None:
        view.set("units", UNITS[(UNITS.index(view.units) + 1) % len(UNITS)])

    def next_theme() -> None:
        window.choose_theme(THEMES[(THEMES.index(theme_of(view.theme)) + 1) % len(THEMES)])

    def toggle(name: str) -> None:
        view.set(name, not getattr(view, name))

    return (
        Action("open_file", "File", "Open…", files.open_file, ("Ctrl+O",), hint="Open a setup document"),
        Action(
            "show_gallery", "File", "Examples…", window.show_gallery, ("G",), hint="Open an example from the gallery"
        ),
        Action(
            "choose_materials",
            "File",
            "Own materials…",
            files.choose_materials,
            ("Ctrl+M",),
            hint="Use a file of your own materials",
        ),
        Action(
            "drop_materials",
            "File",
            "Without own materials",
            files.drop_materials,
            hint="The catalogue's materials alone",
        ),
        Action("save", "File", "Save", files.save, ("Ctrl+S",)),
        Action("save_as", "File", "Save as…", files.save_as, ("Ctrl+Shift+S",)),
        Action(
            "save_picture",
            "File",
            "Save picture…",
            files.save_picture,
            ("Ctrl+E",),
            hint="Save the page as PNG, SVG or PDF",
        ),
        Action(
            "copy_picture",
            "File",
            say("files", "copy_picture"),
            files.copy_picture,
            ("Ctrl+Shift+E",),
            hint=say("files", "copy_picture_hint"),
        ),
        Action(
            "save_motion",
            "File",
            say("motion_file", "page"),
            window.motion_files.ask_page,
            ("Ctrl+Shift+M",),
            hint=say("motion_file", "page_hint"),
        ),
        Action(
            "save_film",
            "File",
            window.motion_files.film_word(),
            window.motion_files.ask_film,
            hint=window.motion_files.film_hint(),
        ),
        Action(
            "copy_report",
            "File",
            "Copy report",
            files.copy_report,
            ("Ctrl+Shift+C",),
            hint="Copy the report for a setup sheet",
        ),
        Action("close", "File", "Quit", window.close, ("Ctrl+Q",)),
        Action("undo", "Edit", "Undo", bench.undo, ("Ctrl+Z",)),
        Action("redo", "Edit", "Redo", bench.redo, ("Ctrl+Shift+Z", "Ctrl+Y")),
        Action("flip", "Edit", "Flip the direction", window.flip, ("D",)),
        Action("edit_title", "Edit", "Title…", window.header.edit_title, ("F2",), hint="Change the title"),
        Action(
            "pair",
            "View",
            "Pair",
            lambda: toggle("pair"),
            ("P",),
            lambda: view.pair,
            "Climb and conventional side by side",
        ),
        *_element_actions(window),
        *_presenting_actions(window),
        Action(
            "remember_view",
            "View",
            say("window", "remember_view"),
            window.opened_view.remember,
            ("Ctrl+R",),
            hint=say("window", "remember_view_hint"),
        ),
        Action("next_units", "View", "Inch or metric", next_units, ("U",)),
        Action("next_theme", "View", "Light, dark, projector", next_theme, ("T",)),
        Action("toggle_full_screen", "View", "Full screen", window.full_screen.toggle, ("F11",)),
        Action(
            "reduced_motion",
            "View",
            "Reduced motion",
            lambda: toggle("reduced_motion"),
            (),
            lambda: view.reduced_motion,
        ),
        *_language_actions(window),
        Action("show_help", "Help", "Keys and terms", window.show_help, ("F1", "?")),
    )


ELEMENT_KEYS = {"callouts": "C", "chip": "H", "strips": "R", "sentence": "E", "figures": "N", "verdict": "V"}
"""The key that hides and shows each element: h is the chip's symbol, R is what stands on the right."""

ELEMENTS_GROUP = "In sight"


def _element_actions(window: MainWindow) -> list[Action]:
    """One switch for each element that can be hidden."""
    view = window.view

    def toggle(name: str) -> None:
        view.set("shown", view.shown.toggled(name))

    return [
        Action(
            f"show_{name}",
            "View",
            say("element", name),
            partial(toggle, name),
            (key,),
            partial(lambda name: bool(getattr(view.shown, name)), name),
            say("element", "hint", name=say("element", name)),
            ELEMENTS_GROUP,
        )
        for name, key in ELEMENT_KEYS.items()
    ]


WALK_KEYS = {"forward": ("PgDown",), "back": ("PgUp",)}
"""What a clicker sends; the keys of a page that walks through scenes of its own go before."""


def _presenting_actions(window: MainWindow) -> list[Action]:
    """The walk, the black screen, and the bars in full screen."""
    presenting, group = window.presenting, say("presenting", "group")
    words = partial(say, "presenting")
    return [
        Action("walk_forward", "View", words("forward"), presenting.forward, WALK_KEYS["forward"], group=group),
        Action("walk_back", "View", words("back"), presenting.back, WALK_KEYS["back"], group=group),
        Action("black", "View", words("black"), presenting.black.toggle, ("B",), None, words("black_hint"), group),
        Action("bars", "View", words("bars"), window.full_screen.toggle_bars, ("F10",), group=group),
    ]


def _language_actions(window: MainWindow) -> list[Action]:
    """The languages, each by its own name: whoever cannot read the one before finds theirs."""
    return [
        Action(
            f"language_{each.id}",
            "View",
            each.name,
            partial(window.change_language, each.id),
            (),
            partial(operator.eq, each.id, language()),
            say("window", "language_hint"),
            say("window", "language_group"),
        )
        for each in LANGUAGES.values()
    ]


def key_rows(actions: Iterable[Action]) -> list[tuple[str, str]]:
    """Every key with what it does, for the help: commands first, then what stands in groups."""
    keyed = [action for action in actions if action.keys]
    ordered = [a for a in keyed if not a.group] + [a for a in keyed if a.group]
    return [(" or ".join(a.keys), a.hint or a.word) for a in ordered]
