"""Pull on the table and error of the wall in every draw, without working the cut out 64 times.

Force is linear in the coefficients: a few laws with a part of them each are worked out once, and every draw is a mix
of these.  In the edge radius, and near enough in the one that the coefficients were measured with, it is linear on
either side of what is told.  The wall is linear, besides, in
the compliance of flutes, of the rest of the cutter, and of the holder.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from ..effects.wall import one_sided, wall_pieces
from ..effects.wall_depth import wall_profile_over_depth
from ..force.coefficient_spread import RATIO, SHARE
from ..force.edge_condition import edge_radius_counts
from ..force.edge_force import cutter_force, edge_law
from ..force.force_turn import angles_between_corners, force_turn
from ..maths.arrays import Array
from ..setup.setup import LinearEdge, PowerLaw, Setup
from .draws import EDGE_RADIUS, FLUTES, HOLDER, Worlds
from .kept_by import KEPT, for_pull, for_wall

PLACES, MOST_PLACES = 17, 1200
"""Places of each smooth piece of a turn at which the pull is looked at, and of all pieces together."""

HEIGHTS = 40
"""About how many heights of the wall are looked at."""


@dataclass(frozen=True, slots=True)
class LawParts:
    """Setups with a part of the coefficients each, by the edge radius; what a part counts is :meth:`weights`."""

    setup: Setup
    parts: tuple[Setup, ...]
    edges: int

    def weights(self, worlds: Worlds) -> Array:
        """What each of the parts counts in each world, (n, parts)."""
        force, facts = self.setup.work.force, self.setup.work.facts
        assert force is not None

        def factor(name: str, key: str, told: float) -> Array:
            printed = None if facts is None else facts.spread_of(key)
            if printed is None or told <= 0.0:
                return worlds.factor(name, SHARE)
            low, high = min(printed[0] / told, 1.0), max(printed[1] / told, 1.0)
            return worlds.between(name, low, 1.0, high)

        if isinstance(force, PowerLaw):
            ratio, printed = force.radial_ratio, None if facts is None else facts.spread_of("radial_ratio")
            low, high = RATIO if printed is None else printed
            size = factor("tangential", "kc11_n_mm2", force.kc11_n_mm2)
            drawn = worlds.between("radial", min(low, ratio), ratio, max(high, ratio))
            mix = np.stack([size * (1.0 - drawn), size * drawn], axis=1)
        else:
            names = (("tangential", "ktc"), ("radial", "krc"), ("axial", "kac"))
            mix = np.stack([factor(name, key, getattr(force, key)) for name, key in names], axis=1)
        if self.edges == 1:
            return mix
        # How far each radius is toward its lower and its higher end; the law as told stands for the rest.
        names_of_ends = ("edge_radius", "measured_edge") if self.edges > 3 else ("edge_radius",)
        off = [2.0 * worlds.place(name) - 1.0 for name in names_of_ends]
        ends = [np.maximum(sign * each, 0.0) for each in off for sign in (-1.0, 1.0)]
        hats = np.stack([1.0 - np.sum(ends, axis=0), *ends], axis=1)
        return np.asarray((hats[:, :, None] * mix[:, None, :]).reshape(len(hats), -1))


def _without(law: LinearEdge, names: list[str]) -> LinearEdge:
    """The law with these coefficients at 0."""
    values: dict[str, Any] = dict.fromkeys(names, 0.0)
    return replace(law, **values)


def law_parts(setup: Setup) -> LawParts | None:
    """The parts of the setup's law; None where its coefficients are not known."""
    force = setup.work.force
    if force is None:
        return None
    if isinstance(force, PowerLaw):
        laws: list[LinearEdge | PowerLaw] = [replace(force, radial_ratio=ratio) for ratio in (0.0, 1.0)]
    else:
        pairs = (("ktc", "kte"), ("krc", "kre"), ("kac", "kae"))
        laws = [_without(force, [n for other in pairs if other != pair for n in other]) for pair in pairs]
    edges = _edges(setup)
    found = [
        replace(each, work=replace(each.work, force=replace(law, edge_radius_mm=measured)))
        for each, measured in edges
        for law in laws
    ]
    return LawParts(setup, tuple(found), len(edges))


def _edges(setup: Setup) -> list[tuple[Setup, float | None]]:
    """The setup with the edge as told, then blunter and sharper, each with the radius its coefficients hold for."""
    force, radius = setup.work.force, setup.cutter.edge_radius_mm
    measured = None if force is None else force.edge_radius_mm
    edges = [(setup, measured)]
    if not edge_radius_counts(setup.cutter, setup.work) or not radius:
        return edges
    for ratio in (1.0 - EDGE_RADIUS, 1.0 + EDGE_RADIUS):
        edges.append((setup.with_keys({"cutter.edge_radius_mm": radius * ratio}), measured))
    facts = setup.work.facts
    printed = None if facts is None else facts.spread_of("edge_radius_mm")
    return edges if printed is None else [*edges, *((setup, end) for end in printed)]


@lru_cache(maxsize=16)
def _pull_curves(setup: Setup) -> tuple[LawParts, Array] | None:
    """The parts of the law, and the force along the feed (parts, places) that each has over a period, N."""
    parts = law_parts(setup)
    if parts is None:
        return None
    phi = angles_between_corners(setup, PLACES, MOST_PLACES, 3)
    curves = []
    for each in parts.parts:
        law = edge_law(each)
        assert law is not None
        curves.append(cutter_force(phi, each, law)[..., 1])
    return parts, np.array(curves)


@lru_cache(maxsize=KEPT)
def told_pull(setup: Setup) -> float | None:
    """Greatest pull on the table (N) as the setup tells."""
    turn = force_turn(setup)
    return None if turn is None else turn.fy.greatest


def greatest_pull(setup: Setup, worlds: Worlds) -> Array | None:
    """Greatest pull on the table (n,) N in each world, below 0 a push; None where the force is not known."""
    told = told_pull(for_pull(setup))
    if told is None:
        return None
    if len(worlds.places) == 1:
        return np.array([told])
    pull_curves = _pull_curves(for_pull(setup))
    assert pull_curves is not None
    parts, curves = pull_curves
    pulls = (parts.weights(worlds) @ curves).max(axis=1)
    # The curve is looked at in places: what that misses is the same in every world, to all purposes.
    return np.asarray(pulls - pulls[0] + told)


@dataclass(frozen=True, slots=True, eq=False)
class _WallCurves:
    """Movement (bars, parts, teeth * heights) mm off the wall, and the reach (teeth * heights) of each tooth."""

    parts: LawParts
    moved: Array
    reach: Array
    teeth: int


@lru_cache(maxsize=16)
def _wall_curves(setup: Setup) -> _WallCurves | None:
    maker, parts = one_sided(setup), law_parts(setup)
    if maker is None or parts is None:
        return None
    edges = wall_pieces(maker)
    places = max(2, math.ceil(HEIGHTS / max(len(edges) - 1, 1)))
    heights = np.unique((edges[:-1, None] + np.diff(edges)[:, None] * np.linspace(0.0, 1.0, places)).reshape(-1))
    reach = np.repeat(maker.loads.reach[maker.loads.wall_teeth], len(heights))
    held = maker.held
    stiff = replace(held, flutes_ei=math.inf)
    bars = [held, stiff]
    if math.isfinite(held.holder):
        bars.append(replace(held, holder=math.inf))
    moved = np.empty((len(bars), len(parts.parts), reach.size))
    for j, each in enumerate(parts.parts):
        law = edge_law(each)
        assert law is not None
        loads = maker.loads.under(law)
        for i, bar in enumerate(bars):
            moved[i, j] = replace(maker, loads=loads, held=bar).errors(heights).reshape(-1) + reach
    # All together, without the flutes, without the holder: by what each of the three gives.
    flutes = moved[0] - moved[1]
    holder = moved[0] - moved[2] if len(bars) == 3 else np.zeros_like(flutes)
    teeth = len(maker.loads.wall_teeth)
    return _WallCurves(parts, np.array([flutes, holder, moved[0] - flutes - holder]), reach, teeth)


@lru_cache(maxsize=KEPT)
def told_wall(setup: Setup) -> float | None:
    """Greatest size (mm) of the wall's error over the depth as the setup tells."""
    profile = wall_profile_over_depth(setup)
    return None if profile is None else profile.size


def wall_sizes(setup: Setup, worlds: Worlds) -> Array | None:
    """Greatest size (n,) mm of the wall's error over the depth in each world; None where it is not known."""
    told = told_wall(for_wall(setup))
    if told is None:
        return None
    if len(worlds.places) == 1:
        return np.array([told])
    wall_curves = _wall_curves(for_wall(setup))
    assert wall_curves is not None
    softer = worlds.factor("flutes", FLUTES) ** -4
    spring = 1.0 / worlds.factor("holder", HOLDER)
    bars = np.stack([softer, spring, np.ones(len(softer))], axis=1)
    weights = wall_curves.parts.weights(worlds)
    error = np.einsum("nb,np,bpk->nk", bars, weights, wall_curves.moved, optimize=True) - wall_curves.reach
    wall = error.reshape(len(softer), wall_curves.teeth, -1).min(axis=1)
    sizes = np.abs(wall).max(axis=1)
    return np.maximum(sizes - sizes[0] + told, 0.0)
