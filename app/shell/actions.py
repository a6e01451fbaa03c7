"""Every command of the window: word, keys, menu, and what it calls.  Menus and help are made from this table."""

from __future__ import annotations

from dataclasses import dataclass

from app.pages.arc.side_charts_scene import CHART_TITLES
from core.strips.strip_curves import STRIP_TITLES


@dataclass(frozen=True, slots=True)
class ActionSpec:
    """A command: menu, word, keys, name of the window's method, whether it is a switch of the view."""

    menu: str
    word: str
    keys: tuple[str, ...]
    method: str
    switch: str = ""
    hint: str = ""


ACTIONS: tuple[ActionSpec, ...] = (
    ActionSpec("File", "Open…", ("Ctrl+O",), "open_file", hint="Open a setup document"),
    ActionSpec("File", "Examples…", ("G",), "show_gallery", hint="Open an example from the gallery"),
    ActionSpec("File", "Own materials…", ("Ctrl+M",), "choose_materials", hint="Use a file of your own materials"),
    ActionSpec("File", "Without own materials", (), "drop_materials", hint="The catalogue's materials alone"),
    ActionSpec("File", "Save", ("Ctrl+S",), "save"),
    ActionSpec("File", "Save as…", ("Ctrl+Shift+S",), "save_as"),
    ActionSpec("File", "Save picture…", ("Ctrl+E",), "save_picture", hint="Save the page as PNG, SVG or PDF"),
    ActionSpec("File", "Copy report", ("Ctrl+Shift+C",), "copy_report", hint="Copy the report for a setup sheet"),
    ActionSpec("File", "Quit", ("Ctrl+Q",), "close"),
    ActionSpec("Edit", "Undo", ("Ctrl+Z",), "undo"),
    ActionSpec("Edit", "Redo", ("Ctrl+Shift+Z", "Ctrl+Y"), "redo"),
    ActionSpec("Edit", "Flip the direction", ("D",), "flip"),
    ActionSpec("View", "Pair", ("P",), "toggle_pair", switch="pair", hint="Climb and conventional side by side"),
    ActionSpec(
        "View", "Which way", ("W",), "toggle_why", switch="why", hint="Reasons for climb and for conventional"
    ),
    ActionSpec("View", "Inch or metric", ("U",), "next_units"),
    ActionSpec("View", "Light, dark, projector", ("T",), "next_theme"),
    ActionSpec("View", "Full screen", ("F11",), "toggle_full_screen"),
    ActionSpec("View", "Reduced motion", (), "toggle_reduced_motion", switch="reduced_motion"),
    ActionSpec("Motion", "Play or pause", ("Space",), "play"),
    ActionSpec("Motion", "One degree on", (".",), "degree_on"),
    ActionSpec("Motion", "One degree back", (",",), "degree_back"),
    ActionSpec("Motion", "One tooth on", ("]",), "tooth_on"),
    ActionSpec("Motion", "One tooth back", ("[",), "tooth_back"),
    ActionSpec("Motion", "Loop through the cut", ("L",), "toggle_loop", switch="loop"),
    ActionSpec("Motion", "Slow", ("S",), "toggle_slow", switch="slow"),
    ActionSpec("Help", "Keys and terms", ("F1", "?"), "show_help"),
)


@dataclass(frozen=True, slots=True)
class PictureSpec:
    """A strip or a chart that can be shown or hidden: id, word in the menu, key; no key where it always is shown."""

    id: str
    word: str
    key: str


ALWAYS_SHOWN = "chip"
"""The strip that cannot be hidden."""

STRIP_SPECS: tuple[PictureSpec, ...] = tuple(
    PictureSpec(id, f"{title} (always shown)", "") if id == ALWAYS_SHOWN else PictureSpec(id, title, str(i))
    for i, (id, title) in enumerate(STRIP_TITLES.items(), 1)
)
CHART_SPECS: tuple[PictureSpec, ...] = tuple(
    PictureSpec(id, title, str(i)) for i, (id, title) in enumerate(CHART_TITLES.items(), len(STRIP_TITLES) + 1)
)


def key_rows() -> list[tuple[str, str]]:
    """Every key of the window with what it does, for the help: the commands, then the strips and the charts."""
    rows = [(" or ".join(spec.keys), spec.hint or spec.word) for spec in ACTIONS if spec.keys]
    for kind, specs in (("strip", STRIP_SPECS), ("chart", CHART_SPECS)):
        rows += [(spec.key, f"Show or hide the {kind} {spec.word}") for spec in specs if spec.key]
    return rows
