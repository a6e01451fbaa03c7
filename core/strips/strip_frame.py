"""What a strip is: curves over the tooth angle with their bands and limits, on one common grid."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from ..cut.engagement import engagement
from ..cut.skin import skin_crossing
from ..effects.arc_results import arc_results
from ..maths.arrays import Array
from ..setup.setup import Setup

CurveRole = Literal["main", "second", "third", "reference"]
BandKind = Literal["cut", "rub", "skin", "end"]


@dataclass(frozen=True, slots=True)
class Curve:
    """One curve: label, role (which pen), tooth angles in degrees, values in house units; nan is a gap.

    ``mark`` is the letter that stands at its end where colour and dash tell something else; ``term`` the term of
    the glossary that explains the label.
    """

    id: str
    label: str
    role: CurveRole
    phi_deg: Array
    values: Array
    mark: str = ""
    term: str = ""


@dataclass(frozen=True, slots=True)
class Band:
    """A range of tooth angles, degrees, that a strip marks: in the cut, rubbing, in the skin, beyond the model."""

    kind: BandKind
    from_deg: float
    to_deg: float


@dataclass(frozen=True, slots=True)
class Limit:
    """A level that the curves should not cross: label and value in house units.

    ``shared`` is what it is called where climb and conventional of one cut mean different things by one level.
    """

    label: str
    value: float
    crossed: bool
    shared: str = ""


@dataclass(frozen=True, slots=True)
class StripCurves:
    """What one strip shows: title, quantity id (unit and decimals), curves, bands, limits.

    ``missing`` says what is not known where there is nothing to draw.  ``rough`` : a figure that is read off counts
    in two digits, because it rests on what is known only roughly.
    """

    id: str
    title: str
    quantity: str
    curves: tuple[Curve, ...]
    bands: tuple[Band, ...] = ()
    limits: tuple[Limit, ...] = ()
    missing: str = ""
    rough: bool = False


def cut_band(setup: Setup) -> Band:
    """The nominal arc of engagement as a band."""
    e = engagement(setup)
    return Band("cut", math.degrees(e.entry), math.degrees(e.exit))


def end_bands(setup: Setup) -> tuple[Band, ...]:
    """Where the edge rubs and where it is in the skin, at either end of the arc, as bands; only what there is."""
    r, skin = arc_results(setup), skin_crossing(setup)
    e = r.engagement
    ends: list[tuple[BandKind, float, float]] = [("rub", r.rub_entry, r.rub_exit)]
    if skin is not None:
        ends.append(("skin", skin.entry, skin.exit))
    bands = []
    for kind, first, last in ends:
        # A comparison with nan, where rubbing is not known, is false.
        if first > 0.0:
            bands.append(Band(kind, math.degrees(e.entry), math.degrees(e.entry + first)))
        # Where the first is the whole arc the last is the same.
        if last > 0.0 and first < e.arc:
            bands.append(Band(kind, math.degrees(e.exit - last), math.degrees(e.exit)))
    return tuple(bands)
