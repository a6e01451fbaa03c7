"""Places of a path with all that is told of them: engagement, direction, chip, force and bending."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ..setup.setup import Setup
from .engagement_along import PathEngagement
from .fed_length import FedLength
from .loads import Loads, loads
from .moves import Moves
from .path_places import Engaged, Places, places_on

Array = NDArray[np.float64]
Index = NDArray[np.int64]
Way = Literal["air", "conventional", "climb", "straddling"]

SIDE = math.radians(0.01)
"""How near to 0 or 180 degrees an interval begins or ends there: as good as angles are meant to be."""

WAYS: tuple[Way, ...] = ("air", "conventional", "climb", "straddling")


@dataclass(frozen=True, eq=False)
class Samples:
    """Figures at m places, lengths in mm, angles in rad.

    s : distance along the fed path.  way : index into WAYS.  width, conventional, climb : ``ae`` and its parts.
    feed : per tooth.  h_max, h_mean : nan in air; the mean is by angle over all intervals.
    """

    s: Array
    places: Places
    engaged: Engaged
    way: Index
    width: Array
    conventional: Array
    climb: Array
    feed: Array
    h_max: Array
    h_mean: Array
    loads: Loads


def feed_per_tooth(moves: Moves, move: Index, setup: Setup) -> tuple[Array, Array]:
    """Feed per tooth (mm) and speed (rpm) of moves: F / (z S) of the program, each the setup's where it has none."""
    cut = setup.cut
    speed = moves.speed_rpm[move]
    speed = np.where(np.isfinite(speed) & (speed > 0.0), speed, cut.spindle_speed_rpm)
    feed = moves.feed_mm_min[move]
    with np.errstate(invalid="ignore"):
        told = feed / (setup.cutter.teeth * speed)
    return np.where(np.isfinite(told) & (feed > 0.0), told, cut.feed_per_tooth_mm), speed


def direction(engaged: Engaged) -> Index:
    """Index into WAYS of each place: of the first entry and the last exit (path-report)."""
    some = np.diff(engaged.first) > 0
    way = np.zeros(len(some), np.int64)
    first, last = engaged.entry[engaged.first[:-1][some]], engaged.exit[engaged.first[1:][some] - 1]
    left, right = first < SIDE, last > np.pi - SIDE
    way[some] = np.where(left & ~right, 1, np.where(right & ~left, 2, 3))
    return way


def thickest(engaged: Engaged, feed: Array, kappa: float) -> Array:
    """Greatest chip thickness (m,), mm: nearest to 90 degrees; nan in air.  kappa : cutting edge angle, rad."""
    most = np.full(len(feed), np.nan)
    top = np.sin(np.clip(np.pi / 2.0, engaged.entry, engaged.exit))
    place = engaged.place
    np.fmax.at(most, place, top * feed[place] * math.sin(kappa))
    return most


def samples(path: PathEngagement, fed: FedLength, s: Array, setup: Setup) -> Samples:
    """Figures at distances ``s`` (m,) mm along the fed path."""
    move, along = fed.on(s) if len(fed.move) else (np.zeros(0, np.int64), np.zeros(0))
    places = places_on(path.moves, move, along, path.stock.top_z_mm)
    engaged = path.engaged(places)
    kappa = math.radians(setup.cutter.cutting_edge_angle_deg)
    feed, speed = feed_per_tooth(path.moves, move, setup)
    width, arc = engaged.width(path.radius), engaged.arc
    way = direction(engaged)
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.where(arc > 0.0, feed * math.sin(kappa) * width / path.radius / arc, np.nan)
    side = np.select([way == 1, way == 2], [1.0, -1.0], 0.0)
    return Samples(
        s=s,
        places=places,
        engaged=engaged,
        way=way,
        width=width,
        conventional=engaged.width(path.radius, 0.0, np.pi / 2.0),
        climb=engaged.width(path.radius, np.pi / 2.0, np.pi),
        feed=feed,
        h_max=thickest(engaged, feed, kappa),
        h_mean=mean,
        loads=loads(engaged, feed, speed, side, setup),
    )
