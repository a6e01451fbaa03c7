"""Themes: what may differ between them, on which tests of room rely."""

from __future__ import annotations

from dataclasses import fields

from app.kit.look import Look, look
from app.state.view_state import THEMES
from tests.app.windows import TYPE_SIZES

SIZES = tuple(f.name for f in fields(Look) if f.type in ("float", float))


def sizes(theme: str) -> tuple[float, ...]:
    return tuple(getattr(look(theme), name) for name in SIZES)


def test_dark_is_light_in_other_colours() -> None:
    """No line is thicker and no word larger: what fits in the one fits in the other."""
    assert len(SIZES) == 7 and {"text", "small", "title", "figure", "line"} < set(SIZES)
    assert sizes("dark") == sizes("light") != sizes("projector")
    assert look("dark").page != look("light").page
    assert {sizes(theme) for theme in THEMES} == {sizes(theme) for theme in TYPE_SIZES}
