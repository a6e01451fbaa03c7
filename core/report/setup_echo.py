"""The setup in its report: every figure that was taken, and which of them the document does not give."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import asdict
from typing import Any

from ..documents.toml_lines import parse_toml
from ..effects.edge_flux import CARBIDE, STEEL, edge_contact_mm, known_work_material
from ..setup.setup import Setup

PARTS = ("cutter", "cut", "work", "machine", "dynamics")


def setup_echo(setup: Setup) -> dict[str, Any]:
    """``setup.``: every figure as nested plain data, named as in the document; null for what is not known."""
    every = asdict(setup)
    # What the catalogue tells of a material stands in the catalogue.
    del every["work"]["facts"]
    parts = {name: list(every[name]) if name == "dynamics" else every[name] for name in PARTS}
    return parts | {"advice": every["advice"]}


def _keys(value: Any, key: str = "") -> Iterator[tuple[str, Any]]:
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from _keys(inner, f"{key}.{name}" if key else name)
    else:
        yield key, value


def given_keys(text: str, file: str) -> frozenset[str]:
    """Dotted keys that a document gives itself.  Raises DocumentError for a text that is not TOML."""
    return frozenset(key for key, _ in _keys(parse_toml(text, file)))


def _assumed(setup: Setup) -> Iterator[tuple[str, Any, str, str]]:
    """Figures that are taken although neither document nor material has them: they change the heat."""
    if setup.work.force is None:
        return
    if setup.cutter.material is None:
        for name, value in asdict(CARBIDE).items():
            yield f"cutter.material.{name}", value, "assumed", "carbide"
    if known_work_material(setup) is None:
        for name, value in asdict(STEEL).items():
            yield f"work.thermal.{name}", value, "assumed", "steel"
    if setup.work.chip.edge_contact_mm is None:
        yield "work.chip.edge_contact_mm", edge_contact_mm(setup), "computed", "cutter.edge_radius_mm"


def filled_in(setup: Setup, given: Collection[str]) -> list[dict[str, Any]]:
    """``setup_filled``: key, value and origin of each figure that the document does not give.

    setup : resolved; given : the keys of its document.  ``from`` is ``default``, ``material`` (the catalogue's entry
    of the work's material), ``assumed`` (a material taken because none is known) or ``computed``.
    """
    rows: list[tuple[str, Any, str, str | None]] = []
    for key, value in _keys(setup_echo(setup)):
        if value is None or key in given or key == "dynamics":
            continue
        table = key.rpartition(".")[0]
        if table in ("work.force", "work.thermal"):
            if not any(each.startswith(f"{table}.") for each in given):
                rows.append((key, value, "material", setup.work.material))
        else:
            rows.append((key, value, "default", None))
    rows += _assumed(setup)
    return [dict(zip(("key", "value", "from", "name"), each, strict=True)) for each in rows]
