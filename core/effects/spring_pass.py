"""A spring pass: the same path once more, which takes some of the stock that the bent cutter left.

The second pass has no width of its own; its width is the stock that the first one left, and its own error is found
by the same model.  The greatest stock over the depth is taken as an even width, so that the second error is rather
reported too large.  Where the first pass undercut, nothing is put back: the wall is the lower of the two.

A chip thinner than the least chip thickness does not form: the edge rubs, the wall stays, and heats and hardens.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..maths.arrays import ascending
from ..maths.smooth_pieces import SmoothPieces, sample_places
from ..setup.setup import Setup
from ..setup.setup_limits import RANGES
from .wall import WallMaker, beyond_rounding, no_chip_forms, one_sided, samples_of_each, wall_pieces
from .wall_depth import extremes, wall_profile_over_depth


@dataclass(frozen=True, slots=True)
class SpringPass:
    """A second pass on the same path: its width (mm), whether a chip forms, the error (mm, signed) after it.

    ``error`` is at the tip, ``least`` and ``greatest`` over the depth; None where no chip forms.  ``chip_known`` :
    the edge radius is known, and with it whether a chip forms.
    """

    width: float
    forms_chip: bool
    chip_known: bool
    error: float | None
    least: float | None
    greatest: float | None


@lru_cache(maxsize=16)
def spring_pass(setup: Setup) -> SpringPass | None:
    """What a spring pass leaves; None where there is no wall error, or no stock that it could take."""
    first = wall_profile_over_depth(setup)
    known = setup.cutter.edge_radius_mm is not None
    if first is None or first.greatest <= RANGES["cut.radial_engagement_mm"].least:
        return None
    if first.greatest >= setup.cutter.diameter_mm:
        return None
    again = setup.with_keys({"cut.radial_engagement_mm": first.greatest})
    if no_chip_forms(again):
        return SpringPass(first.greatest, False, known, None, None, None)
    second = one_sided(again)
    if second is None:
        return None
    passes = [one_sided(setup), second]
    makers = [maker for maker in passes if maker is not None]
    both = wall_of_both(makers)
    (least, _), (greatest, _) = extremes(both, makers)
    tip = float(both.values[:, 0, 0].min())
    # An error that is but rounding beside the first pass's movement is none.
    tip, least, greatest = beyond_rounding(np.array([tip, least, greatest]), setup).tolist()
    return SpringPass(first.greatest, True, known, tip, least, greatest)


def wall_of_both(makers: Sequence[WallMaker]) -> SmoothPieces:
    """Errors of all passes over the depth, each tooth's by itself: the least of all is the wall.

    Between the kinks of all of them.
    """
    edges = ascending(np.concatenate([wall_pieces(maker) for maker in makers]))
    edges = edges[np.concatenate([[True], np.diff(edges) > 1e-9 * edges[-1]])]
    if len(edges) < 5:
        edges = ascending(np.concatenate([edges, np.linspace(edges[0], edges[-1], 5)]))
    at = sample_places(edges, samples_of_each(len(edges) - 1))
    values = np.concatenate([maker.errors(at.reshape(-1)) for maker in makers])
    return SmoothPieces(edges, values.reshape(len(values), *at.shape))
