"""Rubbing: where the chip is thinner than the rounded edge can lift, how far it slides, and how often.

Below ``h_min``, a share of the edge radius, the edge pushes material under itself instead of lifting it
(ploughing: Albrecht 1960, from memory).  Arc model, at the tip, static: that a chip once started goes on below
``h_min`` is left out, and so are edge deflection, built-up edge, wear and speed.  With runout the teeth rub for
different arcs; the reported one cuts most (:mod:`.cutting_tooth`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from ..cut.engagement import Engagement, engagement
from ..cut.runout_pieces import ToothPieces
from ..force.edge_law import EdgeLaw, edge_law
from ..maths.arrays import Array
from ..maths.gauss import gauss
from ..setup.setup import Setup
from .cutting_tooth import cutting_tooth

PUBLISHED_RATIOS = (0.14, 0.43)
"""Least chip over edge radius as found in many materials: review in Cheng et al. 2018 (abstract seen)."""

_Y, _WEIGHTS = gauss(16)
# Crowded to both ends, where a chip may begin at nothing as a root does.
_STEP = _Y * _Y * (3.0 - 2.0 * _Y)
_STEP_WEIGHTS = 6.0 * _Y * (1.0 - _Y) * _WEIGHTS

ROUNDING = 1e-12
"""Relative slack within which layers that add up count as just thick enough."""


def ratio_by_friction(friction: ArrayLike) -> Array:
    """Least chip over edge radius from the friction coefficient: ``1 - cos(pi/4 - atan(mu)/2)``; any shape.

    Son, Lim, Ahn 2005 (from memory).  It disagrees with :func:`ratio_by_stagnation` about friction.

    >>> round(float(ratio_by_friction(0.3)), 4)
    0.1977
    """
    return np.asarray(1.0 - np.cos(np.pi / 4.0 - np.arctan(np.asarray(friction, float)) / 2.0))


def ratio_by_stagnation(stagnation: ArrayLike) -> Array:
    """Least chip over edge radius from the angle (rad) at which material parts on the edge: ``1 - cos``; any shape.

    Malekian, Mostofa, Park, Jun 2012 (from memory), with 45 degrees after L'vov and 37.6 after Basuray.

    >>> round(float(ratio_by_stagnation(np.radians(37.6))), 4)
    0.2077
    """
    return np.asarray(1.0 - np.cos(np.asarray(stagnation, float)))


def least_chip(setup: Setup) -> float | None:
    """The least chip thickness ``h_min`` (mm) that this edge lifts; None where the edge radius is not known."""
    edge = setup.cutter.edge_radius_mm
    return None if edge is None else setup.work.chip.min_chip_ratio * edge


def _ends_under(thickness_mm: float, setup: Setup, e: Engagement) -> tuple[float, float]:
    """Arc (rad) after entry and before exit where ``h`` of the arc model is under a thickness (mm)."""
    kappa, most, touch = math.sin(math.radians(setup.cutter.cutting_edge_angle_deg)), cutting_tooth(setup), 0.0
    if most is None:
        under = math.asin(min(thickness_mm / (setup.cut.feed_per_tooth_mm * kappa), 1.0))
    else:
        # A tooth that is shorter than the one before it does not rub, it misses the work.
        touch, under = (math.asin(min(max(most.reaches(h), 0.0), 1.0)) for h in (0.0, thickness_mm / kappa))
    # The exit is seen in the mirror, where a small arc before 180 degrees keeps its digits.
    first = min(e.exit, under) - max(e.entry, touch)
    last = min(math.pi - e.entry, under) - max(math.pi - e.exit, touch)
    return max(0.0, first), max(0.0, last)


def rub_arcs(setup: Setup, e: Engagement) -> tuple[float, float]:
    """Arc (rad) after entry and before exit where ``h`` of the arc model is under the least chip thickness.

    The least chip is ``min_chip_ratio`` times the edge radius; (nan, nan) where that radius is not given.
    """
    least = least_chip(setup)
    return (math.nan, math.nan) if least is None else _ends_under(least, setup, e)


def layers_for_a_chip(h_max: float, least: float, recovery: float) -> int | None:
    """How many teeth it takes until layers too thin to lift have added up to one chip; None if never.

    h_max, least : mm; recovery : the part of an uncut layer that springs back, 0 to 1.  ``H(1) = h_max``,
    ``H(k+1) = h_max + recovery H(k)``: the first k with ``H(k) >= least``, in closed form.  Chips that come once
    in several teeth: Vogler, DeVor, Kapoor 2004 and Kim, Bono, Ni 2002 (from memory).

    >>> layers_for_a_chip(1.0, 2.328, 1.0), layers_for_a_chip(1.0, 2.328, 0.75), layers_for_a_chip(1.0, 3.0, 0.5)
    (3, 4, None)
    """
    if h_max <= 0.0:
        return None
    layers = least / h_max
    if layers > 1.0 + ROUNDING and recovery < 1.0:
        # H(k) = h_max (1 - recovery^k) / (1 - recovery): what is lacking of its limit after k layers is recovery^k.
        lacks = 1.0 - (1.0 - recovery) * layers
        if lacks <= ROUNDING or recovery == 0.0:
            return None
        layers = math.log(lacks) / math.log(recovery)
    return max(1, math.ceil(layers * (1.0 - ROUNDING))) if math.isfinite(layers) else None


@dataclass(frozen=True, slots=True)
class Rubbing:
    """Rubbing of one tooth in one turn; lengths mm, angles rad; None where not known or not defined.

    ``entry`` and ``exit`` are the arcs at either end with a chip under ``h_min``; ``sliding`` is the way of the tip
    over both; ``passes`` how many teeth in a row slide over one place of the wall, about; ``work_share`` the part
    of the tangential work that is done there; ``teeth_per_chip`` after how many teeth a chip forms;
    ``feed_for_chip`` the feed per tooth whose thickest chip is just ``h_min``, 0 where runout alone makes it;
    ``tooth`` the one that all figures belong to, None where all teeth are alike.
    """

    h_min: float
    entry: float
    exit: float
    arc_share: float
    sliding: float
    passes: float | None
    work_share: float | None
    teeth_per_chip: int | None
    feed_for_chip: float
    tooth: int | None = None

    @property
    def arc(self) -> float:
        """Both arcs together, rad."""
        return self.entry + self.exit


def _work_share(setup: Setup, e: Engagement, first: float, last: float) -> float | None:
    """Part of the integral of the tangential force over the arc that lies in the rubbing ends."""
    law = edge_law(setup)
    if law is None:
        return None
    most = cutting_tooth(setup)
    if most is not None:
        touch = math.asin(min(max(most.reaches(0.0), 0.0), 1.0))
        starts, ends = max(e.entry, touch) + first, min(e.exit, math.pi - touch) - last
        return _share_of_pieces(law, most.pieces, starts, ends)
    # The tangential force is the same in the mirror: the last arc is integrated from 0 up as well.
    early, late = e.entry, math.pi - e.exit
    low, high = np.array([early, late, early]), np.array([early + first, late + last, e.exit])
    one, other, whole = law.mixed(law.parts_between(low, high))[:, 3].tolist()
    return min((one + other) / whole, 1.0) if whole > 0.0 else None


def _share_of_pieces(law: EdgeLaw, pieces: ToothPieces, chip_from: float, chip_to: float) -> float | None:
    """Part of the tangential work of one tooth of a cutter with runout that lies outside two angles (rad)."""
    cuts = np.unique(np.concatenate([pieces.ends, np.clip([chip_from, chip_to], pieces.ends[0], pieces.ends[-1])]))
    low, high = cuts[:-1, None], cuts[1:, None]
    phi = low + (high - low) * _STEP
    h = pieces.touched(phi)
    force = np.where(np.isnan(h), 0.0, law.tangential(np.nan_to_num(h)))
    work = (force @ _STEP_WEIGHTS) * (high - low)[:, 0]
    middle = (low + high)[:, 0] / 2.0
    rubbed = float(work[(middle < chip_from) | (middle > chip_to)].sum())
    whole = float(work.sum())
    return min(rubbed / whole, 1.0) if whole > 0.0 else None


def _thickest(setup: Setup, e: Engagement, least: float) -> tuple[float, float]:
    """Thickest chip (mm) of the tooth that cuts most, and the feed per tooth (mm) that makes it ``least`` thick."""
    peak = min(max(math.pi / 2.0, e.entry), e.exit)
    kappa = math.sin(math.radians(setup.cutter.cutting_edge_angle_deg))
    most = cutting_tooth(setup)
    if most is None:
        thinned = math.sin(peak) * kappa
        return setup.cut.feed_per_tooth_mm * thinned, least / thinned
    return float(most.pieces.thickness(np.array(peak))), most.feed_for(least / kappa, math.sin(peak))


@lru_cache(maxsize=64)
def rubbing(setup: Setup) -> Rubbing | None:
    """How this cut rubs; None where the edge radius is not known."""
    least = least_chip(setup)
    if least is None:
        return None
    e, cut, most = engagement(setup), setup.cut, cutting_tooth(setup)
    first, last = _ends_under(least, setup, e)
    sliding = setup.cutter.diameter_mm / 2.0 * (first + last)
    h_max, feed_for_chip = _thickest(setup, e, least)
    return Rubbing(
        h_min=least,
        entry=first,
        exit=last,
        arc_share=(first + last) / e.arc,
        sliding=sliding,
        passes=None if cut.direction == "straddling" else sliding / cut.feed_per_tooth_mm,
        work_share=_work_share(setup, e, first, last),
        teeth_per_chip=layers_for_a_chip(h_max, least, setup.work.chip.elastic_recovery),
        feed_for_chip=feed_for_chip,
        tooth=None if most is None else most.tooth,
    )


def forms_no_chip(setup: Setup) -> bool:
    """Whether even the thickest chip of a tooth is thinner than its edge lifts; not where that is not known."""
    least = least_chip(setup)
    if least is None:
        return False
    # Without the work done in rubbing, which takes long: the ladder asks this of hundreds of cuts.
    h_max, _ = _thickest(setup, engagement(setup), least)
    return layers_for_a_chip(h_max, least, setup.work.chip.elastic_recovery) != 1


def published_arcs(setup: Setup) -> tuple[float, float] | None:
    """Rubbing arc, both ends together (rad), at the least and the greatest published ratio; None if not known."""
    edge = setup.cutter.edge_radius_mm
    if edge is None:
        return None
    e = engagement(setup)
    low, high = (sum(_ends_under(ratio * edge, setup, e)) for ratio in PUBLISHED_RATIOS)
    return low, high
