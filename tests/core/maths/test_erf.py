"""The error function of arrays against independent ones."""

from __future__ import annotations

import math

import mpmath
import numpy as np
import pytest
from scipy.special import erf as reference

from core.maths.erf import erf


def test_it_is_the_error_function_to_the_last_digits() -> None:
    x = np.concatenate([np.linspace(-8.0, 8.0, 100_003), np.logspace(-300.0, 2.0, 30_001)])
    assert np.max(np.abs(erf(x) - reference(x))) < 1e-13
    x = x[x != 0.0]
    assert np.max(np.abs(erf(x) / reference(x) - 1.0)) < 2e-13


@pytest.mark.parametrize("x", [1e-12, 3e-5, 0.0078, 0.5, 1.5, 3.7, 5.9])
def test_single_values_with_many_digits(x: float) -> None:
    assert float(erf(x)) == pytest.approx(float(mpmath.erf(mpmath.mpf(x))), rel=2e-13)


def test_ends_and_shapes() -> None:
    assert erf([math.inf, -math.inf, 0.0]).tolist() == [1.0, -1.0, 0.0]
    assert np.isnan(erf(math.nan)) and erf(np.zeros((2, 3))).shape == (2, 3)
