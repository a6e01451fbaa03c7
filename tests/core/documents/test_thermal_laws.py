"""Temperature laws: arrays, ends, joints of the branches; what is printed of them is held in tests/published."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.documents.thermal_laws import LAWS, ThermalLaw, change_since_20

ALL = pytest.mark.parametrize("law", LAWS.values(), ids=LAWS)


@ALL
def test_arrays_in_arrays_out_and_nan_stays_nan(law: ThermalLaw) -> None:
    t = np.array([[20.0, 300.0], [np.nan, 735.0]])
    for function in (law.conductivity_w_mk, law.specific_heat_j_kgk):
        values = function(t)
        assert values.shape == t.shape and np.isnan(values[1, 0])
        assert values[0, 1] == function(300.0) and np.isfinite(values[1, 1])


@ALL
@given(t=st.floats(-273.0, 5000.0))
def test_positive_everywhere_and_held_beyond_the_range(law: ThermalLaw, t: float) -> None:
    inside = min(max(t, law.lowest_c), law.highest_c)
    for function in (law.conductivity_w_mk, law.specific_heat_j_kgk):
        assert function(t) > 0.0 and function(t) == function(inside)


@ALL
def test_no_jump_over_a_hundredth_at_the_joints(law: ThermalLaw) -> None:
    """Printed branches meet to rounding; a wrong constant or a wrong joint makes a step.  Peak of steel left out."""
    t = np.linspace(law.lowest_c, law.highest_c, 200_001)
    t = t[(t < 725.0) | (t > 745.0)]
    for function in (law.conductivity_w_mk, law.specific_heat_j_kgk):
        values, near = function(t), np.diff(t) < 0.1
        assert np.max(np.abs(np.diff(values) / values[:-1])[near]) < 0.01


@ALL
def test_change_since_20_is_one_at_20_and_multiplies(law: ThermalLaw) -> None:
    assert [float(v) for v in change_since_20(law.name, 20.0)] == [1.0, 1.0]
    k, cp = change_since_20(law.name, [20.0, 400.0])
    assert k[1] == pytest.approx(law.conductivity_w_mk(400.0) / law.conductivity_w_mk(20.0))
    assert cp[1] == pytest.approx(law.specific_heat_j_kgk(400.0) / law.specific_heat_j_kgk(20.0))


def test_titanium_conducts_about_twice_as_well_at_650() -> None:
    assert change_since_20("titanium", 650.0)[0] == pytest.approx(2.0, rel=0.1)


def test_steel_gets_worse_at_conducting_and_stainless_better() -> None:
    t = np.linspace(20.0, 790.0, 78)
    assert np.all(np.diff(LAWS["carbon steel"].conductivity_w_mk(t)) < 0.0)
    assert np.all(np.diff(LAWS["austenitic"].conductivity_w_mk(t)) > 0.0)
