"""The feeds that hold a chosen chip thickness along a path, one for each move.

The greatest thickness at a place is ``fz sin(kappa)`` times the sine of the engaged angle nearest to 90 degrees, so
that it is held by a feed in proportion.  A program has one F for a move: that of the place where the chip is
thickest.  Feeds are lowered, and raised at most to a chosen multiple of the program's own.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from ..base.errors import ChiparcError
from ..base.words import say
from ..setup.setup import Setup
from .engagement_along import PathEngagement
from .fed_length import FedLength
from .samples import Samples, feed_per_tooth, thickest
from .spikes import Profile

Array = NDArray[np.float64]


def held_share(samples: Samples, thickness: float) -> Array:
    """Share (m,) of the feed at which the greatest chip is ``thickness`` mm; 1 in air."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(np.where(samples.h_max > 0.0, thickness / samples.h_max, 1.0), float)


def held_feeds(
    path: PathEngagement, fed: FedLength, profile: Profile, setup: Setup, thickness: float, fastest: float = 1.0
) -> Array:
    """Feed (moves,), mm/min, at which no chip of a move is thicker than ``thickness`` mm; nan keeps the program's.

    profile : of the same path.  fastest : no feed is raised above so many times the move's own; moves in air keep
    theirs.  Raises ChiparcError for a thickness that is not over 0.
    """
    if not (math.isfinite(thickness) and thickness > 0.0):
        found = say("path_doubt", "found", value=thickness)
        raise ChiparcError(say("held_feed", "thickness"), found, say("held_feed", "allowed"))
    moves = path.moves
    made = np.full(len(moves), np.nan)
    if not len(fed.move):
        return made
    kappa = math.radians(setup.cutter.cutting_edge_angle_deg)
    feed, _ = feed_per_tooth(moves, profile.move, setup)
    h = thickest(path.at(profile.move, profile.along), feed, kappa)
    most = np.zeros(len(moves))
    np.fmax.at(most, profile.move, np.nan_to_num(h))
    own, rpm = feed_per_tooth(moves, np.arange(len(moves)), setup)
    cuts = moves.feed_mask & (most > 0.0)
    share = np.minimum(thickness / most[cuts], max(fastest, 0.0))
    # A share of 1 to rounding is the program's own feed.
    share = np.where(np.abs(share - 1.0) < 1e-6, np.nan, share)
    made[cuts] = own[cuts] * share * setup.cutter.teeth * rpm[cuts]
    return made
