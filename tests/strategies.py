"""Hypothesis strategies for setups over the whole legal range: ``setups()``, ``shop_setups()`` and their parts.

The ranges come from ``core.setup_limits``.  Where a range has no end (a stiffness, a coefficient) these go far
beyond anything in a workshop but not to the end of the floats, unless ``boundless`` is asked for.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from core.setup.setup import (
    ChipFormation,
    Cut,
    Cutter,
    Direction,
    LinearEdge,
    Machine,
    Mode,
    PowerLaw,
    Setup,
    Skin,
    Thermal,
    Work,
)
from core.setup.setup_limits import CHOICES, FEED_SHARE, RANGES

_FAR = 1e7

MOST_TEETH_WITH_RUNOUT = 12


# To make and check a strategy costs more than to draw from it: each is made once for its arguments and kept.


@cache
def figure(
    key: str, low: float | None = None, high: float | None = None, boundless: bool = False
) -> SearchStrategy[Any]:
    """A legal value of a numeric document key, optionally narrowed to ``low``..``high``."""
    limits = RANGES[key]
    if limits.whole:
        return st.integers(int(low or limits.low), int(high or limits.high))
    ends: dict[str, Any] = {"allow_nan": False, "allow_infinity": False}
    if low is None and math.isfinite(limits.low):
        low, ends["exclude_min"] = limits.low, limits.over
        if limits.over and not boundless:
            low, ends["exclude_min"] = low + 1e-6, False
        if limits.least > low:
            low, ends["exclude_min"] = limits.least, False
    if high is None and math.isfinite(limits.high):
        high, ends["exclude_max"] = limits.high, limits.under
    if not boundless:
        low, high = -_FAR if low is None else low, _FAR if high is None else high
    return st.floats(low, high, **ends)


_TOLERANCE = figure("cut.wall_tolerance_mm")


@cache
def _maybe(strategy: SearchStrategy[Any]) -> SearchStrategy[Any]:
    return st.none() | strategy


@cache
def _just_or(value: Any, strategy: SearchStrategy[Any]) -> SearchStrategy[Any]:
    return st.just(value) | strategy


@cache
def _one_of(*values: Any) -> SearchStrategy[Any]:
    return st.sampled_from(values)


@cache
def _up_to(most: int) -> SearchStrategy[int]:
    return st.integers(0, most)


def _chances(draw: Any, count: int) -> Iterator[bool]:
    """So many answers, each yes or no alike, by a single draw: a setup has two dozen figures that may be left out,
    and to draw whether each is there would cost more than to draw the figures."""
    bits = draw(_up_to(2**count - 1))
    return iter([bool(bits >> i & 1) for i in range(count)])


_TRUTH = st.booleans()
_SHARE = st.floats(0.0, 1.0)
_SIDE = _just_or(0.0, st.floats(-0.99, 0.99))
_SHARES = st.lists(_SHARE, min_size=1, max_size=4)
_TITLE = st.text(st.characters(exclude_categories=("C", "Zl", "Zp")), max_size=60)


@cache
@st.composite
def thermals(draw: Any, part: str = "work.thermal") -> Thermal:
    """Conductivity, density and specific heat within their ranges; of a work also what becomes of it in the heat."""
    names = ("conductivity_w_mk", "density_kg_m3", "specific_heat_j_kgk")
    constants = Thermal(*(draw(figure(f"{part}.{name}")) for name in names))
    if part != "work.thermal" or draw(_TRUTH):
        return constants
    law = draw(_maybe(_one_of(*CHOICES["work.thermal.law"])))
    return replace(constants, solidus_c=draw(_maybe(figure("work.thermal.solidus_c"))), law=law)


@cache
def _tool_materials() -> SearchStrategy[Any]:
    return _maybe(thermals("cutter.material") | _one_of(*CHOICES["cutter.material"]))


@cache
@st.composite
def cutters(draw: Any, everyday: bool = False, boundless: bool = False) -> Cutter:
    """A cutter of either hand; ``everyday``: 1 to 160 mm, what a workshop has in its drawer."""
    d = draw(figure("cutter.diameter_mm", 1.0, 160.0) if everyday else figure("cutter.diameter_mm"))
    teeth = draw(st.integers(1, 12) if everyday else figure("cutter.teeth"))
    there = _chances(draw, 10)

    def either(value: Any, strategy: SearchStrategy[Any]) -> Any:
        return draw(strategy) if next(there) else value

    # Each tooth's own chip is bounded by all the others: a hundred of them cost seconds, and tests of their own.
    most = (0.0049 * d if everyday else min(0.499 * d, 100.0)) if teeth <= MOST_TEETH_WITH_RUNOUT else 0.0
    modulus = (1e5, 7e5, False) if everyday else (None, None, boundless)
    holder = (1e3, 1e5, False) if everyday else (None, None, boundless)
    reach = st.floats(2 * d, 8 * d) if everyday else figure("cutter.stickout_mm", None, None, boundless)
    shank = st.floats(0.5 * d, 1.5 * d) if everyday else figure("cutter.shank_diameter_mm")
    return Cutter(
        diameter_mm=d,
        teeth=teeth,
        hand=draw(_one_of("right", "left")),
        helix_deg=either(0.0, figure("cutter.helix_deg", 0.0, 60.0 if everyday else 85.0)),
        cutting_edge_angle_deg=either(
            90.0, figure("cutter.cutting_edge_angle_deg", 10.0 if everyday else None, 90.0)
        ),
        radial_rake_deg=either(0.0, figure("cutter.radial_rake_deg")),
        edge_radius_mm=either(None, figure("cutter.edge_radius_mm", 0.0, 0.1 if everyday else 10.0)),
        runout_mm=either(0.0, st.floats(0.0, most)),
        runout_angle_deg=either(0.0, figure("cutter.runout_angle_deg")),
        stickout_mm=either(None, reach),
        youngs_modulus_n_mm2=either(None, figure("cutter.youngs_modulus_n_mm2", *modulus)),
        shank_diameter_mm=either(None, shank),
        holder_stiffness_n_mm=either(None, figure("cutter.holder_stiffness_n_mm", *holder)),
        material=draw(_tool_materials()),
    )


@st.composite
def cuts(draw: Any, cutter: Cutter, everyday: bool = False, boundless: bool = False) -> Cut:
    """A cut that the cutter can make: climb, conventional, straddling with air on both sides, or a full slot."""
    d = cutter.diameter_mm
    kind = draw(_one_of("climb", "conventional", "straddling", "slot"))
    direction: Direction = "straddling" if kind == "slot" else kind
    offset = 0.0
    if kind == "slot":
        ae = d
    elif kind == "straddling":
        ae = draw(st.floats(0.01 * d, 0.99 * d))
        offset = (d - ae) / 2 * draw(_SIDE)
    else:
        ae = draw(st.floats(0.01 * d if everyday else 1e-6 * d, 0.99 * d if everyday else math.nextafter(d, 0.0)))
    fz_low, fz_high = (1e-4 * d, 0.05 * d) if everyday else (1e-9 * d, FEED_SHARE * d)
    return Cut(
        direction=direction,
        radial_engagement_mm=ae,
        axial_engagement_mm=draw(
            st.floats(0.01 * d, 3 * d) if everyday else figure("cut.axial_engagement_mm", None, None, boundless)
        ),
        feed_per_tooth_mm=draw(st.floats(fz_low, fz_high)),
        spindle_speed_rpm=draw(
            figure("cut.spindle_speed_rpm", 50.0 if everyday else None, 40_000.0 if everyday else None, boundless)
        ),
        centre_offset_mm=offset,
        wall_tolerance_mm=draw(_maybe(figure("cut.wall_tolerance_mm", 1e-3, 0.5) if everyday else _TOLERANCE)),
    )


@st.composite
def speed_curves(draw: Any, speed: float) -> tuple[tuple[float, float], ...]:
    """Power at two to five ascending speeds of which the first is at most ``speed`` and the last at least that."""
    between = draw(_SHARES)
    low = draw(st.just(0.0) | st.floats(0.0, speed))
    speeds = sorted({low, *(min(speed + (1e6 - speed) * share, 1e6) for share in between)})
    if len(speeds) < 2 or not speeds[0] <= speed <= speeds[-1]:
        speeds = [0.0, 1e6]
    return tuple((s, draw(st.floats(0.0, 1e4))) for s in speeds)


@st.composite
def machines(draw: Any, speed: float, boundless: bool = False) -> Machine:
    """A machine whose spindle reaches ``speed``: power as one figure, as a curve, or unknown."""
    tops = (("table_friction_n", 5000.0), ("feed_preload_n", 5000.0), ("backlash_mm", 1.0))
    # Of each of the three: not known, nothing, or a figure.
    kinds, held = draw(_up_to(26)), []
    for i, (name, top) in enumerate(tops):
        kind = kinds // 3**i % 3
        limits = figure(f"machine.{name}", 0.0, None if boundless else top, boundless)
        held.append(draw(limits) if kind == 2 else 0.0 if kind else None)
    friction, preload, backlash = held
    there = _chances(draw, 3)
    curve = draw(speed_curves(speed)) if next(there) else None
    return Machine(
        friction,
        preload,
        backlash,
        drive=draw(_one_of(None, "screw", "ball screw")),
        power_kw=draw(figure("machine.power_kw")) if next(there) and curve is None else None,
        torque_nm=draw(figure("machine.torque_nm")) if next(there) else None,
        speed_curve=curve,
    )


@cache
@st.composite
def linear_edges(draw: Any, everyday: bool = False, boundless: bool = False) -> LinearEdge:
    """The six coefficients, each may be 0, the axial ones negative."""

    there = _chances(draw, 6)

    def one(name: str, low: float, high: float) -> float:
        key = f"work.force.{name}"
        if not next(there):
            return 0.0
        return float(draw(figure(key, low, high) if everyday else figure(key, boundless=boundless)))

    return LinearEdge(
        ktc=one("ktc", 100, 4000),
        krc=one("krc", 0, 2000),
        kac=one("kac", -200, 1500),
        kte=one("kte", 0, 80),
        kre=one("kre", 0, 120),
        kae=one("kae", -5, 20),
    )


@cache
@st.composite
def power_laws(draw: Any, everyday: bool = False, boundless: bool = False) -> PowerLaw:
    """Kienzle coefficients with a radial ratio."""
    low, high = (200.0, 4000.0) if everyday else (None, None)
    return PowerLaw(
        draw(figure("work.force.kc11_n_mm2", low, high, boundless)),
        draw(_just_or(0.0, figure("work.force.mc", 0.0, 0.6 if everyday else None))),
        draw(_just_or(0.0, figure("work.force.radial_ratio", 0.0, 1.5 if everyday else None, boundless))),
    )


@cache
@st.composite
def chip_formations(draw: Any) -> ChipFormation:
    """Figures of chip formation over their ranges, the two unknown ones absent now and then."""
    names = ("min_chip_ratio", "elastic_recovery", "contact_ratio", "friction_share", "chip_ratio")
    values = {name: draw(figure(f"work.chip.{name}")) for name in names}
    pairs = zip(("edge_contact_mm", "tool_heat_share"), _chances(draw, 2), strict=True)
    optional = {n: draw(figure(f"work.chip.{n}")) for n, there in pairs if there}
    return ChipFormation(**values, **optional)


@cache
@st.composite
def modes(draw: Any, everyday: bool = False, boundless: bool = False) -> Mode:
    """One vibration mode on either axis."""

    def one(name: str, low: float, high: float) -> float:
        key = f"dynamics.{name}"
        return draw(figure(key, low, high) if everyday else figure(key, boundless=boundless))

    return Mode(
        draw(_one_of("x", "y")),
        one("frequency_hz", 50.0, 5000.0),
        one("damping_ratio", 0.001, 0.2),
        one("stiffness_n_mm", 500.0, 1e5),
    )


@cache
def _forces(everyday: bool, boundless: bool) -> SearchStrategy[Any]:
    return _maybe(linear_edges(everyday, boundless) | power_laws(everyday, boundless))


@cache
@st.composite
def setups(draw: Any, everyday: bool = False, boundless: bool = False, materials: tuple[str, ...] = ()) -> Setup:
    """Any legal setup: both hands, all directions, runout, every optional block there or not.

    everyday : keep to what a workshop does, for tests that compare sizes of figures;
    boundless : ranges without an end go to the end of the floats; materials : names to draw ``work.material`` from.
    """
    cutter = draw(cutters(everyday, boundless))
    limits = {"everyday": everyday, "boundless": boundless}
    thickness = (
        st.floats(0.0, cutter.diameter_mm) if not boundless else figure("work.skin.thickness_mm", boundless=True)
    )
    there = _chances(draw, 6)
    work = Work(
        material=draw(_maybe(_one_of(*materials))) if materials else None,
        force=draw(_forces(**limits)),
        skin=Skin(draw(thickness)) if next(there) else None,
        thermal=draw(thermals()) if next(there) else None,
        chip=draw(chip_formations()) if next(there) else ChipFormation(),
    )
    cut = draw(cuts(cutter, **limits))
    # Flutes reach over the depth and end below the holder.
    longest = cutter.stickout_mm if cutter.stickout_mm is not None else RANGES["cutter.flute_length_mm"].high
    shortest = max(cut.axial_engagement_mm, RANGES["cutter.flute_length_mm"].least)
    if next(there) and shortest <= longest:
        cutter = replace(cutter, flute_length_mm=draw(st.floats(shortest, longest)))
    return Setup(
        cutter,
        cut,
        work,
        draw(machines(cut.spindle_speed_rpm, boundless)) if next(there) else None,
        # None in a third of the setups, else one to four.
        tuple(draw(modes(**limits)) for _ in range(max(draw(_up_to(5)) - 1, 0))),
        draw(_TITLE) if next(there) else "",
    )


def shop_setups() -> Any:
    """Setups that a workshop could run: ``setups(everyday=True)``."""
    return setups(everyday=True)
