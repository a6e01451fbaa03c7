"""Integrals of powers of the sine for every exponent of the legal range, whatever the machine's maths library."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from scipy.special import betainc, gamma

from core.maths.sine_powers import sine_power_moments

ROOT = Path(__file__).parents[3]

FAILED = (0.167, 0.07, 0.53, 0.55, 0.89, 0.145, 0.176, 0.26)
"""Exponents that ended in a traceback on one maths library or another."""

ANGLES = np.array([1e-9, 1e-3, 0.4, 1.2, np.pi / 2, 2.0, 3.0, np.pi])


def expected(u: np.ndarray, q: np.ndarray) -> np.ndarray:
    """``J_q`` by the incomplete beta function of scipy, folded at the right angle."""
    half = np.sqrt(np.pi) * gamma((q + 1) / 2) / (2 * gamma(q / 2 + 1))
    folded = np.minimum(u, np.pi - u)
    part = half * betainc((q + 1) / 2, 0.5, np.sin(folded) ** 2)
    return np.where(u > np.pi / 2, 2 * half - part, part)


def test_every_exponent() -> None:
    q = 1.0 - np.concatenate([np.array(FAILED), np.linspace(0.0, 0.9999, 2000)])[:, None]
    got = np.array([sine_power_moments(ANGLES, float(one)) for one in q[:, 0]])
    np.testing.assert_allclose(got[:, 0], expected(ANGLES, q), rtol=1e-12)
    np.testing.assert_allclose(got[:, 1], expected(ANGLES, q + 1.0), rtol=1e-12)
    np.testing.assert_allclose(got[:, 2], np.sin(ANGLES) ** (q + 1) / (q + 1), rtol=1e-12, atol=1e-15)


@pytest.mark.parametrize("kernel", ["Prescott", "Nehalem"])
def test_another_machines_kernels(kernel: str) -> None:
    code = (
        "import numpy as np\n"
        "from core.maths.sine_powers import sine_power_moments as m\n"
        f"for mc in [*{FAILED}, *np.linspace(0.001, 0.999, 400)]:\n"
        "    got = m(np.array([0.5, 3.0]), 1.0 - float(mc))\n"
        "    assert got.shape == (3, 2) and np.isfinite(got).all(), mc\n"
        "print('done')"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={**os.environ, "OPENBLAS_CORETYPE": kernel},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.stdout.strip() == "done", ran.stderr
