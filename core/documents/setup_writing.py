"""Writing a setup as a document: a fresh one in the usual order, or the person's own text with its changes.

With an original at hand only what differs is touched: comments, order and layout of the rest stay.
"""

from __future__ import annotations

from dataclasses import MISSING, Field, fields, replace
from difflib import SequenceMatcher
from typing import TYPE_CHECKING, Any

from ..base.errors import ChiparcError
from ..base.refused import refused
from ..base.words import say
from ..setup.setup import Mode, Setup
from ..setup.setup_limits import LISTS, RANGES, check_setup
from .setup_reading import FORMAT, NOT_WRITTEN, VERSION, check_title, read_setup
from .toml_edit import Edits, inline_table, toml_lines, toml_value
from .toml_lines import Entry, Path, parse_toml, places

if TYPE_CHECKING:
    from .materials import Catalogue

_ORDER = {
    "cutter": ("hand", "diameter_mm", "teeth"),
    "cut": ("direction", "radial_engagement_mm", "centre_offset_mm"),
    "work.force": ("model",),
}
"""Keys that a fresh document writes first in their tables; the others follow as in the records."""

_ALWAYS = {
    ("cutter", "hand"),
    ("cutter", "helix_deg"),
    ("cutter", "cutting_edge_angle_deg"),
}
"""Keys that a fresh document writes even at their defaults."""

_MODE_KEYS = tuple(f.name for f in fields(Mode))


def _ordered(table: str, record: Any) -> list[Field[Any]]:
    first = _ORDER.get(table, ())
    listed = {f.name: f for f in fields(record) if f.name not in NOT_WRITTEN}
    return [listed[n] for n in first] + [f for n, f in listed.items() if n not in first]


def _plain_type(key: str, value: Any) -> Any:
    """A figure as the document's own type, whatever number type a control or an array handed over."""
    if key == "machine.speed_curve":
        return [[float(rpm), float(kw)] for rpm, kw in value]
    if key in LISTS:
        return list(value)
    if key not in RANGES:
        return value
    return int(value) if RANGES[key].whole else float(value)


def _leaves(setup: Setup) -> tuple[dict[Path, Any], set[Path]]:
    """Every key and value that the setup has, in the order of a fresh document; and which are defaults."""
    leaves: dict[Path, Any] = {("format",): FORMAT, ("version",): VERSION, ("title",): setup.title}
    plain: set[Path] = set() if setup.title else {("title",)}

    def gather(path: Path, record: Any) -> None:
        table = ".".join(map(str, path))
        inner: list[tuple[Path, Any]] = []
        for each in _ordered(table, record):
            value, at = getattr(record, each.name), (*path, each.name)
            if hasattr(value, "__dataclass_fields__"):
                inner.append((at, value))
            elif value is not None and value != ():
                leaves[at] = _plain_type(f"{table}.{each.name}", value)
                if each.default is not MISSING and value == each.default and each.name != "model":
                    plain.add(at)
        for at, value in inner:
            gather(at, value)

    gather(("cutter",), setup.cutter)
    gather(("cut",), setup.cut)
    gather(("work",), setup.work)
    if setup.machine is not None:
        gather(("machine",), setup.machine)
    gather(("advice",), setup.advice)
    gather(("show",), setup.show)
    return leaves, plain


def _mode_values(mode: Mode) -> dict[str, Any]:
    return {name: _plain_type(f"dynamics.{name}", getattr(mode, name)) for name in _MODE_KEYS}


def _fresh(setup: Setup) -> str:
    leaves, plain = _leaves(setup)
    tables: dict[Path, dict[str, Any]] = {}
    for path, value in leaves.items():
        if path not in plain or path in _ALWAYS:
            tables.setdefault(path[:-1], {})[str(path[-1])] = value
    parts = [(f"[{'.'.join(map(str, t))}]\n" if t else "") + toml_lines(values) for t, values in tables.items()]
    parts += ["[[dynamics]]\n" + toml_lines(_mode_values(mode)) for mode in setup.dynamics]
    return "\n".join(parts)


class _Editing:
    """The changes that turn one document into that of another setup."""

    def __init__(self, setup: Setup, original: str) -> None:
        self.data = parse_toml(original, "")
        self.places = places(original)
        self.edits = Edits(self.places)
        self.setup = setup
        self.leaves, self.plain = _leaves(setup)
        self.handled: set[Path] = set()

    def at(self, path: Path) -> Any:
        value: Any = self.data
        for part in path:
            value = value[part]
        return value

    def changed(self) -> str:
        for entry in [e for e in self.places.entries.values() if e.path == e.outer and e.path[0] != "dynamics"]:
            self.statement(entry)
        self.drop_tables()
        self.add_missing()
        self.blocks()
        return self.edits.text()

    def set_if_other(self, entry: Entry, value: Any) -> None:
        old = self.at(entry.path)
        if type(old) is bool or old != value or isinstance(old, str) != isinstance(value, str):
            self.edits.set_value(entry, toml_value(value))

    def under(self, path: Path) -> dict[Path, Any]:
        return {p: v for p, v in self.leaves.items() if p[: len(path)] == path}

    def statement(self, entry: Entry) -> None:
        path, value = entry.path, self.at(entry.path)
        if isinstance(value, dict) and path not in self.leaves:
            self.inline(entry)
        elif path in self.leaves and isinstance(value, list) == isinstance(self.leaves[path], list):
            self.set_if_other(entry, self.leaves[path])
            self.handled.add(path)
        else:
            self.edits.remove(entry.start, entry.end)

    def inline(self, entry: Entry) -> None:
        """A ``key = { … }``: values in place; written anew within its braces if keys come or go."""
        wanted = self.under(entry.path)
        inside = [e for e in self.places.entries.values() if e.outer == entry.path and e is not entry]
        leaves = {e.path: e for e in inside if not isinstance(self.at(e.path), dict)}
        needed = {p: v for p, v in wanted.items() if p in leaves or p not in self.plain}
        self.handled |= set(wanted)
        if not wanted:
            self.edits.remove(entry.start, entry.end)
        elif set(leaves) == set(needed):
            for path, inner in leaves.items():
                self.set_if_other(inner, needed[path])
        else:
            text = inline_table({p[len(entry.path) :]: v for p, v in needed.items()}) if needed else "{}"
            self.edits.set_value(entry, text)

    def drop_tables(self) -> None:
        for header in self.places.headers.values():
            if header.path[0] != "dynamics" and not self.under(header.path).keys() - {header.path}:
                self.edits.remove(header.start, self.edits.last_end(header.path))

    def add_missing(self) -> None:
        tables: dict[Path, dict[Path, Any]] = {}
        for path, value in self.leaves.items():
            if path not in self.handled and path not in self.plain:
                tables.setdefault(path[:-1], {})[path] = value
        # Lines without a header come first: at one place a new table must follow, not take them in.
        for table in sorted(tables, key=lambda t: self.room(t) is None):
            self.add(table, tables[table])

    def room(self, table: Path) -> tuple[int, Path] | None:
        """Where lines of a table fit without a header of their own, and the table that is open there."""
        if table in self.places.headers or not table:
            return self.edits.last_end(table), table
        statements = [e for e in self.places.entries.values() if e.path == e.outer]
        for family in (table, table[:1]):  # a table may be spelt out in dotted keys: then go on like that
            dotted = [e for e in statements if e.path[: len(family)] == family and len(e.table) < len(family)]
            if dotted:
                return max(e.end for e in dotted), dotted[-1].table
        return None

    def add(self, table: Path, values: dict[Path, Any]) -> None:
        room = self.room(table)
        if room is not None:
            position, opened = room
            self.add_lines(position, values, opened)
            return
        lines = f"[{'.'.join(map(str, table))}]\n" + toml_lines({str(p[-1]): v for p, v in values.items()})
        children = [h for h in self.places.headers.values() if h.path[: len(table)] == table]
        kin = [h for h in self.places.headers.values() if h.path[:1] == table[:1]]
        blocks = [h for h in self.places.headers.values() if h.path[0] == "dynamics"]
        if children:
            self.edits.insert(min(self.edits.above(h) for h in children), lines + "\n")
        elif kin:
            self.edits.insert(max(self.edits.last_end(h.path) for h in kin), "\n" + lines)
        elif blocks:
            self.edits.insert(min(self.edits.above(h) for h in blocks), lines + "\n")
        else:
            self.edits.insert(len(self.edits.original), "\n" + lines)

    def add_lines(self, position: int, values: dict[Path, Any], table: Path) -> None:
        if position == 0 and self.edits.original.startswith("\ufeff"):
            position = 1
        lines = toml_lines({".".join(map(str, p[len(table) :])): v for p, v in values.items()})
        self.edits.insert(position, lines)

    def blocks(self) -> None:
        """The ``[[dynamics]]`` blocks: the same ones stay, others change, come or go."""
        old, new = self.data.get("dynamics", []), [_mode_values(mode) for mode in self.setup.dynamics]
        if ("dynamics",) in self.places.entries:
            self.listed_blocks(self.places.entries[("dynamics",)], old, new)
            return
        if not isinstance(old, list):
            return
        known = [tuple(block.get(name) for name in _MODE_KEYS) for block in old]
        wanted = [tuple(values.values()) for values in new]
        steps = SequenceMatcher(None, known, wanted, autojunk=False).get_opcodes()
        if len(old) == len(new):
            steps = [("replace", 0, len(old), 0, len(new))]
        for _, i1, i2, j1, j2 in steps:
            both = min(i2 - i1, j2 - j1)
            for k in range(both):
                self.block(i1 + k, new[j1 + k])
            for i in range(i1 + both, i2):
                header = self.places.headers[("dynamics", i)]
                self.edits.remove(header.start, self.edits.last_end(header.path))
            added = "".join("[[dynamics]]\n" + toml_lines(v) + "\n" for v in new[j1 + both : j2])
            if added and i2 == 0 and old:
                self.edits.insert(self.edits.above(self.places.headers[("dynamics", 0)]), added)
            elif added:
                end = self.edits.last_end(("dynamics", i2 - 1)) if i2 else len(self.edits.original)
                self.edits.insert(end, "\n" + added[:-1])

    def block(self, index: int, values: dict[str, Any]) -> None:
        path: Path = ("dynamics", index)
        for entry in [e for e in self.places.entries.values() if e.table == path and e.path == e.outer]:
            if entry.path[-1] in values and len(entry.path) == 3:
                self.set_if_other(entry, values[str(entry.path[-1])])
            else:
                self.edits.remove(entry.start, entry.end)
        missing = {(*path, n): v for n, v in values.items() if (*path, n) not in self.places.entries}
        if missing:
            self.add_lines(self.edits.last_end(path), missing, path)

    def listed_blocks(self, entry: Entry, old: Any, new: list[dict[str, Any]]) -> None:
        """``dynamics = [{ … }, …]`` in one statement."""
        if isinstance(old, list) and [set(block) for block in old] == [set(values) for values in new]:
            for i, values in enumerate(new):
                for name, value in values.items():
                    self.set_if_other(self.places.entries[("dynamics", i, name)], value)
        elif new:
            rows = "".join(f"    {inline_table({(n,): v for n, v in values.items()})},\n" for values in new)
            self.edits.set_value(entry, f"[\n{rows}]")
        else:
            self.edits.remove(entry.start, entry.end)


def setup_tables(setup: Setup, *, defaults: bool = False) -> dict[Path, dict[str, Any]]:
    """The keys of a setup by table, without heading, title and ``[[dynamics]]``, as a fresh document has them.

    defaults : with keys that stand at their defaults.
    """
    leaves, plain = _leaves(setup)
    tables: dict[Path, dict[str, Any]] = {}
    for path, value in leaves.items():
        if len(path) > 1 and (defaults or path not in plain or path in _ALWAYS):
            tables.setdefault(path[:-1], {})[str(path[-1])] = value
    return tables


def mode_tables(setup: Setup) -> list[dict[str, Any]]:
    """The ``[[dynamics]]`` blocks of a setup."""
    return [_mode_values(mode) for mode in setup.dynamics]


def write_setup(setup: Setup, original: str | None = None, known: Catalogue | None = None) -> str:
    """The setup as a document that reads back as the same setup.

    original : the text that the setup came from; its comments, order and layout are kept, only values that
    differ are changed, missing keys added to their tables and keys without meaning for the setup removed;
    known : the catalogue that has the work's material, the project's own unless given.
    Raises ChiparcError for a setup that is not legal, since no document could hold it.
    """
    check_setup(setup)
    check_title(setup.title)
    if setup.work.facts is not None:
        # What the catalogue tells stands in the catalogue.
        setup = replace(setup, work=replace(setup.work, facts=None))
    if original is not None and original.strip("\ufeff \t\r\n"):
        text = _edited(setup, original, known)
        if text is not None:
            return text
    text = _fresh(setup)
    if read_setup(text, "setup", known) != setup:
        raise ChiparcError(say("refused_place", "setup"), *refused("document_refused", "not_held"))
    return text


def _edited(setup: Setup, original: str, known: Catalogue | None = None) -> str | None:
    """The original with the setup's changes; None if it is no document of ours or would not read back."""
    try:
        text = _Editing(setup, original).changed()
        return text if read_setup(text, "setup", known) == setup else None
    except (ChiparcError, KeyError, TypeError, IndexError):
        # A text of a form that was not foreseen: the caller writes a fresh one rather than a wrong one.
        return None
