"""What each key of the report means: unit, model, source, what it leaves out, from ``shared/report.schema.json``.

The schema is the one place where a key is described; the list of keys, the table of figures and the rounding of the
JSON are made from it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ..base.places import shared
from ..base.words import phrase

Tree = dict[str, Any]


@dataclass(frozen=True, slots=True)
class ReportKey:
    """One key of the report: dotted, with ``[]`` behind a list of objects.

    ``unit`` and the rest are empty where they are not defined; ``strip`` is the id of the strip or chart of the
    Arc page that shows the figure.  ``kind`` is the JSON type.
    """

    key: str
    meaning: str
    kind: str
    unit: str = ""
    model: str = ""
    source: str = ""
    leaves_out: str = ""
    strip: str = ""

    @property
    def is_number(self) -> bool:
        """Whether it is a figure, or null."""
        return self.kind in ("number", "integer")


@lru_cache(maxsize=1)
def schema() -> Tree:
    """The JSON Schema of what ``report --json`` prints."""
    found: Tree = json.loads(shared("report.schema.json").read_text("utf-8"))
    return found


def kind_of(node: Tree) -> str:
    """The JSON type of a key, apart from null."""
    types = node.get("type", "any")
    return str(next(t for t in types if t != "null") if isinstance(types, list) else types)


def _leaves(node: Tree, key: str) -> Iterator[ReportKey]:
    kind = kind_of(node)
    if kind == "object":
        for name, inner in node.get("properties", {}).items():
            yield from _leaves(inner, f"{key}.{name}" if key else name)
        if isinstance(inner := node.get("additionalProperties"), dict):
            # Names that are not known beforehand, such as those of all figures.
            yield from _leaves(inner, f"{key}.*")
    elif kind == "array" and kind_of(node["items"]) == "object":
        yield from _leaves(node["items"], f"{key}[]")
    else:
        # A plain list is described by itself or by what it holds.
        leaf = node if "x-unit" in node else node | {k: v for k, v in node.get("items", {}).items() if k != "type"}
        told = {name: str(leaf.get(f"x-{name}") or "") for name in ("unit", "model", "source", "leaves-out", "strip")}
        model, source, leaves_out = (phrase(told[name]) for name in ("model", "source", "leaves-out"))
        meaning = phrase(str(leaf["description"]))
        yield ReportKey(key, meaning, kind, told["unit"], model, source, leaves_out, told["strip"])


@lru_cache(maxsize=1)
def report_keys() -> dict[str, ReportKey]:
    """Every key of a report, and those of the entry of a refused document, in their order."""
    parts = schema()["$defs"]
    found = {each.key: each for each in _leaves(parts["report"], "")}
    for each in _leaves(parts["refused"], ""):
        found.setdefault(each.key, each)
    return found


@lru_cache(maxsize=1)
def group_titles() -> dict[str, str]:
    """What each group of the report is about, by its name."""
    groups = schema()["$defs"]["report"]["properties"]
    return {name: phrase(str(node["description"])) for name, node in groups.items()}


def flat(value: Any, key: str = "") -> Iterator[tuple[str, Any]]:
    """Every leaf of a report with its dotted key; ``[]`` for any place in a list of objects."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from flat(inner, f"{key}.{name}" if key else name)
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for inner in value:
            yield from flat(inner, f"{key}[]")
    else:
        yield key, value
