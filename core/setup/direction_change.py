"""Changes that carry others with them: another direction or diameter that keeps the cut legal."""

from __future__ import annotations

from dataclasses import replace

from .setup import Direction, Setup
from .setup_limits import FEED_SHARE
from .work_strip import TOUCH

WIDEST_SIDE = 0.75
"""Share of the diameter that a full slot is narrowed to when it is turned into a one-sided cut."""


def with_direction(setup: Setup, direction: Direction) -> Setup:
    """The setup in another direction; width and offset are kept as far as that direction has them.

    A one-sided cut has no offset and is narrower than the cutter; straddling lies about the middle.
    """
    cut, d = setup.cut, setup.cutter.diameter_mm
    if cut.direction == direction:
        return setup
    width = cut.radial_engagement_mm
    if direction != "straddling" and width >= d * (1.0 - TOUCH):
        width = WIDEST_SIDE * d
    return replace(setup, cut=replace(cut, direction=direction, radial_engagement_mm=width, centre_offset_mm=0.0))


def with_diameter(setup: Setup, diameter: float) -> Setup:
    """The setup with another cutter diameter (mm); width, offset, feed and runout keep their share if they must."""
    old, cut, cutter = setup.cutter.diameter_mm, setup.cut, setup.cutter
    share = diameter / old
    width, offset = cut.radial_engagement_mm, cut.centre_offset_mm
    one_sided = cut.direction != "straddling"
    if (one_sided and width >= diameter) or not one_sided:
        width, offset = width * share, offset * share
    feed = min(cut.feed_per_tooth_mm, FEED_SHARE * diameter)
    if cut.feed_per_tooth_mm > FEED_SHARE * diameter:
        feed = cut.feed_per_tooth_mm * share
    runout = cutter.runout_mm if cutter.runout_mm < diameter / 2 else cutter.runout_mm * share
    return replace(
        setup,
        cutter=replace(cutter, diameter_mm=diameter, runout_mm=runout),
        cut=replace(cut, radial_engagement_mm=width, centre_offset_mm=offset, feed_per_tooth_mm=feed),
    )
