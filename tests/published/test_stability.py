"""Published stability: closed form, the benchmark of the literature, tables of limits, four modes."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from core.chatter.directional import CuttingSlopes
from core.chatter.modes import modes_of
from core.chatter.spectral_map import spectral_map
from core.chatter.stability import ChatterCut
from core.chatter.zeroth_order import least_limit, zeroth_order
from core.setup.setup import Mode
from tests.core.chatter.cuts import PUBLISHED, SLOPES, arc, chatter_cut, plant
from tests.published.tables import agree

ALL_CHECKS = ("closed_form", "ding", "ding_climb", "limits", "four_modes")


@pytest.mark.parametrize("axes", ["x", "y"])
def test_closed_form_of_the_slot_with_four_teeth(axes: str) -> None:
    source = PUBLISHED["closed_form"]
    cut = chatter_cut(axes, "slot", 4)
    rpm = [row["rpm"] for row in source["rows"]] + source["least_rpm"]
    printed = [row["limit"] for row in source["rows"]] + [source["least_mm"]] * len(source["least_rpm"])
    for n, ours, limit in zip(rpm, cut.border(rpm).depth_mm, printed, strict=True):
        agree(float(ours), limit, source["tolerance"] * max(limit, 0.1), f"limit at {n}", source)
    # The zeroth order is exact here.
    plain = zeroth_order(cut.modes, cut.slopes, cut.entry, cut.leave, 4, rpm)
    np.testing.assert_allclose(plain.depth_mm, printed, rtol=2e-3)
    least = least_limit(cut.modes, cut.slopes, cut.entry, cut.leave, 4)
    agree(least, source["least_mm"], 2e-6, "least limit", source)


def test_spectral_radius_of_the_literature_benchmark() -> None:
    source = PUBLISHED["ding"]
    depths = [row["ap"] for row in source["rows"]]
    found = chatter_cut("y", "slot", 2).spectral_map([5000.0], depths).radius[0]
    for row, radius in zip(source["rows"], found, strict=True):
        agree(float(radius), row["published"], source["published_tolerance"], f"|mu| at {row['ap']}", source)
        agree(float(radius), row["converged"], source["tolerance"], f"|mu| at {row['ap']}, converged", source)


@pytest.mark.parametrize("row", PUBLISHED["ding_climb"]["rows"], ids=lambda row: f"ae/D={row['width']}")
def test_spectral_radius_in_climb(row: dict[str, Any]) -> None:
    source = PUBLISHED["ding_climb"]
    entry = math.pi - math.acos(1.0 - 2.0 * row["width"])
    found = spectral_map(plant("y"), SLOPES, entry, math.pi, 2, [5000.0], source["ap"]).radius[0]
    for ap, ours, radius in zip(source["ap"], found, row["radius"], strict=True):
        agree(float(ours), radius, source["tolerance"], f"|mu| at {ap}", source)


@pytest.mark.parametrize("row", PUBLISHED["limits"]["rows"], ids=lambda row: f"{row['modes']} {row['cut']}")
def test_axial_limits(row: dict[str, Any]) -> None:
    source = PUBLISHED["limits"]
    found = chatter_cut(row["modes"], row["cut"], 2).border(source["rpm"]).depth_mm
    for n, ours, limit in zip(source["rpm"], found, row["limit"], strict=True):
        if limit == source["above"]:
            assert ours > limit
        else:
            # Printed to five decimals.
            agree(float(ours), limit, 5e-6 + source["tolerance"] * limit, f"limit at {n}", source)


@pytest.mark.parametrize("row", PUBLISHED["four_modes"]["rows"], ids=lambda row: row["cut"])
def test_axial_limits_with_four_modes(row: dict[str, Any]) -> None:
    source = PUBLISHED["four_modes"]
    modes = modes_of(
        [
            Mode(m["axis"], f := m["frequency_hz"], m["damping_ratio"], m["mass_kg"] * (2 * math.pi * f) ** 2 / 1e3)
            for m in source["modes"]
        ]
    )
    assert modes is not None
    cut = ChatterCut(modes, CuttingSlopes(source["ktc"], source["krc"]), *arc(row["cut"]), 4, 60.0)
    for n, ours, limit in zip(source["rpm"], cut.border(source["rpm"]).depth_mm, row["limit"], strict=True):
        agree(float(ours), limit, source["tolerance"] * limit, f"limit at {n}", source)


@pytest.mark.parametrize("name", ALL_CHECKS)
def test_each_check_can_fail(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """With the radial slope 1 % greater each of them contradicts its source."""
    usual = CuttingSlopes.at

    def steeper(self: CuttingSlopes, phi: Any) -> Any:
        tangential, radial = usual(self, phi)
        return tangential, 1.01 * radial

    monkeypatch.setattr(CuttingSlopes, "at", steeper)
    with pytest.raises(AssertionError, match=r"ours .* printed"):
        if name == "closed_form":
            test_closed_form_of_the_slot_with_four_teeth("x")
        elif name == "ding":
            test_spectral_radius_of_the_literature_benchmark()
        elif name == "ding_climb":
            test_spectral_radius_in_climb(PUBLISHED[name]["rows"][2])
        elif name == "limits":
            test_axial_limits(PUBLISHED[name]["rows"][0])
        else:
            test_axial_limits_with_four_modes(PUBLISHED[name]["rows"][0])
