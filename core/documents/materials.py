"""The material catalogue: work materials by their standard designations, each figure with its source.

The project's own catalogue is ``shared/materials.toml``; a person's own materials stand in a file of the
same form and win over entries of the same name.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import lru_cache
from pathlib import Path
from typing import Any

from ..base.errors import ChiparcError
from ..base.places import shared
from ..setup.setup import LinearEdge, PowerLaw, Setup, Thermal
from ..setup.setup_limits import RANGES, Range
from .document_text import load_text
from .strict_tables import Figure, Source, StrictTables

GROUPS = {
    "P": "steel",
    "M": "stainless steel",
    "K": "cast iron",
    "N": "non-ferrous metal",
    "S": "heat-resistant alloy, titanium",
    "H": "hardened steel",
}
"""Groups of work material, ISO 513."""


@dataclass(frozen=True, slots=True)
class Material:
    """A work material.  ``figures`` by dotted key, such as ``power_law.kc11_n_mm2``."""

    name: str
    also: tuple[str, ...]
    standard: str
    group: str
    kind: str
    figures: tuple[tuple[str, Figure], ...]

    def figure(self, key: str) -> Figure | None:
        """The figure of that key, or None where the catalogue has none."""
        return dict(self.figures).get(key)

    def _block(self, prefix: str) -> dict[str, float]:
        return {k.partition(".")[2]: f.value for k, f in self.figures if k.startswith(prefix + ".")}

    @property
    def power_law(self) -> PowerLaw | None:
        """Kienzle coefficients, if published."""
        block = self._block("power_law")
        return PowerLaw(block["kc11_n_mm2"], block["mc"], block["radial_ratio"]) if block else None

    @property
    def linear_edge(self) -> LinearEdge | None:
        """The six mechanistic coefficients, if published."""
        block = self._block("linear_edge")
        if not block:
            return None
        ktc, krc, kac, kte, kre, kae = (block[k] for k in ("ktc", "krc", "kac", "kte", "kre", "kae"))
        return LinearEdge(ktc, krc, kac, kte, kre, kae)

    @property
    def force(self) -> LinearEdge | PowerLaw | None:
        """The better known model: the six coefficients where published, else Kienzle."""
        return self.linear_edge or self.power_law

    @property
    def thermal(self) -> Thermal | None:
        """Thermal properties, if given."""
        block = self._block("thermal")
        return Thermal(**block) if block else None


@dataclass(frozen=True, slots=True)
class CutterMaterial:
    """A cutter material: Young's modulus in N/mm2 and thermal properties, each a figure."""

    name: str
    kind: str
    youngs_modulus_n_mm2: Figure
    thermal_figures: tuple[tuple[str, Figure], ...]

    @property
    def thermal(self) -> Thermal:
        """Thermal properties as the heat model takes them."""
        return Thermal(**{k: f.value for k, f in self.thermal_figures})


@dataclass(frozen=True, slots=True, eq=False)
class Catalogue:
    """Materials by name; cross-designations find the same entry.  ``own`` names a person's own entries.

    Compared by identity: it is a key of the cache in :func:`resolved`, many times a second.
    """

    materials: tuple[Material, ...]
    cutter_materials: tuple[CutterMaterial, ...] = ()
    own: tuple[str, ...] = ()

    def names(self) -> list[str]:
        """All names, in the catalogue's order."""
        return [m.name for m in self.materials]

    def find(self, name: str) -> Material:
        """The material of that designation, case and spaces aside.  Raises ChiparcError."""
        wanted = _plain(name)
        for material in self.materials:
            if wanted in map(_plain, (material.name, *material.also)):
                return material
        every = [n for m in self.materials for n in (m.name, *m.also)]
        near = get_close_matches(name, every, 3, 0.5)
        hint = f"; near it: {', '.join(near)}" if near else ""
        raise ChiparcError(
            "work.material", f'found "{name}", which the catalogue does not have', f"a catalogue entry{hint}"
        )

    def with_own(self, own: Catalogue) -> Catalogue:
        """This catalogue with a person's own entries put first; the same name wins.

        An own entry takes over the other designations of the one that it stands for, so that a setup which
        names one of these still opens.
        """
        claimed = {_plain(n) for m in own.materials for n in (m.name, *m.also)}
        mine = []
        for entry in own.materials:
            same = [m for m in self.materials if _plain(m.name) == _plain(entry.name)]
            more = tuple(n for m in same for n in m.also if _plain(n) not in claimed)
            mine.append(replace(entry, also=entry.also + more))
        names = {_plain(m.name) for m in own.materials}
        rest = tuple(m for m in self.materials if _plain(m.name) not in names)
        return Catalogue(
            tuple(mine) + rest, own.cutter_materials + self.cutter_materials, tuple(m.name for m in own.materials)
        )


def _plain(name: str) -> str:
    return "".join(name.lower().split())


_BLOCKS: dict[str, dict[str, Range]] = {
    "power_law": {k: RANGES[f"work.force.{k}"] for k in ("kc11_n_mm2", "mc", "radial_ratio")},
    "linear_edge": {k: RANGES[f"work.force.{k}"] for k in ("ktc", "krc", "kac", "kte", "kre", "kae")},
    "thermal": {
        k: RANGES[f"work.thermal.{k}"] for k in ("conductivity_w_mk", "density_kg_m3", "specific_heat_j_kgk")
    },
}


class _Reader(StrictTables):
    """Reads one materials file; a refusal names file, line, key, what was found, what is allowed."""

    def block(self, table: Any, path: tuple[str | int, ...], ranges: dict[str, Range]) -> list[tuple[str, Figure]]:
        table = self.fields(table, path, ranges, ())
        return [(key, self.figure(table[key], (*path, key), ranges[key])) for key in ranges]

    def material(self, table: Any, path: tuple[str | int, ...]) -> Material:
        table = self.fields(table, path, ("name", "group", "kind"), ("also", "standard", *_BLOCKS))
        group = self.word(table, path, "group")
        if group not in GROUPS:
            raise self.refuse(
                (*path, "group"), f'found "{group}"', ", ".join(f"{g} ({w})" for g, w in GROUPS.items())
            )
        also = table.get("also", [])
        if not isinstance(also, list) or not all(isinstance(a, str) and a.strip() for a in also):
            raise self.refuse((*path, "also"), f"found {also!r}", "a list of names")
        figures = [
            (f"{block}.{key}", figure)
            for block, ranges in _BLOCKS.items()
            if block in table
            for key, figure in self.block(table[block], (*path, block), ranges)
        ]
        if not figures:
            raise self.refuse(path, "no figures", "at least one of power_law, linear_edge, thermal")
        standard = self.word(table, path, "standard") if "standard" in table else ""
        return Material(
            self.word(table, path, "name"),
            tuple(also),
            standard,
            group,
            self.word(table, path, "kind"),
            tuple(figures),
        )

    def cutter_material(self, table: Any, path: tuple[str | int, ...]) -> CutterMaterial:
        table = self.fields(table, path, ("name", "kind", "youngs_modulus_n_mm2", "thermal"), ())
        modulus = RANGES["cutter.youngs_modulus_n_mm2"]
        return CutterMaterial(
            self.word(table, path, "name"),
            self.word(table, path, "kind"),
            self.figure(table["youngs_modulus_n_mm2"], (*path, "youngs_modulus_n_mm2"), modulus),
            tuple(self.block(table["thermal"], (*path, "thermal"), _BLOCKS["thermal"])),
        )

    def catalogue(self) -> Catalogue:
        top = self.head("chiparc materials", (), ("material", "cutter_material"))
        lists = {key: self.blocks(top, key) for key in ("material", "cutter_material")}
        found = [self.material(table, ("material", i)) for i, table in enumerate(lists["material"])]
        seen: dict[str, int] = {}
        for i, entry in enumerate(found):
            if _plain(entry.name) in seen:
                raise self.refuse(("material", i, "name"), f'found "{entry.name}" twice', "each name once")
            seen[_plain(entry.name)] = i
        cutters = [self.cutter_material(t, ("cutter_material", i)) for i, t in enumerate(lists["cutter_material"])]
        return Catalogue(tuple(found), tuple(cutters))


def read_materials(text: str, file: str) -> Catalogue:
    """A materials file as a catalogue.  Raises DocumentError with file, line, key, found, allowed."""
    return _Reader(text, file).catalogue()


def load_materials(path: str | Path) -> Catalogue:
    """A materials file from disk.  Raises DocumentError also where the file cannot be read."""
    return read_materials(load_text(str(path), "a TOML file of materials in UTF-8"), str(path))


@lru_cache(maxsize=1)
def catalogue() -> Catalogue:
    """The project's own catalogue."""
    return load_materials(shared("materials.toml"))


def material(name: str) -> Material:
    """An entry of the project's own catalogue.  Raises ChiparcError for an unknown name."""
    return catalogue().find(name)


@lru_cache(maxsize=64)
def resolved(setup: Setup, known: Catalogue | None = None) -> Setup:
    """The setup with what is known of its material filled in: ``[work.force]``, ``[work.thermal]`` win."""
    work = setup.work
    if work.material is None:
        return setup
    entry = (known or catalogue()).find(work.material)
    return replace(setup, work=replace(work, force=work.force or entry.force, thermal=work.thermal or entry.thermal))


__all__ = [
    "GROUPS",
    "Catalogue",
    "CutterMaterial",
    "Figure",
    "Material",
    "Source",
    "catalogue",
    "load_materials",
    "material",
    "read_materials",
    "resolved",
]
