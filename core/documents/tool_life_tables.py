"""The published exponents of tool life and how far they hold: ``shared/tool_life.toml``, read strictly."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ..base.language import in_language
from ..base.places import shared
from ..base.words import say
from ..setup.setup_limits import RANGES, Range
from .document_text import load_text
from .materials import GROUPS
from .strict_reader import NOTHING
from .strict_tables import Figure, StrictTables
from .toml_errors import shortened
from .toml_lines import Path

TERMS = ("speed", "feed", "width", "depth")
"""What tool life hangs on: cutting speed, feed per tooth, radial width, depth of cut."""

APART = (*TERMS, "diameter")
"""What may differ between two setups only up to a ratio."""

_EXPONENT, _RATIO, _SPEED = Range(0.0, 50.0), Range(1.0, 100.0), Range(0.0, 1e5, over=True)
_EDGE_KEYS = {
    "density_kg_m3": RANGES["cutter.material.density_kg_m3"],
    "youngs_modulus_n_mm2": RANGES["cutter.youngs_modulus_n_mm2"],
}


@dataclass(frozen=True, slots=True)
class Edge:
    """A material of cutting edges and what it is known by: density (kg/m3), modulus (N/mm2; None: tells nothing)."""

    name: str
    density: tuple[float, float]
    modulus: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Exponents:
    """Exponents of one edge material in one ISO 513 group, each with its spread, in the order of :data:`TERMS`.

    ``speeds`` : the cutting speeds (m/min) between which they hold.
    """

    edge: str
    group: str
    speeds: tuple[float, float]
    figures: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class LifeTables:
    """All of the file; ``most`` is how far apart two setups may lie, as a ratio, in the order of :data:`APART`."""

    edges: tuple[Edge, ...]
    exponents: tuple[Exponents, ...]
    most: tuple[Figure, ...]

    def find(self, edge: str, group: str) -> Exponents | None:
        """The exponents of an edge material in a group, None where none are published."""
        return next((e for e in self.exponents if (e.edge, e.group) == (edge, group)), None)


class _Reader(StrictTables):
    def edge(self, table: Any, path: Path) -> Edge:
        table = self.fields(table, path, ("name", "density_kg_m3"), ("youngs_modulus_n_mm2",))
        ends = {k: self.pair(table[k], (*path, k), r) for k, r in _EDGE_KEYS.items() if k in table}
        density = ends.get("density_kg_m3", (NOTHING, NOTHING))
        return Edge(self.word(table, path, "name"), density, ends.get("youngs_modulus_n_mm2"))

    def exponents(self, table: Any, path: Path, edges: list[str]) -> Exponents:
        table = self.fields(table, path, ("edge", "group", "speed_m_min", *TERMS), ())
        edge, group = self.one_of(table, path, "edge", edges), self.one_of(table, path, "group", GROUPS)
        figures = tuple(self.exponent(table[term], (*path, term)) for term in TERMS if term in table)
        speeds = (NOTHING, NOTHING)
        if "speed_m_min" in table:
            speeds = self.pair(table["speed_m_min"], (*path, "speed_m_min"), _SPEED)
        return Exponents(edge, group, speeds, figures)

    def exponent(self, value: Any, path: Path) -> Figure:
        exponent = self.figure(value, path, _EXPONENT)
        if exponent.spread is None:
            if isinstance(value, dict):
                self.refuse_missing((*path, "range"))
        elif exponent.value < exponent.spread[0] or exponent.value > exponent.spread[1]:
            told = say("refusal", "found", value=in_language(f"{exponent.value:g}"))
            self.refuse((*path, "value"), told, say("figures_refused", "within"))
        return exponent

    def once(self, names: list[str], key: str, last: str) -> None:
        for i, name in enumerate(names):
            if name and name in names[:i]:
                twice = say("listed", "twice", name=shortened(name))
                self.refuse((key, i, last), twice, say("listed", "each_once"))

    def tables(self) -> LifeTables:
        top = self.head("chiparc tool life", ("most", "edge", "exponents"), ())
        most = self.fields(top["most"], ("most",), APART, ()) if "most" in top else {}
        limits = tuple(self.figure(most[name], ("most", name), _RATIO) for name in APART if name in most)
        edges = [self.edge(t, ("edge", i)) for i, t in enumerate(self.blocks(top, "edge"))]
        names = [e.name for e in edges]
        self.once(names, "edge", "name")
        exponents = [self.exponents(t, ("exponents", i), names) for i, t in enumerate(self.blocks(top, "exponents"))]
        self.once([f"{e.edge}, {e.group}" if e.edge and e.group else "" for e in exponents], "exponents", "group")
        self.finish()
        return LifeTables(tuple(edges), tuple(exponents), limits)


def read_life_tables(text: str, file: str) -> LifeTables:
    """A file of exponents.  Raises DocumentError with every fault: line, key, found, allowed."""
    return _Reader(text, file).tables()


@lru_cache(maxsize=1)
def life_tables() -> LifeTables:
    """The project's own exponents."""
    path = shared("tool_life.toml")
    return read_life_tables(load_text(str(path), say("read_file", "exponents")), str(path))
