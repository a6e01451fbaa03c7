"""Reading of the published tables, and a comparison that names its source when it fails."""

from __future__ import annotations

import tomllib
from typing import Any

from core.base.places import shared


def table(name: str) -> dict[str, Any]:
    """A table of ``shared/published``."""
    return tomllib.loads(shared("published", f"{name}.toml").read_text("utf-8"))


def agree(ours: float, printed: float, tolerance: float, about: str, source: dict[str, Any]) -> None:
    """Our figure is the printed one within the tolerance; if not, say which source it contradicts."""
    page = f", {source['page']}" if source.get("page") else ""
    assert abs(ours - printed) <= tolerance, (
        f"{about}: ours {ours!r}, printed {printed!r} +- {tolerance:g}; {source['source']}{page} ({source['status']})"
    )
