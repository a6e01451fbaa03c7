"""Every quantity once: symbol, word, house unit, inch unit, decimals.  Reports, fields, axes read it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from .language import ENGLISH, in_language, spoken
from .words import say

Units = Literal["metric", "inch"]

MM_PER_INCH = 25.4
N_PER_LBF = 4.4482216152605
W_PER_HP = 745.6998715822702


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity as people meet it.

    ``per_inch_unit`` : how many house units one inch-system unit is; decimals for each system.  ``rise`` : a
    difference that must not be read as a place on a scale; it always carries its sign.
    """

    id: str
    symbol: str
    unit: str
    inch_unit: str
    per_inch_unit: float
    decimals: int
    inch_decimals: int
    rise: bool = False

    @property
    def word(self) -> str:
        """What it is called within a sentence."""
        return say("quantity", self.id)

    def shown(self, value: float, units: Units = "metric") -> float:
        """House value to the value shown in ``units``."""
        return value / self.per_inch_unit if units == "inch" else value

    def house(self, shown: float, units: Units = "metric") -> float:
        """Value as shown in ``units`` back to the house unit."""
        return shown * self.per_inch_unit if units == "inch" else shown

    def unit_in(self, units: Units) -> str:
        """The unit's sign in ``units``."""
        unit = self.inch_unit if units == "inch" else self.unit
        return unit if spoken.language is ENGLISH else in_words(unit)

    def decimals_in(self, units: Units) -> int:
        """Decimals shown in ``units``."""
        return self.inch_decimals if units == "inch" else self.decimals


def in_words(unit: str) -> str:
    """A unit's sign, its words in the language that is spoken."""
    return unit.replace("/tooth", say("unit", "per_tooth"))


def _q(id: str, symbol: str, unit: str, inch: str, per: float, dec: int, inch_dec: int) -> Quantity:
    return Quantity(id, symbol, unit, inch, per, dec, inch_dec)


_MM, _M = MM_PER_INCH, 0.3048
_FLUX_KSI = 6.894757293168361

QUANTITIES: dict[str, Quantity] = {
    q.id: q
    for q in (
        _q("diameter", "D", "mm", "in", _MM, 2, 4),
        _q("teeth", "z", "", "", 1.0, 0, 0),
        _q("radial_width", "ae", "mm", "in", _MM, 3, 4),
        _q("depth", "ap", "mm", "in", _MM, 2, 4),
        _q("feed_per_tooth", "fz", "mm/tooth", "in/tooth", _MM, 4, 5),
        _q("spindle_speed", "n", "/min", "/min", 1.0, 0, 0),
        _q("cutting_speed", "vc", "m/min", "ft/min", _M, 1, 0),
        _q("table_feed", "vf", "mm/min", "in/min", _MM, 0, 1),
        _q("removal_rate", "Q", "cm³/min", "in³/min", 16.387064, 2, 3),
        _q("chip_volume", "V", "mm³", "in³", _MM**3, 3, 7),
        _q("chip_thickness", "h", "mm", "in", _MM, 4, 5),
        _q("chip_section", "A", "mm²", "in²", _MM**2, 4, 6),
        _q("length", "", "mm", "in", _MM, 3, 4),
        _q("offset", "x", "mm", "in", _MM, 3, 4),
        _q("micro", "", "µm", "µin", 0.0254, 2, 0),
        _q("angle", "φ", "°", "°", 1.0, 1, 1),
        _q("helix", "β", "°", "°", 1.0, 1, 1),
        _q("cutting_edge_angle", "κr", "°", "°", 1.0, 1, 1),
        _q("rake", "γ", "°", "°", 1.0, 1, 1),
        _q("edge_radius", "rβ", "µm", "µin", 0.0254, 1, 0),
        _q("runout", "e", "µm", "µin", 0.0254, 1, 0),
        _q("stickout", "L", "mm", "in", _MM, 1, 3),
        _q("time", "t", "ms", "ms", 1.0, 3, 3),
        _q("force", "F", "N", "lbf", N_PER_LBF, 0, 1),
        _q("torque", "M", "N·m", "lbf·ft", N_PER_LBF * _M, 2, 2),
        _q("power", "P", "kW", "hp", W_PER_HP / 1000.0, 2, 2),
        _q("stress", "kc", "N/mm²", "ksi", _FLUX_KSI, 0, 1),
        _q("edge_force", "kte", "N/mm", "lbf/in", N_PER_LBF / _MM, 1, 1),
        _q("stiffness", "k", "N/mm", "lbf/in", N_PER_LBF / _MM, 0, 0),
        _q("deflection", "δ", "mm", "in", _MM, 4, 5),
        Quantity("temperature_rise", "ΔT", "°C", "°F", 1.0 / 1.8, 0, 0, rise=True),
        _q("share", "", "%", "%", 1.0, 0, 0),
        _q("number", "", "", "", 1.0, 2, 2),
    )
}

LEAST_TOLD = {"chip_thickness": 1e-6, "deflection": 1e-6, "length": 1e-6}
"""Least length (shown unit, mm or in) that is given as a figure: a millionth is finer than any shop can measure."""

MOST_TOLD = {"deflection": {"metric": 10.0, "inch": 0.4}, "micro": {"metric": 1e4, "inch": 4e5}}
"""Greatest bending (shown unit) that is given as a figure: no cutter bends so far and no linear model means it."""

MINUS = "\N{MINUS SIGN}"


def number(value: float | None, decimals: int, *, signed: bool = False) -> str:
    """A figure with fixed decimals, a true minus sign, no negative zero; ``None`` or nan as a dash.

    >>> number(-0.0001, 2), number(3.14159, 3), number(-2.5, 1), number(None, 1)
    ('0.00', '3.142', '−2.5', '–')
    """
    if value is None or math.isnan(value):
        return "\N{EN DASH}"
    text = f"{abs(value):.{decimals}f}"
    sign = "" if (value >= 0.0 and not signed) or float(text) == 0.0 else MINUS if value < 0.0 else "+"
    if spoken.language is not ENGLISH:
        text = in_language(text)
    return sign + text


def rough_number(value: float, decimals: int, *, signed: bool = False) -> str:
    """As :func:`number`, of a figure of which two digits count: no decimals beyond them.

    >>> rough_number(239.6, 1), rough_number(23.96, 1), rough_number(2.396, 1), rough_number(0.2396, 1)
    ('240', '24', '2.4', '0.2')
    """
    value = float(f"{value:.1e}")
    if abs(value) >= 1.0:
        decimals = 0 if abs(value) >= 10.0 else min(decimals, 1)
    return number(value, decimals, signed=signed)


def few_decimals(shown: float, most: int) -> int:
    """Decimals that show a value to four figures in a field: no more than ``most``, no empty ones.

    >>> few_decimals(12.0, 3), few_decimals(0.06, 4), few_decimals(0.2834645, 3)
    (0, 2, 3)
    """
    if shown == 0.0:
        return min(most, 1)
    wanted = max(0, min(most, 3 - math.floor(math.log10(abs(shown)))))
    while wanted > 0 and round(shown, wanted - 1) == round(shown, most):
        wanted -= 1
    return wanted


def short_figure(value: float, quantity: str, units: Units = "metric", *, signed: bool = False) -> str:
    """A figure as a person writes it down, with its unit: no empty decimals.

    >>> short_figure(10.0, "offset", signed=True), short_figure(-4.25, "offset", signed=True)
    ('+10 mm', '−4.25 mm')
    """
    q = QUANTITIES[quantity]
    shown = q.shown(value, units)
    decimals = few_decimals(shown, q.decimals_in(units)) if shown else 0
    return f"{number(shown, decimals, signed=signed and shown != 0.0)} {q.unit_in(units)}"


def brief_number(value: float) -> str:
    """A figure for a narrow axis: up to three figures that count, with a power of ten where it is far from one.

    >>> brief_number(2e-8), brief_number(-1.5e-7), brief_number(0.0), brief_number(0.25), brief_number(3e6)
    ('2e−8', '−1.5e−7', '0', '0.25', '3e6')
    >>> brief_number(-1000.0), brief_number(12500.0), brief_number(150.0)
    ('−1e3', '1.25e4', '150')
    """
    text = f"{value:.2e}"
    mantissa, power = float(text.partition("e")[0]), int(text.partition("e")[2])
    if mantissa == 0.0:
        return "0"
    brief = f"{value:.3g}" if -3 <= power < 3 else f"{mantissa:g}e{power}"
    return in_language(brief).replace("-", MINUS)


def figure(
    value: float | None, quantity: str, units: Units = "metric", *, signed: bool = False, rough: bool = False
) -> str:
    """A value in house units as a person reads it, with its unit: ``figure(0.06, "feed_per_tooth")``.

    rough : it is known only roughly and read at a place that moves: two digits count, no finer than its decimals.

    >>> figure(0.06, "feed_per_tooth"), figure(0.06, "feed_per_tooth", "inch")
    ('0.0600 mm/tooth', '0.00236 in/tooth')
    >>> figure(499.4, "temperature_rise"), figure(499.4, "temperature_rise", "inch")
    ('+499 °C', '+899 °F')
    >>> figure(479.2, "force", rough=True), figure(3.42, "force", rough=True), figure(0.4, "force", rough=True)
    ('480 N', '3 N', '0 N')
    >>> figure(1068.0, "force", "inch", rough=True), figure(33.2, "force", "inch", rough=True)
    ('240 lbf', '7.5 lbf')
    """
    q = QUANTITIES[quantity]
    if value is None or math.isnan(value):
        return "\N{EN DASH}"
    # Three calls fewer: a step of a drag writes dozens of figures.
    inch = units == "inch"
    shown, unit, decimals = (
        (value / q.per_inch_unit, q.inch_unit, q.inch_decimals) if inch else (value, q.unit, q.decimals)
    )
    if spoken.language is not ENGLISH:
        unit = in_words(unit)
    if quantity in MOST_TOLD and abs(shown) > MOST_TOLD[quantity][units]:
        return _beyond_sense(q, shown, units)
    gap = "" if unit in ("", "°") else " "
    return (rough_number if rough else number)(shown, decimals, signed=signed or q.rise) + gap + unit


_NO_END: dict[Units, float] = {"metric": math.inf, "inch": math.inf}


def _has_sense(quantity: str, shown: float, units: Units) -> bool:
    """Whether a figure is neither too great nor too small to mean anything."""
    most, least = MOST_TOLD.get(quantity), LEAST_TOLD.get(quantity)
    return not ((most is not None and abs(shown) > most[units]) or (least is not None and 0.0 < abs(shown) < least))


def _beyond_sense(q: Quantity, shown: float, units: Units) -> str:
    """The words in place of a figure that is too great or too small to mean anything."""
    most, unit = MOST_TOLD.get(q.id), q.unit_in(units)
    if most is not None and abs(shown) > most[units]:
        return say("beyond_sense", "over", figure=f"{in_language(f'{most[units]:g}')} {unit}")
    return say("beyond_sense", "under", figure=f"{in_language(f'{LEAST_TOLD[q.id]:.6f}')} {unit}")


TENTH = 0.1
"""Spread, as a part of the figure, over which a figure is given with its range."""


def in_two_digits(shown: float, finest: int = 8, *, signed: bool = False) -> str:
    """A figure with the two digits that count, with no more than ``finest`` decimals."""
    if shown == 0.0 or not math.isfinite(shown):
        return number(shown if shown == 0.0 else None, 0)
    # Rounded first: 0.0996 is 0.10.
    rounded = float(f"{shown:.1e}")
    places = 1 - math.floor(math.log10(abs(rounded)))
    if abs(rounded) >= 1e9 or places > 8:
        return in_language(f"{rounded:.1e}").replace("-", MINUS).replace("+", "")
    places = min(places, finest)
    return number(round(rounded, places), max(places, 0), signed=signed)


def is_wide(value: float, low: float, high: float) -> bool:
    """Whether a figure is known so roughly that its range belongs to it: over a tenth of it."""
    return math.isfinite(low) and math.isfinite(high) and high - low > TENTH * abs(value)


def rough_figure(value: float | None, quantity: str, units: Units = "metric", *, unit: bool = True) -> str:
    """A figure that is known only roughly, in two digits, where its range is not told.

    >>> rough_figure(1076.2, "force"), rough_figure(0.0659, "deflection"), rough_figure(0.0659, "deflection", "inch")
    ('1100 N', '0.066 mm', '0.0026 in')
    """
    q = QUANTITIES[quantity]
    if value is None or not math.isfinite(value) or value == 0.0:
        return clear_figure(value, quantity, units)
    # Two calls fewer: a step of a drag writes several.
    shown, sign = (value / q.per_inch_unit, q.inch_unit) if units == "inch" else (value, q.unit)
    if not _has_sense(quantity, shown, units):
        return clear_figure(value, quantity, units)
    told = in_two_digits(shown, signed=q.rise)
    return told + ("" if sign in ("", "°") else " ") + sign if unit else told


def rough_ends(low: float, high: float, quantity: str, units: Units = "metric") -> str:
    """Both ends of a range, each in two digits, as far as their distance has a digit there.

    >>> rough_ends(861.3, 1288.0, "force"), rough_ends(0.0, 0.01149, "deflection")
    ('860 to 1300', '0 to 0.011')
    """
    q = QUANTITIES[quantity]
    return say("value", "between", **ends_in_two_digits(q.shown(low, units), q.shown(high, units)))


def ends_in_two_digits(low: float, high: float) -> dict[str, str]:
    """Both ends of a range, ``low`` and ``high``, each in two digits, as far as their distance has a digit there."""
    finest = 2 - math.floor(math.log10(high - low)) if high > low else 8
    return {"low": in_two_digits(low, finest), "high": in_two_digits(high, finest)}


def told_figure(
    value: float | None, low: float, high: float, quantity: str, units: Units = "metric", *, unit: bool = True
) -> str:
    """A figure as it is told wherever its range is: where that is over a tenth of it, both in two digits.

    Nothing may have a range too: then it tells how much it may be.

    >>> told_figure(1076.2, 861.3, 1288.0, "force"), told_figure(1076.2, 1060.0, 1090.0, "force")
    ('1100 N (860 to 1300)', '1076 N')
    >>> told_figure(537.0, 268.5, 805.5, "temperature_rise", unit=False), told_figure(0.0, 0.0, 12.3, "force")
    ('+540 (270 to 810)', '0 N (0 to 12)')
    """
    q = QUANTITIES[quantity]
    wide = value is not None and math.isfinite(value) and is_wide(value, low, high)
    told = (rough_figure if wide else clear_figure)(value, quantity, units)
    if not unit:
        told = told.removesuffix(q.unit_in(units)).rstrip()
    if value == 0.0:
        least = 0.5 * 10.0 ** -q.decimals_in(units)
        wide = wide and any(abs(q.shown(end, units)) >= least for end in (low, high))
    elif wide and value is not None:
        wide = _has_sense(quantity, q.shown(value, units), units)
    return say("value", "with_ends", value=told, ends=rough_ends(low, high, quantity, units)) if wide else told


def clear_figure(
    value: float | None, quantity: str, units: Units = "metric", *, decimals: int | None = None, counting: int = 2
) -> str:
    """As :func:`figure`, with more decimals where fewer than ``counting`` figures that count would be left.

    A tiny chip then never reads as nothing; beyond eight decimals the figure is written with a power of ten, and what
    no shop can measure, or no model means, is given in words.

    >>> clear_figure(0.0565685, "chip_thickness", decimals=3), clear_figure(0.00052, "chip_thickness")
    ('0.057 mm', '0.00052 mm')
    >>> clear_figure(3.2e-11, "chip_thickness"), clear_figure(0.0, "chip_thickness")
    ('under 0.000001 mm', '0.0000 mm')
    >>> clear_figure(3678.2, "deflection")
    'over 10 mm'
    """
    if value is None or not math.isfinite(value):
        return figure(None, quantity, units)
    q = QUANTITIES[quantity]
    inch = units == "inch"
    shown, unit, usual = (
        (value / q.per_inch_unit, q.inch_unit, q.inch_decimals) if inch else (value, q.unit, q.decimals)
    )
    if spoken.language is not ENGLISH:
        unit = in_words(unit)
    usual = usual if decimals is None else decimals
    gap = "" if unit in ("", "°") else " "
    if shown == 0.0:
        return number(0.0, usual) + gap + unit
    if not LEAST_TOLD.get(quantity, 0.0) <= abs(shown) <= MOST_TOLD.get(quantity, _NO_END)[units]:
        return _beyond_sense(q, shown, units)
    needed = max(usual, counting - 1 - math.floor(math.log10(abs(shown))))
    if needed > 8 or abs(shown) >= 1e9:
        return in_language(f"{shown:.{counting - 1}e}").replace("-", MINUS).replace("+", "") + gap + unit
    return number(shown, needed, signed=q.rise) + gap + unit
