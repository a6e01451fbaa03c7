"""Calibration: the printed coefficients of a published data set, and a way there and back."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from core.calibration.calibration import Calibration, MeanForces, calibrate
from core.calibration.calibration_file import read_mean_forces
from core.cut.engagement import engagement
from core.setup.setup import Cut, Cutter, LinearEdge, Setup

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


def test_without_axial_forces_the_axial_coefficients_are_zero() -> None:
    text = "\n".join(line.rsplit(",", 1)[0] for line in measured_csv().splitlines())
    fit = calibrate(read_mean_forces(text, "xy.csv"), SLOT).coefficients
    assert (fit.kac, fit.kae) == (0.0, 0.0)
    assert fit.ktc == pytest.approx(958.860, abs=0.03)


TRUE = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)


def turned_means(setup: Setup, feeds: np.ndarray, k: LinearEdge = TRUE) -> np.ndarray:
    """Mean forces (n, 3) of a whole turn of every tooth, runout and all: trapezoids in time, no closed form."""
    phi = np.linspace(0.0, 2.0 * np.pi, 40_001)[:-1]
    e, cutter = engagement(setup), setup.cutter
    inside, sin_kappa = (phi > e.entry) & (phi < e.exit), np.sin(np.radians(cutter.cutting_edge_angle_deg))
    radii = cutter.runout_mm * np.cos(
        np.radians(cutter.runout_angle_deg) + 2 * np.pi * np.arange(cutter.teeth) / cutter.teeth
    )
    found = []
    for feed in feeds:
        total = np.zeros(3)
        for own, before in zip(radii, np.roll(radii, 1), strict=True):
            h = (feed * np.sin(phi) + own - before) * sin_kappa
            assert (h[inside] > 0).all() or not cutter.runout_mm
            ft, fr, fa = k.ktc * h + k.kte, k.krc * h + k.kre, k.kac * h + k.kae
            every = (-ft * np.sin(phi) + fr * np.cos(phi), -ft * np.cos(phi) - fr * np.sin(phi), fa)
            total += [np.where(inside, f, 0.0).mean() for f in every]
        found.append(total * setup.cut.axial_engagement_mm / sin_kappa)
    return np.array(found)


def test_runout_and_helix_leave_the_means_as_they_are() -> None:
    """The thickness that one tooth takes more the next takes less; a helix only delays."""
    cut = Cut("straddling", 6.0, 2.0, 0.1, 4000.0)
    feeds = np.array([0.1, 0.15, 0.2])
    means = turned_means(Setup(Cutter(12.0, 4, runout_mm=0.01, runout_angle_deg=20.0), cut), feeds)
    got = calibrate(MeanForces(feeds, means), Setup(Cutter(12.0, 4, helix_deg=45.0), cut)).coefficients
    for name in ("ktc", "krc", "kac", "kte", "kre", "kae"):
        assert getattr(got, name) == pytest.approx(getattr(TRUE, name), rel=2e-3), name


def standard_errors_of(fit: Calibration) -> list[float]:
    return [getattr(fit.standard_errors, n) for n in ("ktc", "krc", "kac", "kte", "kre", "kae")]


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_noise_is_averaged_out_and_the_standard_errors_say_how_far(direction: str) -> None:
    """Over many noisy sets the coefficients centre on the true ones and scatter as their standard errors say."""
    setup = Setup(Cutter(12.0, 4), Cut(direction, 5.0, 2.0, 0.1, 4000.0))  # type: ignore[arg-type]
    feeds = np.repeat([0.03, 0.06, 0.09, 0.12], 2)
    clean = turned_means(setup, feeds)
    # Noise that x and y share in part, as one rig has.
    mixed = np.linalg.cholesky([[9.0, 4.0, 0.0], [4.0, 6.0, 0.0], [0.0, 0.0, 1.0]])
    chance = np.random.default_rng(5)
    fits = [
        calibrate(MeanForces(feeds, clean + chance.normal(size=clean.shape) @ mixed.T), setup) for _ in range(600)
    ]
    got = np.array([[getattr(f.coefficients, n) for n in ("ktc", "krc", "kac", "kte", "kre", "kae")] for f in fits])
    true = np.array([1800.0, 700.0, 300.0, 22.0, 35.0, 3.0])
    spread = got.std(0, ddof=1)
    assert (np.abs(got.mean(0) - true) < 4.0 * spread / np.sqrt(len(fits)) + 1e-3 * true).all()
    told = np.sqrt(np.mean(np.array([standard_errors_of(f) for f in fits]) ** 2, 0))
    assert told == pytest.approx(spread, rel=0.12)


def test_one_line_is_that_of_scipy() -> None:
    """Slope, intercept, their errors and R2 of the axial force, which no other force touches."""
    measured = read_mean_forces(measured_csv(), "slots.csv")
    # Imported here: it takes each worker a third of a second, and one needs it.
    from scipy.stats import linregress

    fit, line = calibrate(measured, SLOT), linregress(measured.feed, measured.forces[:, 2])
    assert (fit.slopes[2], fit.intercepts[2]) == pytest.approx((line.slope, line.intercept), rel=1e-12)
    assert fit.r_squared[2] == pytest.approx(line.rvalue**2, rel=1e-12)
    per_depth = 2.0 * np.pi / (2 * 3.0)
    assert fit.standard_errors.kac == pytest.approx(line.stderr * per_depth / 2.0, rel=1e-9)
    assert fit.standard_errors.kae == pytest.approx(line.intercept_stderr * per_depth / np.pi, rel=1e-9)
    assert fit.scatter[2] == pytest.approx(np.sqrt(np.sum(fit.residuals[:, 2] ** 2) / 3), rel=1e-12)


def test_two_rows_fit_anything_and_say_so() -> None:
    fit = calibrate(MeanForces(np.array([0.05, 0.1]), np.array([[-50.0, -30.0, 5.0], [-80.0, -40.0, 9.0]])), SLOT)
    assert np.isnan(standard_errors_of(fit)).all() and np.isnan(fit.scatter).all()
    assert np.abs(fit.residuals).max() < 1e-12


def test_a_force_that_does_not_vary_has_no_r_squared() -> None:
    forces = np.array([[-50.0, -30.0, 0.1], [-80.0, -40.0, 0.1], [-110.0, -51.0, 0.1]])
    fit = calibrate(MeanForces(np.array([0.05, 0.1, 0.15]), forces), SLOT)
    assert np.isnan(fit.r_squared[2]) and np.isfinite(fit.r_squared[:2]).all()
    assert fit.coefficients.kac == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("scale", [1e-9, 1.0, 1e3])
def test_feeds_of_any_size_keep_their_digits(scale: float) -> None:
    feeds = np.array([0.02, 0.02001, 0.02003]) * scale
    line = np.array([-1000.0, -400.0, 200.0]) / scale
    fit = calibrate(MeanForces(feeds, feeds[:, None] * line - 7.0), SLOT)
    assert fit.slopes == pytest.approx(line, rel=1e-8)
