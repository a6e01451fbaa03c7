"""Calibration: the printed coefficients of a published data set, and a way there and back."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from core.calibration import MeanForces, calibrate, read_mean_forces
from core.engagement import engagement
from core.errors import DocumentError
from core.setup import Cut, Cutter, LinearEdge, Setup

SLOT = Setup(Cutter(25.0, 2, helix_deg=45.0), Cut("straddling", 25.0, 3.0, 0.1, 6000.0))

# Mean forces of five measured slots: repository leekunhwee/ForceCalculation, flat end mill (seen; no licence,
# figures quoted): -Fx, Fy, size of Fz in N at fz in mm, D 25, z 2, ap 3, 6000/min.
MEASURED = (
    (0.025, 63.02, -39.80, 55.72),
    (0.050, 107.14, -60.05, 70.91),
    (0.075, 137.67, -71.60, 82.57),
    (0.100, 171.27, -76.75, 85.23),
    (0.125, 210.74, -78.49, 83.50),
)


def measured_csv(separator: str = ",") -> str:
    rows = [separator.join(("feed_per_tooth_mm", "mean_fx_n", "mean_fy_n", "mean_fz_n"))]
    rows += [separator.join(map(str, (f, -x, y, z))) for f, x, y, z in MEASURED]
    return "\n".join(rows)


def test_printed_coefficients_of_the_published_slots() -> None:
    """Printed with the data: 958.860, 250.863, 146.361; 15.758, 19.434, 18.208.

    The means are printed to 0.01 N, which is 0.02 N/mm2 and 0.01 N/mm in the coefficients.
    """
    fit = calibrate(read_mean_forces(measured_csv(), "slots.csv"), SLOT).coefficients
    assert (fit.ktc, fit.krc, fit.kac) == pytest.approx((958.860, 250.863, 146.361), abs=0.03)
    assert (fit.kte, fit.kre, fit.kae) == pytest.approx((15.758, 19.434, 18.208), abs=0.005)


@pytest.mark.parametrize("direction", ["climb", "conventional"])
@pytest.mark.parametrize("kappa", [90.0, 45.0])
def test_there_and_back_at_any_arc(direction: str, kappa: float) -> None:
    """Means by scipy quadrature of the force model give the coefficients back."""
    k = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)
    setup = Setup(Cutter(12.0, 4, cutting_edge_angle_deg=kappa), Cut(direction, 5.0, 2.0, 0.1, 4000.0))  # type: ignore[arg-type]
    arc, sin_kappa = engagement(setup), np.sin(np.radians(kappa))
    width = setup.cut.axial_engagement_mm / sin_kappa
    feeds, means = np.array([0.03, 0.06, 0.12]), []
    for feed in feeds:

        def force(phi: float, axis: int, feed: float = feed) -> float:
            h = feed * np.sin(phi) * sin_kappa
            ft, fr, fa = k.ktc * h + k.kte, k.krc * h + k.kre, k.kac * h + k.kae
            return (
                -ft * np.sin(phi) + fr * np.cos(phi),
                -ft * np.cos(phi) - fr * np.sin(phi),
                fa,
            )[axis] * width

        means.append([4 / (2 * np.pi) * quad(force, arc.entry, arc.exit, args=(a,))[0] for a in range(3)])
    fit = calibrate(MeanForces(feeds, np.array(means)), setup)
    got = fit.coefficients
    assert (got.ktc, got.krc, got.kac, got.kte, got.kre, got.kae) == pytest.approx(
        (k.ktc, k.krc, k.kac, k.kte, k.kre, k.kae), rel=1e-9
    )
    assert np.abs(fit.residuals).max() < 1e-9
    assert fit.r_squared == pytest.approx(1.0)


def test_separators_decimal_commas_and_forces_on_the_work() -> None:
    plain = read_mean_forces(measured_csv(), "a.csv")
    comma = read_mean_forces("# rig 2\n" + measured_csv(";").replace(".", ","), "b.csv")
    turned = read_mean_forces(measured_csv("\t"), "c.csv", on_work=True)
    assert np.array_equal(plain.forces, comma.forces)
    assert np.array_equal(plain.forces, -turned.forces)


def test_without_axial_forces_the_axial_coefficients_are_zero() -> None:
    text = "\n".join(line.rsplit(",", 1)[0] for line in measured_csv().splitlines())
    fit = calibrate(read_mean_forces(text, "xy.csv"), SLOT).coefficients
    assert (fit.kac, fit.kae) == (0.0, 0.0)
    assert fit.ktc == pytest.approx(958.860, abs=0.03)


@pytest.mark.parametrize(
    ("text", "line", "word"),
    [
        ("", 0, "no line"),
        ("# only a comment\n", 0, "no line"),
        ("feed,mean_fx_n,mean_fy_n\n0.1,1,2\n", 1, "feed_per_tooth_mm"),
        ("feed_per_tooth_mm,mean_fx_n,mean_fy_n,force\n0.1,1,2,3\n", 1, "force"),
        ("feed_per_tooth_mm,mean_fx_n,mean_fy_n,mean_fy_n\n0.1,1,2,3\n", 1, "twice"),
        ("feed_per_tooth_mm,mean_fx_n,mean_fy_n\n0.1,1\n", 2, "2 cells"),
        ("feed_per_tooth_mm,mean_fx_n,mean_fy_n\n0.1,1,2\n\n0.2,x,2\n", 4, '"x"'),
        ("feed_per_tooth_mm,mean_fx_n,mean_fy_n\n0.1,1,2\n0.2,nan,2\n", 3, '"nan"'),
        ("feed_per_tooth_mm,mean_fx_n,mean_fy_n\n-0.1,1,2\n0.2,1,2\n", 2, '"-0.1"'),
        ("feed_per_tooth_mm,mean_fx_n,mean_fy_n\n0.1,1,2\n0.1,1,2\n", 0, "1 different"),
    ],
)
def test_refused_in_words(text: str, line: int, word: str) -> None:
    with pytest.raises(DocumentError) as caught:
        read_mean_forces(text, "bad.csv")
    assert caught.value.line == line
    assert word in str(caught.value)
    assert str(caught.value).startswith("bad.csv")
