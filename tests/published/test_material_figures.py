"""The catalogue against prints: Kienzle pairs, mechanistic coefficients, unit powers, temperature laws."""

from __future__ import annotations

import math
from collections import Counter
from typing import Any

import numpy as np
import pytest

from core.documents.materials import Material, catalogue, material
from core.documents.thermal_laws import LAWS

from .tables import agree, table

KIENZLE, LINEAR, POWER, THERMAL = (table(n) for n in ("kienzle", "linear_edge", "unit_power", "thermal_laws"))
HP_PER_IN3_MIN = 2.730324
"""kW per cm3/s in one horsepower per cubic inch and minute: 745.69987 W over 16.387064 cm3 in 60 s."""


def specific_force(entry: Material, h: float) -> float:
    law = entry.power_law
    assert law is not None
    return law.kc11_n_mm2 * h**-law.mc


@pytest.mark.parametrize("row", KIENZLE["rows"], ids=lambda r: r["name"])
def test_listed_kienzle_pairs_are_used(row: dict[str, Any]) -> None:
    entry = material(row["name"])
    law = entry.power_law
    assert law is not None
    agree(law.kc11_n_mm2, row["kc11"], 0.0, f"kc1.1 of {row['name']}", KIENZLE)
    agree(law.mc, row["mc"], 0.0, f"mc of {row['name']}", KIENZLE)
    for h, printed in zip((0.1, 0.2, 0.4), row["kc"], strict=True):
        agree(specific_force(entry, h), printed, 0.51, f"kc of {row['name']} at {h}", KIENZLE)
    if "second" in row:
        source = {"source": KIENZLE["second_source"], "status": KIENZLE["second_status"]}
        for key, printed in zip(("power_law.kc11_n_mm2", "power_law.mc"), row["second"], strict=True):
            figure = entry.figure(key)
            assert figure is not None and figure.spread is not None
            low, high = figure.spread
            agree((low + high) / 2, printed, (high - low) / 2, f"range of {key} of {row['name']}", source)


@pytest.mark.parametrize("name", KIENZLE["aluminium"]["names"])
def test_wrought_aluminium_is_the_middle_of_the_printed_range_and_says_that_it_is_chosen(name: str) -> None:
    print_, entry = KIENZLE["aluminium"], material(name)
    figure, mc = entry.figure("power_law.kc11_n_mm2"), entry.figure("power_law.mc")
    assert figure is not None and mc is not None
    assert figure.spread == tuple(print_["kc11"]) and mc.value == print_["mc"]
    assert figure.value == sum(print_["kc11"]) / 2 and "our choice" in figure.source.status


@pytest.mark.parametrize("row", LINEAR["rows"] + LINEAR["second"], ids=lambda r: f"{r['name']} {r['k'][0]}")
def test_printed_mechanistic_coefficients(row: dict[str, Any]) -> None:
    entry = material(row["name"])
    for name, printed in zip(("ktc", "krc", "kac", "kte", "kre", "kae"), row["k"], strict=True):
        figure = entry.figure(f"linear_edge.{name}")
        assert figure is not None and figure.spread is not None
        if row in LINEAR["rows"]:
            agree(figure.value, printed, 0.0, f"{name} of {row['name']}", row)
        elif not math.isnan(printed):
            assert figure.spread[0] <= printed <= figure.spread[1], (row["name"], name, row["source"])


@pytest.mark.parametrize("row", POWER["by_hardness"], ids=lambda r: r["what"])
def test_printed_pairs_of_unit_power_are_one_figure_in_two_units(row: dict[str, Any]) -> None:
    for kw, hp in zip(row["kw"], row["hp"], strict=True):
        agree(hp * HP_PER_IN3_MIN, kw, 0.005 + 0.005 * HP_PER_IN3_MIN, row["what"], row)


def within_factor(entry: Material, low: float, high: float, row: dict[str, Any]) -> None:
    ours, factor = specific_force(entry, row["h"]) / 1000.0, POWER["factor"]
    assert low / factor <= ours <= high * factor, (
        f"{entry.name}: ours {ours:.2f} kW per cm3/s, printed {low:.2f} to {high:.2f}; "
        f"{row['source']} ({row['status']})"
    )


@pytest.mark.parametrize("row", POWER["by_hardness"], ids=lambda r: r["what"])
def test_steels_have_the_unit_power_of_their_hardness(row: dict[str, Any]) -> None:
    for name in row["names"]:
        entry = material(name)
        hardness = entry.figure("hardness_hb")
        assert hardness is not None and row["hb"][0] - 20 <= hardness.value <= row["hb"][-1] + 20
        printed = float(np.interp(hardness.value, row["hb"], row["kw"]))
        within_factor(entry, printed, printed, row)


@pytest.mark.parametrize("row", POWER["by_group"], ids=lambda r: r["what"])
def test_materials_have_the_unit_power_of_their_group(row: dict[str, Any]) -> None:
    for name in row["names"]:
        low, high = row["kw"]
        within_factor(material(name), low, high, row)


def test_every_entry_is_held_against_a_unit_power_once_or_named_as_not_vouched_for() -> None:
    rows = (*POWER["by_hardness"], *POWER["by_group"], POWER["unvouched"])
    counted = Counter(name for row in rows for name in row["names"])
    assert counted == Counter(catalogue().names())


@pytest.mark.parametrize("printed", THERMAL["set"], ids=lambda s: s["law"])
def test_printed_points_of_the_temperature_laws(printed: dict[str, Any]) -> None:
    law = LAWS[printed["law"]]
    for row in printed["rows"]:
        ours = law.conductivity_w_mk(row["t"]) if "k" in row else law.specific_heat_j_kgk(row["t"])
        agree(float(ours), row.get("k", row.get("cp")), row["tolerance"], f"{law.name} at {row['t']:g} C", printed)


def test_every_law_has_printed_points() -> None:
    assert {s["law"] for s in THERMAL["set"]} == set(LAWS)
