"""Strict reading of a setup document: every key known, of its type and in its range, or refused with its line."""

from __future__ import annotations

from dataclasses import MISSING, fields
from typing import TYPE_CHECKING, Any

from ..base.errors import ChiparcError, DocumentError, Fault
from ..base.refused import either_of
from ..base.words import say
from ..setup.name_list import line_problem, line_words
from ..setup.setup import (
    Advice,
    ChipFormation,
    Cut,
    Cutter,
    LinearEdge,
    Machine,
    Mode,
    PowerLaw,
    Setup,
    Skin,
    Thermal,
    Work,
)
from ..setup.setup_limits import CHOICES, LISTS, RANGES, check_together, curve_problem, curve_words
from ..setup.show import FLAGS, LONGEST_LINE, TEXTS, Show
from .document_text import decoded
from .strict_reader import StrictToml
from .toml_edit import toml_value
from .toml_errors import shortened
from .toml_lines import Path

if TYPE_CHECKING:
    from .materials import Catalogue

FORMAT, VERSION = "chiparc setup", 1
LONGEST_TITLE = 200

TABLES: dict[str, type] = {
    "cutter": Cutter,
    "cutter.material": Thermal,
    "cut": Cut,
    "work": Work,
    "work.skin": Skin,
    "work.thermal": Thermal,
    "work.chip": ChipFormation,
    "machine": Machine,
    "dynamics": Mode,
    "advice": Advice,
    "show": Show,
}
"""Which record each table fills; ``work.force`` is one of MODELS, ``dynamics`` a list of blocks."""

MODELS: dict[str, type] = {"linear-edge": LinearEdge, "power-law": PowerLaw}
TOP_KEYS = ("format", "version", "title", "cutter", "cut", "work", "machine", "dynamics", "advice", "show")
NOT_WRITTEN = ("facts",)
"""Fields of a record that stand in no document."""

_SYMBOLS = {
    "d": "diameter_mm",
    "z": "teeth",
    "kappa_r": "cutting_edge_angle_deg",
    "ae": "radial_engagement_mm",
    "ap": "axial_engagement_mm",
    "fz": "feed_per_tooth_mm",
    "n": "spindle_speed_rpm",
    "rpm": "spindle_speed_rpm",
    "kc11": "kc11_n_mm2",
    "zeta": "damping_ratio",
}
"""Shop symbols that people write where the document wants the word."""


def keys_of(record: type) -> tuple[str, ...]:
    """Keys of a table, in the order in which they are written."""
    return tuple(f.name for f in fields(record) if f.name not in NOT_WRITTEN)


def taken_keys(table: str, record: type) -> tuple[str, ...]:
    """Keys that a table takes: of a material's figures only the work has all, for a tool does not melt."""
    if record is not Thermal:
        return keys_of(record)
    return tuple(k for k in keys_of(record) if f"{table}.{k}" in RANGES or f"{table}.{k}" in CHOICES)


def required_keys(record: type) -> tuple[str, ...]:
    """Keys of a table that must be there."""
    must = [f.name for f in fields(record) if f.default is MISSING and f.default_factory is MISSING]
    return ("model", *must) if record in MODELS.values() else tuple(must)


def check_title(title: str) -> None:
    """Refuse a title that is too long or has line breaks in it.  Raises ChiparcError."""
    if found := line_problem(title, LONGEST_TITLE):
        raise ChiparcError("title", found, line_words(LONGEST_TITLE))


def check_material(name: str, known: Catalogue | None = None) -> None:
    """Refuse a work material that the catalogue does not have.  Raises ChiparcError."""
    if not name.strip():
        found, allowed = say("document_refused", "empty_name"), say("document_refused", "material")
        raise ChiparcError("work.material", found, allowed)
    from .materials import catalogue  # the catalogue is read only by a setup that names a material

    (known or catalogue()).find(name)


def choice_words(key: str) -> str:
    """What a key of words may be, each as it is written in a document."""
    return either_of(map(toml_value, CHOICES[key]))


class _Reading(StrictToml):
    """One pass over one setup document."""

    def __init__(self, text: str, file: str, known: Catalogue | None = None) -> None:
        super().__init__(text, file)
        self.known = known

    def name(self, path: Path) -> str:
        """The key as the window and the other documents call it: without the number of a block."""
        return ".".join(shortened(p) for p in path if isinstance(p, str))

    def refuse(self, path: Path, found: str, allowed: str) -> None:
        """Note a fault; the number of the block is stated where there are several."""
        blocks = self.data.get("dynamics")
        if len(path) > 1 and isinstance(path[1], int) and isinstance(blocks, list) and len(blocks) > 1:
            found = say("document_refused", "in_block", found=found, block=path[1] + 1)
        super().refuse(path, found, allowed)

    def refuse_unknown(self, path: Path, known: tuple[str, ...], missing: set[str]) -> None:
        """Refuse a key that has no meaning here; one that it was meant for leaves ``missing``."""
        name = str(path[-1])
        word = _SYMBOLS.get(name.lower(), name)
        homes = [f"[{table}]" for table, record in TABLES.items() if word in keys_of(record)]
        models = [m for m, record in MODELS.items() if word in keys_of(record)]
        homes += [say("document_refused", "of_model", model=toml_value(m)) for m in models]
        allowed = self.hint(word, known, missing, next(iter(homes), ""))
        self.refuse(path, say("document_refused", "unknown_key"), allowed)

    def figure(self, path: Path, key: str, value: Any) -> float | int | None:
        """A number in the range of its key, whole where that is; None if it is not."""
        number = self.number(value, path, RANGES[key])
        if number != number:
            return None
        return int(number) if RANGES[key].whole else number

    def choice(self, path: Path, key: str, value: Any) -> str | None:
        if not isinstance(value, str):
            allowed = choice_words(key)
            if key in TABLES:
                keys = ", ".join(taken_keys(key, TABLES[key]))
                allowed = say("document_refused", "or_table_with", choices=allowed, keys=keys)
            self.refuse_type(path, value, allowed)
        elif value not in CHOICES[key]:
            self.refuse_value(path, value, choice_words(key))
        else:
            return value
        return None

    def material(self, path: Path, name: Any) -> str | None:
        """The name of a material that the catalogue has."""
        if not isinstance(name, str):
            self.refuse_type(path, name, say("document_refused", "material"))
            return None
        try:
            check_material(name, self.known)
        except ChiparcError as error:
            self.refuse(path, error.found, error.allowed)
            return None
        return name

    def value(self, path: Path, value: Any) -> Any:
        key = ".".join(p for p in path if isinstance(p, str))
        if key in RANGES:
            return self.figure(path, key, value)
        if key in CHOICES and not (key in TABLES and isinstance(value, dict)):
            return self.choice(path, key, value)
        if key == "work.material":
            return self.material(path, value)
        if key == "machine.speed_curve":
            return self.curve(path, value)
        if key == "work.force":
            return self.force(path, value)
        if key in LISTS:
            return self.names(path, key, value)
        if key in FLAGS:
            return self.flag(path, value)
        if key in TEXTS:
            return self.line(path, value, LONGEST_LINE)
        return self.record(path, value, TABLES[key])

    def is_table(self, path: Path, table: Any, record_keys: tuple[str, ...]) -> bool:
        if not isinstance(table, dict):
            self.refuse_type(path, table, say("document_refused", "table_with", keys=", ".join(record_keys)))
        return isinstance(table, dict)

    def record(self, path: Path, table: Any, record: type) -> Any:
        """The record that a table fills; None, and the problems noted, if it does not."""
        known = taken_keys(".".join(p for p in path if isinstance(p, str)), record)
        if not self.is_table(path, table, known):
            return None
        before, values = len(self.faults), {}
        missing = {name for name in required_keys(record) if name not in table}
        for name, value in table.items():
            if name in known:
                values[name] = self.value((*path, name), value)
            else:
                self.refuse_unknown((*path, name), known, missing)
        for name in required_keys(record):
            if name in missing:
                self.missing((*path, name))
        return record(**values) if len(self.faults) == before else None

    def missing(self, path: Path) -> None:
        key = ".".join(p for p in path if isinstance(p, str))
        if key in RANGES:
            allowed = RANGES[key].number_words
        else:
            allowed = choice_words(key)
        self.refuse(path, say("refusal", "missing"), allowed)

    def force(self, path: Path, table: Any) -> LinearEdge | PowerLaw | None:
        every = tuple(dict.fromkeys(k for r in MODELS.values() for k in ("model", *keys_of(r))))
        if not self.is_table(path, table, every):
            return None
        model = self.choice((*path, "model"), "work.force.model", table["model"]) if "model" in table else None
        if model is not None:
            law: LinearEdge | PowerLaw | None = self.record(path, table, MODELS[model])
            return law
        missing = set() if "model" in table else {"model"}
        for name, value in table.items():
            if name not in every:
                self.refuse_unknown((*path, name), every, missing)
            elif name != "model":
                self.value((*path, name), value)
        if missing:
            self.missing((*path, "model"))
        return None

    def curve(self, path: Path, value: Any) -> tuple[tuple[float, float], ...] | None:
        if not isinstance(value, list):
            self.refuse_type(path, value, curve_words())
            return None
        found, point = curve_problem(value)
        if found:
            self.refuse((*path, point), found, curve_words())
            return None
        return tuple((float(rpm), float(kw)) for rpm, kw in value)

    def names(self, path: Path, key: str, value: Any) -> tuple[str, ...] | None:
        """A list of names that there are."""
        allowed = LISTS[key]
        if not isinstance(value, list):
            self.refuse_type(path, value, allowed.words)
        elif found := allowed.problem(value):
            self.refuse(path, shortened(found), allowed.words)
        else:
            return tuple(value)
        return None

    def flag(self, path: Path, value: Any) -> bool | None:
        """True or false."""
        if not isinstance(value, bool):
            self.refuse_type(path, value, say("document_refused", "flag"))
            return None
        return value

    def line(self, path: Path, value: Any, longest: int) -> str | None:
        """One line of text."""
        if not isinstance(value, str):
            self.refuse_type(path, value, line_words(longest))
        elif found := line_problem(value, longest):
            self.refuse(path, found, line_words(longest))
        else:
            return value
        return None

    def blocks(self) -> tuple[Mode, ...]:
        listed = self.data.get("dynamics", [])
        if not isinstance(listed, list):
            allowed = say("document_refused", "blocks_with", key="dynamics", keys=", ".join(keys_of(Mode)))
            self.refuse_type(("dynamics",), listed, allowed)
            return ()
        modes = [self.record(("dynamics", i), block, Mode) for i, block in enumerate(listed)]
        return tuple(mode for mode in modes if mode is not None)

    def heading(self) -> bool:
        """Check ``format`` and ``version``; False where the rest would only be noise."""
        kind, version = self.data.get("format"), self.data.get("version")
        if not self.data:
            first = say("document_refused", "and_so_on", line=f"format = {toml_value(FORMAT)}")
            self.refuse(("format",), say("document_refused", "empty"), first)
            return False
        if "format" not in self.data:
            self.refuse(("format",), say("refusal", "missing"), toml_value(FORMAT))
        elif kind != FORMAT:
            self.refuse_value(("format",), kind, toml_value(FORMAT))
            return not isinstance(kind, str)
        if "version" not in self.data:
            self.refuse(("version",), say("refusal", "missing"), str(VERSION))
        elif isinstance(version, bool) or not isinstance(version, int):
            self.refuse_type(("version",), version, say("document_refused", "whole_number", value=VERSION))
        elif version > VERSION:
            newer = say("document_refused", "newer", value=self.written(("version",), version))
            self.refuse(("version",), newer, str(VERSION))
            return False
        elif version != VERSION:
            self.refuse_value(("version",), version, str(VERSION))
        return True

    def setup(self) -> Setup | None:
        if not self.heading():
            return None
        missing = {"cutter", "cut"} - set(self.data)
        for name in self.data:
            if name not in TOP_KEYS:
                self.refuse_unknown((name,), TOP_KEYS, missing)
        title = self.line(("title",), self.data.get("title", ""), LONGEST_TITLE)
        parts: dict[str, Any] = {"dynamics": self.blocks(), "title": title}
        for name in ("cutter", "cut", "work", "machine", "advice", "show"):
            if name in self.data:
                parts[name] = self.value((name,), self.data[name])
            elif name in missing:
                keys = ", ".join(required_keys(TABLES[name]))
                allowed = say("document_refused", "table_with_at_least", keys=keys)
                self.refuse((name,), say("refusal", "missing"), allowed)
        if parts.get("cutter") and parts.get("cut"):
            self.together(Setup(parts["cutter"], parts["cut"], machine=parts.get("machine")))
        return Setup(**parts) if not self.faults else None

    def parts(self, table: Any) -> Setup | None:
        """The setup in a table of another document, which has no heading of its own."""
        if not self.is_table((), table, TOP_KEYS[2:]):
            return None
        self.data = {"format": FORMAT, "version": VERSION, **table}
        for name in ("format", "version"):
            if name in table:
                self.refuse((name,), say("document_refused", "unknown_key"), ", ".join(TOP_KEYS[2:]))
        return self.setup()

    def together(self, setup: Setup) -> None:
        try:
            check_together(setup)
        except ChiparcError as error:
            self.refuse(tuple(error.where.split(".")), error.found, error.allowed)


def read_within(reader: StrictToml, root: Path, table: Any, known: Catalogue | None = None) -> Setup | None:
    """The setup that a table of another document describes, such as ``[scene.setup]`` of a lesson.

    root : where the table stands; table : its keys, perhaps laid over those of a setup that stands elsewhere.
    Its faults are noted by ``reader``, with the lines of that document; None after any.
    """
    reading = _Reading("", reader.file, known)
    reading.places = reader.places.within(root)
    setup = reading.parts(table)
    for fault in reading.faults:
        reader.note(fault.line, f"{reader.name(root)}.{fault.where}", fault.found, fault.allowed)
    return setup if not reading.faults else None


def _read(data: str | bytes, file: str, known: Catalogue | None = None) -> Setup:
    reading = _Reading(decoded(data, file), file, known)
    setup = reading.setup()
    reading.finish()
    assert setup is not None, "a document without a fault gives a setup"
    return setup


def problems(data: str | bytes, file: str) -> list[Fault]:
    """Everything that is wrong with a setup document, in the order of its lines; empty if it is a setup.

    A text that is not TOML has one problem: nothing behind it can be trusted.
    """
    try:
        _read(data, file)
    except DocumentError as error:
        return list(error.faults)
    return []


def read_setup(data: str | bytes, file: str, known: Catalogue | None = None) -> Setup:
    """The setup that a document describes; ``file`` is its name for the errors.

    known : the catalogue that has the work's material, the project's own unless given.

    Raises DocumentError with every fault of the document: line, key, what was found and what is allowed.
    """
    return _read(data, file, known)
