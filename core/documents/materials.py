"""The material catalogue: work materials by their standard designations, each figure with its source.

The project's own catalogue is ``shared/materials.toml``; a person's own materials stand in a file of the
same form and win over entries of the same name.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from ..base.errors import ChiparcError
from ..base.places import shared
from ..base.read_once import read_once
from ..base.words import say
from ..setup.setup import Setup
from ..setup.setup_limits import RANGES, Range
from .document_text import load_text
from .material_entry import BLOCKS, GROUPS, CutterMaterial, Material, groups_words
from .material_names import Designation, designation, near, plain, same
from .strict_reader import NOTHING
from .strict_tables import Figure, Flag, Source, Span, StrictTables
from .thermal_laws import LAWS
from .toml_edit import toml_value
from .toml_errors import shortened

LONGEST_NAME = 200
"""Characters beyond which a text names no material."""


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

    def search(self, text: str) -> tuple[Material, ...]:
        """Every material that the text names: one where it is clear, more where it is not, none if unknown.

        Name, cross-designation, number or old name in any spelling (see :mod:`.material_names`).  A text without a
        condition finds the entries of every condition, unless one bears exactly that name.
        """
        if len(text) > LONGEST_NAME:
            # No designation is: looking for what it is near to would take time for nothing.
            return ()
        exact, by_base = _index(self)
        if (named := exact.get(plain(text))) is not None:
            return (named,)
        wanted = designation(text)
        matching = [(m, d) for m, d in by_base.get(wanted.base, ()) if same(wanted, d)]
        if wanted.condition:
            chosen = [m for m, d in matching if d.condition == wanted.condition]
        else:
            # 42CrMo4 is an entry of its own beside 42CrMo4+50HRC; X40CrMoV5-1 may be soft or hard: nobody can guess.
            usual = [m for m, d in matching if not d.condition and not designation(m.name).condition]
            chosen = usual or [m for m, _ in matching]
        own = [m for m in chosen if m.name in self.own]
        return tuple(dict.fromkeys(own or chosen))

    def find(self, name: str) -> Material:
        """The material of that designation in any spelling.  Raises ChiparcError where none or several have it."""
        named = self.search(name)
        if len(named) == 1:
            return named[0]
        if named:
            every = ", ".join(m.name for m in named)
            several = say("typed", "several_materials", name=name, count=len(named))
            raise ChiparcError("work.material", several, say("typed", "one_material", names=every))
        short = len(name) <= LONGEST_NAME
        hints = [m.name for m in self.materials if short and near(name, (m.name, *m.also))]
        allowed = say("typed", "entry")
        if hints:
            allowed = say("typed", "entry_near", names=", ".join(hints[:MOST_HINTS]))
        raise ChiparcError("work.material", say("typed", "no_such_material", name=name), allowed)

    def with_own(self, own: Catalogue) -> Catalogue:
        """This catalogue with a person's own entries put first; the same name wins.

        An own entry takes over the other designations of the one that it stands for, so that a setup which
        names one of these still opens.
        """
        claimed = {plain(n) for m in own.materials for n in (m.name, *m.also)}
        mine = []
        for entry in own.materials:
            replaced = [m for m in self.materials if plain(m.name) == plain(entry.name)]
            more = tuple(n for m in replaced for n in m.also if plain(n) not in claimed)
            mine.append(replace(entry, also=entry.also + more))
        names = {plain(m.name) for m in own.materials}
        rest = tuple(m for m in self.materials if plain(m.name) not in names)
        cutter_names = {plain(m.name) for m in own.cutter_materials}
        cutters = tuple(m for m in self.cutter_materials if plain(m.name) not in cutter_names)
        return Catalogue(tuple(mine) + rest, own.cutter_materials + cutters, tuple(m.name for m in own.materials))


MOST_HINTS = 4
"""Names that a refusal offers at most."""


@lru_cache(maxsize=8)
def _index(known: Catalogue) -> tuple[dict[str, Material], dict[str, list[tuple[Material, Designation]]]]:
    """Entries by plain name, the first of a name winning; and by base, with each name taken apart."""
    exact: dict[str, Material] = {}
    by_base: dict[str, list[tuple[Material, Designation]]] = {}
    for entry in known.materials:
        for name in (entry.name, *entry.also):
            exact.setdefault(plain(name), entry)
            apart = designation(name)
            by_base.setdefault(apart.base, []).append((entry, apart))
    return exact, by_base


_SINGLE: dict[str, Range] = {
    "hardness_hb": Range(5.0, 800.0),
    "hardness_hrc": Range(10.0, 72.0),
    "solidus_c": Range(20.0, 4000.0),
    "youngs_modulus_n_mm2": RANGES["cutter.youngs_modulus_n_mm2"],
}
"""Figures of an entry that stand in no block."""

_EDGE = {"edge_radius_mm": Range(0.0, 10.0, over=True, least=1e-6)}
_H_TESTED = Range(0.0, 100.0)
_WITH_TESTS = ("power_law", "linear_edge")
"""Blocks that may tell the edge and the chip thickness that their coefficients were measured with."""


class _Reader(StrictTables):
    """Reads one materials file; its refusal names line, key, what was found and what is allowed of every fault."""

    def block(self, table: Any, path: tuple[str | int, ...], ranges: dict[str, Range]) -> list[tuple[str, Figure]]:
        more = _EDGE if path[-1] in _WITH_TESTS else {}
        table = self.fields(table, path, ranges, (*more, "h_tested_mm") if more else ())
        ranges = ranges | more
        return [(key, self.figure(table[key], (*path, key), ranges[key])) for key in ranges if key in table]

    def material(self, table: Any, path: tuple[str | int, ...]) -> Material:
        may = ("also", "standard", "condition", "work_hardens", "thermal_law", *_SINGLE, *BLOCKS)
        table = self.fields(table, path, ("name", "group", "kind"), may)
        group = self.one_of(table, path, "group", GROUPS, groups_words)
        also = table.get("also", [])
        if not isinstance(also, list) or not all(isinstance(a, str) and a.strip() for a in also):
            self.refuse_value((*path, "also"), also, say("figures_refused", "names"))
            also = []
        figures = [
            (f"{block}.{key}", figure)
            for block, ranges in BLOCKS.items()
            if block in table
            for key, figure in self.block(table[block], (*path, block), ranges)
        ]
        if table and not any(block in table for block in BLOCKS):
            some = say("figures_refused", "some_figures", keys=", ".join(BLOCKS))
            self.refuse(path, say("figures_refused", "no_figures"), some)
        figures += [(k, self.figure(table[k], (*path, k), limits)) for k, limits in _SINGLE.items() if k in table]
        law = self.one_of(table, path, "thermal_law", LAWS, lambda: ", ".join(map(toml_value, LAWS)))
        tested = [
            (block, self.span(table[block]["h_tested_mm"], (*path, block, "h_tested_mm"), _H_TESTED))
            for block in _WITH_TESTS
            if isinstance(table.get(block), dict) and "h_tested_mm" in table[block]
        ]
        return Material(
            self.word(table, path, "name"),
            tuple(also),
            self.word(table, path, "standard"),
            group,
            self.word(table, path, "kind"),
            tuple(figures),
            self.word(table, path, "condition"),
            self.flag(table["work_hardens"], (*path, "work_hardens")) if "work_hardens" in table else None,
            law or None,
            tuple(tested),
        )

    def cutter_material(self, table: Any, path: tuple[str | int, ...]) -> CutterMaterial:
        table = self.fields(table, path, ("name", "kind", "youngs_modulus_n_mm2", "thermal"), ())
        thermal = self.block(table["thermal"], (*path, "thermal"), BLOCKS["thermal"]) if "thermal" in table else []
        key = "youngs_modulus_n_mm2"
        # Without the key, which has been noted, any figure stands for it.
        given = key in table
        modulus = (
            self.figure(table[key], (*path, key), _SINGLE[key]) if given else Figure(NOTHING, Source("", "", ""))
        )
        return CutterMaterial(self.word(table, path, "name"), self.word(table, path, "kind"), modulus, tuple(thermal))

    def refuse_twice(self, kind: str, names: list[tuple[str, ...]]) -> None:
        """Note every entry that answers to the name of one before it, with the line of both.

        names : of each ``[[kind]]``, its name first and the other designations after it.
        """
        seen: dict[str, tuple[str | int, ...]] = {}
        for i, (name, *also) in enumerate(names):
            for text, key in [(name, "name"), *((each, "also") for each in also)]:
                if not text:  # a name that was refused
                    continue
                path, first = (kind, i, key), seen.get(plain(text))
                if first is not None and first[1] != i:
                    line = self.places.line(first)
                    found = say("figures_refused", "twice", name=shortened(text), line=line)
                    self.refuse(path, found, say("figures_refused", "each_name"))
                    break
                seen.setdefault(plain(text), path)

    def catalogue(self) -> Catalogue:
        top = self.head("chiparc materials", (), ("material", "cutter_material"))
        lists = {key: self.blocks(top, key) for key in ("material", "cutter_material")}
        materials = [self.material(table, ("material", i)) for i, table in enumerate(lists["material"])]
        self.refuse_twice("material", [(m.name, *m.also) for m in materials])
        cutters = [self.cutter_material(t, ("cutter_material", i)) for i, t in enumerate(lists["cutter_material"])]
        self.refuse_twice("cutter_material", [(m.name,) for m in cutters])
        self.finish()
        return Catalogue(tuple(materials), tuple(cutters))


def read_materials(text: str, file: str) -> Catalogue:
    """A materials file as a catalogue.  Raises DocumentError with every fault: line, key, found, allowed."""
    return _Reader(text, file).catalogue()


def load_materials(path: str | Path) -> Catalogue:
    """A materials file from disk.  Raises DocumentError also where the file cannot be read."""
    return read_materials(load_text(str(path), say("read_file", "materials")), str(path))


@read_once
def catalogue() -> Catalogue:
    """The project's own catalogue; what an entry tells of its figures is put into words when it is asked."""
    return load_materials(shared("materials.toml"))


def find(text: str) -> tuple[Material, ...]:
    """Entries of the project's own catalogue that the text names: one, several candidates, or none."""
    return catalogue().search(text)


def material(name: str) -> Material:
    """An entry of the project's own catalogue.  Raises ChiparcError for an unknown name."""
    return catalogue().find(name)


@lru_cache(maxsize=64)
def resolved(setup: Setup, known: Catalogue | None = None) -> Setup:
    """The setup with what is known of its material filled in: ``[work.force]``, ``[work.thermal]`` win.

    ``work.facts`` are those of the entry: what comes after asks the setup, not a catalogue.
    """
    work = setup.work
    if work.material is None:
        return setup
    entry = (known or catalogue()).find(work.material)
    facts = entry.facts
    if work.force is not None and not facts.gives(work.force):
        # What is printed of the entry's coefficients does not hold for those of the setup.
        facts = replace(facts, spread=(), tested_h_mm=None)
    filled = replace(work, force=work.force or entry.force, thermal=work.thermal or entry.thermal, facts=facts)
    return replace(setup, work=filled)


__all__ = [
    "GROUPS",
    "Catalogue",
    "CutterMaterial",
    "Figure",
    "Flag",
    "Material",
    "Source",
    "Span",
    "catalogue",
    "find",
    "load_materials",
    "material",
    "read_materials",
    "resolved",
]
