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
from core.base.words import say, words

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
        Action(
            "open_file",
            "File",
            say("action", "open_file"),
            files.open_file,
            ("Ctrl+O",),
            hint=say("action", "open_file_hint"),
        ),
        Action(
            "show_gallery",
            "File",
            say("action", "gallery"),
            window.show_gallery,
            ("G",),
            hint=say("action", "gallery_hint"),
        ),
        Action(
            "choose_materials",
            "File",
            say("action", "own_materials"),
            files.choose_materials,
            ("Ctrl+M",),
            hint=say("action", "own_materials_hint"),
        ),
        Action(
            "drop_materials",
            "File",
            say("action", "no_materials"),
            files.drop_materials,
            hint=say("action", "no_materials_hint"),
        ),
        Action("save", "File", say("action", "save"), files.save, ("Ctrl+S",)),
        Action("save_as", "File", say("action", "save_as"), files.save_as, ("Ctrl+Shift+S",)),
        Action(
            "save_picture",
            "File",
            say("action", "save_picture"),
            files.save_picture,
            ("Ctrl+E",),
            hint=say("action", "save_picture_hint"),
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
            say("action", "copy_report"),
            files.copy_report,
            ("Ctrl+Shift+C",),
            hint=say("action", "copy_report_hint"),
        ),
        Action("close", "File", say("action", "quit"), window.close, ("Ctrl+Q",)),
        Action("undo", "Edit", say("action", "undo"), bench.undo, ("Ctrl+Z",)),
        Action("redo", "Edit", say("action", "redo"), bench.redo, ("Ctrl+Shift+Z", "Ctrl+Y")),
        Action("flip", "Edit", say("action", "flip"), window.flip, ("D",)),
        Action(
            "edit_title",
            "Edit",
            say("action", "title"),
            window.header.edit_title,
            ("F2",),
            hint=say("action", "title_hint"),
        ),
        Action(
            "pair",
            "View",
            say("action", "pair"),
            lambda: toggle("pair"),
            ("P",),
            lambda: view.pair,
            say("action", "pair_hint"),
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
        Action("next_units", "View", say("action", "units"), next_units, ("U",)),
        Action("next_theme", "View", say("action", "themes"), next_theme, ("T",)),
        Action("toggle_full_screen", "View", say("action", "full_screen"), window.full_screen.toggle, ("F11",)),
        Action(
            "reduced_motion",
            "View",
            say("action", "reduced"),
            lambda: toggle("reduced_motion"),
            (),
            lambda: view.reduced_motion,
        ),
        *_language_actions(window),
        Action("show_help", "Help", say("action", "keys"), window.show_help, ("F1", "?")),
    )


ELEMENT_KEYS = {"callouts": "C", "chip": "H", "strips": "R", "sentence": "E", "figures": "N", "verdict": "V"}
"""The key that hides and shows each element: h is the chip's symbol, R is what stands on the right."""


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
            say("action", "in_sight"),
        )
        for name, key in ELEMENT_KEYS.items()
    ]


WALK_KEYS = {"forward": ("PgDown",), "back": ("PgUp",)}
"""What a clicker sends; the keys of a page that walks through scenes of its own go before."""


def _presenting_actions(window: MainWindow) -> list[Action]:
    """The walk, the black screen, and the bars in full screen."""
    presenting, group = window.presenting, say("presenting", "group")
    told = partial(say, "presenting")
    return [
        Action("walk_forward", "View", told("forward"), presenting.forward, WALK_KEYS["forward"], group=group),
        Action("walk_back", "View", told("back"), presenting.back, WALK_KEYS["back"], group=group),
        Action("black", "View", told("black"), presenting.black.toggle, ("B",), None, told("black_hint"), group),
        Action("bars", "View", told("bars"), window.full_screen.toggle_bars, ("F10",), group=group),
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


def key_words(key: str) -> str:
    """A key, or keys held together, as they are called: ``Ctrl+PgDown``."""
    names = words()["key"]
    return key if key == "+" else "+".join(names.get(part, part) for part in key.split("+"))


def key_rows(actions: Iterable[Action]) -> list[tuple[str, str]]:
    """Every key with what it does, for the help: commands first, then what stands in groups."""
    keyed = [action for action in actions if action.keys]
    ordered = [a for a in keyed if not a.group] + [a for a in keyed if a.group]
    return [(say("window", "or").join(map(key_words, a.keys)), a.hint or a.word) for a in ordered]
