"""What is left of the stock about a place of a path, as outlines to be drawn."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from .engagement_along import LEVEL
from .levels import QUARTER, stock_polygon
from .whole_path import WholePath

Array = NDArray[np.float64]

STRAY = 1e-3
"""How far, in radii, drawn outlines may stray."""


class StockAround:
    """The stock of one path, ready to be drawn about any of its places."""

    def __init__(self, whole: WholePath) -> None:
        self.whole = whole
        self._block = stock_polygon(whole.stock, STRAY * whole.path.radius)
        at = whole.samples.places
        # Where the path goes on from one sample to the next without a lift.
        step = np.hypot(*np.diff(at.place, axis=0).T) if len(at) else np.zeros(0)
        self.goes_on = step <= np.diff(whole.samples.s) + 1e-6

    def rings(self, s: float, reach: float) -> list[Array]:
        """Outlines (m, 2), mm, of what is left within ``reach`` mm in x and y of the place at ``s`` mm; even-odd."""
        from shapely import MultiLineString, box

        whole = self.whole
        radius, at = whole.path.radius, whole.samples.places
        exact = whole.at(s).places
        x, y = exact.place[0].tolist()
        z = float(exact.z[0])
        upto = int(np.searchsorted(whole.samples.s, s, side="right"))
        near = np.abs(at.place[:upto] - exact.place[0]).max(axis=1) < reach + 1.5 * radius
        near &= ~at.air[:upto] & (at.z[:upto] <= z + LEVEL)
        lines, k = [], np.flatnonzero(near)
        if k.size:
            parts = np.split(k, np.flatnonzero((np.diff(k) > 1) | ~self.goes_on[k[:-1]]) + 1)
            for part in parts:
                points = at.place[part]
                if part[-1] == upto - 1 and not exact.air[0]:
                    points = np.vstack([points, exact.place])
                lines.append(points if len(points) > 1 else np.repeat(points, 2, axis=0) + np.array([[0.0], [1e-6]]))
        left = self._block.intersection(box(x - reach, y - reach, x + reach, y + reach))
        if lines:
            left = left.difference(MultiLineString(lines).simplify(STRAY * radius).buffer(radius, QUARTER // 2))
        return _rings(left)


def _rings(area: Any) -> list[Array]:
    rings = []
    for shape in getattr(area, "geoms", [area]):
        if shape.geom_type == "Polygon" and not shape.is_empty:
            rings += [np.array(ring.coords) for ring in (shape.exterior, *shape.interiors)]
    return rings
