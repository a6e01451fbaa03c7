"""The page of all keys of the report's JSON, made from the schema: for a reader and as data."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from ..base.words import say
from .schema import ReportKey, group_titles, report_keys
from .text_layout import wrapped


def keys_data() -> list[dict[str, Any]]:
    """Every key as plain data: ``key``, ``meaning``, ``kind``, ``unit``, ``model`` …; null where not defined."""
    return [{name: value or None for name, value in asdict(each).items()} for each in report_keys().values()]


def _lines(each: ReportKey) -> list[str]:
    head = (
        f"  {each.key}" + (f"  [{each.unit}]" if each.unit else "") + ("" if each.is_number else f"  ({each.kind})")
    )
    return [head, *wrapped(each.meaning, "      ")]


def keys_page() -> str:
    """Every key with its unit and meaning, group by group, 80 columns; model and source once for a run of keys."""
    titles, lines = group_titles(), wrapped(say("keys", "head"))
    group, basis = "", ("", "", "")
    for each in report_keys().values():
        if (own := each.key.partition(".")[0].removesuffix("[]")) != group:
            group, basis = own, ("", "", "")
            lines += [""] if each.key == group else ["", *wrapped(f"{group}: {titles.get(group, '')}")]
        if (rests := (each.model, each.source, each.leaves_out)) != basis:
            basis = rests
            for name, text in zip(("model", "source", "leaves_out"), rests, strict=True):
                if text:
                    lines += wrapped(say("keys", name, text=text), "    ")
        lines += _lines(each)
    return "\n".join(lines) + "\n"
