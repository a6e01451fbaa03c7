"""Every command of the window: word, keys, menu, and what it calls.  Menus and help are made from this table."""

from __future__ import annotations

from dataclasses import dataclass


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
