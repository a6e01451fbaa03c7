"""Tool life of one setup against another: a ratio by the extended Taylor equation, never a life in minutes.

``T2/T1 = (vc2/vc1)^-a (fz2/fz1)^-b (ae2/ae1)^-c (ap2/ap1)^-d``.  The constant of the equation, which is what nobody
knows of a given edge, bar and coolant, cancels; so both setups must be the same edge material in the same work.
Climb or conventional does not enter: the equation has no term for it.  The form is that of the milling tables in
which ``fz`` and ``ae`` stand apart, so it is the feed per tooth that counts and not the chip thickness; sources in
``shared/tool_life.toml``.  Left out: grade, coating, cutting fluid, wear criterion (taken as alike), number of teeth,
helix, runout, skin, thermal cracks, breakage, chatter.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ..base.errors import ChiparcError
from ..base.language import in_language
from ..base.quantities import Units, clear_figure
from ..base.words import phrase, say
from ..documents.materials import GROUPS, Catalogue
from ..documents.tool_life_tables import APART, TERMS, Exponents, LifeTables, life_tables
from ..effects.arc_results import arc_results
from ..effects.rubbing import least_chip
from ..setup.material_facts import MaterialFacts
from ..setup.setup import Setup

_ALIKE = 1e-9
"""Relative slack at the limits of validity, so that a ratio of exactly the limit is within."""


EDGE_WORDS = {"hss": "high-speed steel"}
"""Words of a cutter material that the tables know by another name."""


@dataclass(frozen=True, slots=True)
class LifeRatio:
    """Life of one setup over that of another, with its band; all None, and a ``reason`` in words, where refused."""

    ratio: float | None
    low: float | None
    high: float | None
    reason: str | None = None


def taylor(ratios: Sequence[float], exponents: Sequence[float]) -> float:
    """Ratio of two tool lives: the product of each ratio (over 0) to the power of minus its exponent.

    >>> taylor([0.5], [2.0])
    4.0
    """
    return math.prod(ratio**-power for ratio, power in zip(ratios, exponents, strict=True))


def edge_material(setup: Setup, tables: LifeTables | None = None) -> str | None:
    """What the cutting edge is made of, None where the setup does not tell.

    By the density of ``[cutter.material]`` if that is given, else by Young's modulus where it tells: the modulus of
    steel is that of high-speed steel and that of a body which carries inserts.
    """
    edges, cutter = (tables or life_tables()).edges, setup.cutter
    if isinstance(cutter.material, str):
        return EDGE_WORDS.get(cutter.material, cutter.material)
    if cutter.material is not None:
        density = cutter.material.density_kg_m3
        return next((e.name for e in edges if e.density[0] <= density <= e.density[1]), None)
    modulus = cutter.youngs_modulus_n_mm2
    told = (e.name for e in edges if modulus is not None and e.modulus and e.modulus[0] <= modulus <= e.modulus[1])
    return next(told, None)


def _work(setup: Setup, known: Catalogue | None) -> MaterialFacts | None:
    """The facts of the work that the setup carries, else those of ``known``; None where it is not known."""
    if setup.work.facts is not None or setup.work.material is None or known is None:
        return setup.work.facts
    try:
        return known.find(setup.work.material).facts
    except ChiparcError:
        return None


def _terms(setup: Setup) -> dict[str, float]:
    """What is compared of a setup: m/min and mm, by the names of :data:`APART`."""
    cut = setup.cut
    speed = arc_results(setup).rates.cutting_speed_m_min
    values = (speed, cut.feed_per_tooth_mm, cut.radial_engagement_mm, cut.axial_engagement_mm)
    return dict(zip(APART, (*values, setup.cutter.diameter_mm), strict=True))


def _rubs(setup: Setup) -> bool:
    """Whether the mean chip is thinner than this edge lifts, so that it rubs for about half its way or more."""
    least = least_chip(setup)
    return least is not None and arc_results(setup).arc.h_mean < least


def _same_pair(setup: Setup, against: Setup, known: Catalogue | None, tables: LifeTables) -> Exponents | str:
    """The exponents for edge and work of both, or the reason why there are none."""
    edges = [edge_material(s, tables) for s in (setup, against)]
    works = [_work(s, known) for s in (setup, against)]
    # First of all, because nothing that is told of the edges could mend it.
    for work in works:
        if work is not None and not any(e.group == work.group for e in tables.exponents):
            return say("tool_life", "group_not_published", group=work.group, words=phrase(GROUPS[work.group]))
    for name, materials in (("no_edge", edges), ("no_work", works)):
        if None in materials:
            whose = "both" if materials == [None, None] else "one" if materials[0] is None else "other"
            return say("tool_life", f"{name}_{whose}")
    if edges[0] != edges[1]:
        one_edge, other_edge = (phrase(edge or "") for edge in edges)
        return say("tool_life", "other_edge", one=one_edge, other=other_edge)
    one, other = works
    assert one is not None and other is not None and edges[0] is not None
    if one.group != other.group:
        return say("tool_life", "other_group", one=one.group, other=other.group)
    if one.name != other.name:
        return say("tool_life", "other_work", one=one.name, other=other.name)
    return tables.find(edges[0], one.group) or say(
        "tool_life", "not_published", edge=phrase(edges[0]), group=one.group, words=phrase(GROUPS[one.group])
    )


def _beyond(setup: Setup, against: Setup, exponents: Exponents, tables: LifeTables, units: Units) -> str | None:
    """Why the two are out of what the exponents hold for; None if they are not."""
    if setup.cutter.cutting_edge_angle_deg != against.cutter.cutting_edge_angle_deg:
        return say("tool_life", "other_edge_angle")
    mine, theirs = _terms(setup), _terms(against)
    for name, limit in zip(APART, tables.most, strict=True):
        apart = max(mine[name] / theirs[name], theirs[name] / mine[name])
        if apart > limit.value * (1.0 + _ALIKE):
            apart_told, most_told = in_language(f"{apart:.3g}"), in_language(f"{limit.value:g}")
            fields = {"quantity": say("tool_life", name), "times": apart_told, "most": most_told}
            return say("tool_life", "far_apart", **fields)
    low, high = exponents.speeds
    for speed in (mine["speed"], theirs["speed"]):
        if not low * (1.0 - _ALIKE) <= speed <= high * (1.0 + _ALIKE):
            told = (clear_figure(v, "cutting_speed", units) for v in (speed, low, high))
            return say("tool_life", "speed_outside", **dict(zip(("speed", "low", "high"), told, strict=True)))
    if _rubs(setup) or _rubs(against):
        return say("tool_life", "rubs")
    return None


def life_ratio(
    setup: Setup,
    against: Setup,
    known: Catalogue | None = None,
    tables: LifeTables | None = None,
    units: Units = "metric",
) -> LifeRatio:
    """How many times as long an edge lasts in ``setup`` as in ``against``, by the time that it is fed.

    known : the catalogue that has both work materials, tables : the exponents; the project's own unless given.
    units : those of a reason.
    The band takes each exponent at whichever end of its spread makes the ratio least, and greatest: the spread of
    what is printed, not the scatter of edges.  Refused, with the reason, where edge material or work are unknown or
    differ, where no exponents are published, and where their validity ends.
    """
    tables = tables or life_tables()
    exponents = _same_pair(setup, against, known, tables)
    reason = exponents if isinstance(exponents, str) else _beyond(setup, against, exponents, tables, units)
    if reason is not None or isinstance(exponents, str):
        return LifeRatio(None, None, None, reason)
    mine, theirs = _terms(setup), _terms(against)
    ratios = [mine[name] / theirs[name] for name in TERMS]
    spreads = [f.spread or (f.value, f.value) for f in exponents.figures]
    least = [max(s) if r > 1.0 else min(s) for r, s in zip(ratios, spreads, strict=True)]
    greatest = [min(s) if r > 1.0 else max(s) for r, s in zip(ratios, spreads, strict=True)]
    return LifeRatio(
        taylor(ratios, [f.value for f in exponents.figures]), taylor(ratios, least), taylor(ratios, greatest)
    )
