"""The temperature of the cutting edge over a turn, in the steady rhythm of heating in the arc and cooling in the air.

The rise at the edge is the sum of what every bit of heat leaves there, ``T(t) = integral of q(tau) K(t - tau)``, of
this turn and of all before it (:mod:`.corner_conduction`).  The flux q is given, or such that chip and tool agree at
every instant (:mod:`.edge_flux`).  The temperature is a polynomial in the stretched position of :mod:`.arc_mesh`;
flux and contact length are taken as they are wherever they are needed, so that nothing else is approximated.
Good to 5e-4 of the converged answer.  Tip element of the edge, arc model, no runout, dry, constant properties.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from .angles import Array
from .arc_mesh import arc_mesh, chebyshev
from .arc_results import frozen
from .corner_conduction import earlier_turns, lasting_rise, patch_response
from .edge_flux import EdgeFlux, edge_flux
from .setup import LinearEdge, Setup

AIR_POINTS = 7
"""Places in the lag between which the heat of earlier turns is interpolated for a tooth in the air."""


@dataclass(frozen=True, slots=True, eq=False)
class EdgeTemperature:
    """The edge's rise over its surroundings, K, in the periodic steady state, and where its heat comes from.

    ``peak_at`` : rad.  ``tool_share`` : part of the arc's cutting work that enters the tool; ``edge_share`` : part
    of it that is due to the edge force; nan where no work is done.  ``rise`` : at the nodes of the arc's mesh;
    ``late_flux`` : W/m2, at the mesh's lags before exit.
    """

    entry: float
    peak: float
    peak_at: float
    exit: float
    mean: float
    tool_share: float
    edge_share: float
    flux: EdgeFlux
    rise: Array
    late_flux: Array

    @property
    def in_arc(self) -> Array:
        """Rise, K, at the close row of the mesh's positions in the arc, (f,)."""
        return np.asarray(arc_mesh().fine_share @ self.rise)

    @property
    def swing(self) -> float:
        """Peak less entry, K."""
        return self.peak - self.entry

    def at(self, phi: ArrayLike) -> Array:
        """Rise, K, at tip angles ``phi`` (rad, any turn), in the arc and in the air; same shape."""
        flux, mesh = self.flux, arc_mesh()
        along = np.mod(np.asarray(phi, float) - flux.entry, 2.0 * np.pi) / flux.arc
        found = np.empty(along.shape)
        # An end of the arc belongs to it, whatever rounding does.
        within = along <= 1.0 + 1e-12
        if within.any():
            found[within] = mesh.share(np.minimum(along[within], 1.0)) @ self.rise
        if within.all():
            return found
        found[~within] = self._in_air((along[~within] - 1.0) * flux.contact_time)
        return found

    def _in_air(self, gone: Array) -> Array:
        """Rise ``gone`` seconds after exit, (n,)."""
        flux, mesh = self.flux, arc_mesh()
        lag, time = mesh.lag[-1], flux.contact_time
        length = flux.contact_length(flux.thickness(mesh.lag_along[-1]))
        since = gone[:, None] + time * lag
        scale = flux.turn / 2.0
        places = chebyshev(AIR_POINTS)[0]
        at_places = earlier_turns(scale * (1.0 + places), length, flux.width, flux.turn, flux.tool)
        # The Chebyshev series through these places, one for each lag before exit.
        terms = 2.0 / AIR_POINTS * np.cos(np.arange(AIR_POINTS)[:, None] * np.arccos(places))
        terms[0] /= 2.0
        series = (terms @ at_places.T)[:, None, :]
        before = np.polynomial.chebyshev.chebval(since / scale - 1.0, series, tensor=False)
        kernel = patch_response(since, length, flux.width, flux.tool) + before
        return np.asarray(kernel @ (time * mesh.lag_weights[-1] * self.late_flux))


def _peak(rise: Array) -> tuple[float, float]:
    """The greatest rise in the arc and its position: the best of a close row, and the parabola about it."""
    mesh = arc_mesh()
    curve = mesh.fine_share @ rise
    best = int(np.argmax(curve))
    if not 0 < best < len(curve) - 1:
        return float(curve[best]), float(mesh.fine[best])
    a, b, c = curve[best - 1 : best + 2]
    bend = a - 2.0 * b + c
    shift = 0.5 * (a - c) / bend if bend < 0.0 else 0.0
    # The row is even in the stretched position: a parabola of the position through the same three.
    low, here, high = mesh.fine[best - 1 : best + 2]
    at = here + 0.5 * shift * (high - low) + 0.5 * shift * shift * (high - 2.0 * here + low)
    return float(b - 0.25 * (a - c) * shift), float(at)


@lru_cache(maxsize=64)
def edge_temperature(setup: Setup) -> EdgeTemperature | None:
    """The edge's temperature over a turn; None where the force is not known or figures are beyond all bounds."""
    flux = edge_flux(setup)
    if flux is None:
        return None
    # Legal figures can be so far from any tool that their products leave the range of numbers.
    with np.errstate(all="ignore"):
        found = _solved(flux)
    figures = (found.entry, found.peak, found.exit, found.mean)
    return found if all(map(math.isfinite, figures)) else None


def _solved(flux: EdgeFlux) -> EdgeTemperature:
    mesh, time = arc_mesh(), flux.contact_time
    matched = flux.chip.tool_heat_share is None
    h, far_h = flux.thickness(mesh.lag_along), flux.thickness(mesh.source)
    length, far_length = flux.contact_length(h), flux.contact_length(far_h)
    given, far_given = (flux.unopposed(x) if matched else flux.declared(x) for x in (h, far_h))

    # What flux in this turn, and in all earlier ones, does at each node.
    now = patch_response(time * mesh.lag, length, flux.width, flux.tool) * (time * mesh.lag_weights)
    sums = earlier_turns(time * mesh.turn_lag, far_length, flux.width, flux.turn, flux.tool)
    before = np.einsum("nmj,mj->nm", mesh.turn_share, sums) * (time * mesh.source_weights)
    rise = before @ far_given
    rise[1:] += (now * given).sum(axis=1)
    far_flux, late_flux = far_given, given[-1]
    if matched:
        eased, far_eased = 1.0 / flux.chip_resistance(h), 1.0 / flux.chip_resistance(far_h)
        back = (before * far_eased) @ mesh.source_share
        back[1:] += np.matmul((now * eased)[:, None, :], mesh.lag_share)[:, 0, :]
        back[np.diag_indices_from(back)] += 1.0
        if not np.isfinite(back).all():
            rise = np.full_like(rise, np.nan)
        else:
            rise = np.linalg.solve(back, rise)
        far_flux = far_given - far_eased * (mesh.source_share @ rise)
        late_flux = given[-1] - eased[-1] * (mesh.lag_share[-1] @ rise)

    weights = mesh.source_weights
    work = float(weights @ flux.power(far_h))
    edge = flux.law.kte * flux.speed * 1000.0 if isinstance(flux.law, LinearEdge) else 0.0
    lasting = lasting_rise(far_length, flux.width, flux.tool)
    peak, at = _peak(rise)
    return EdgeTemperature(
        entry=float(rise[0]),
        peak=peak,
        peak_at=flux.entry + flux.arc * at,
        exit=float(rise[-1]),
        mean=flux.arc / (2.0 * math.pi) * float(weights @ (far_flux * lasting)),
        tool_share=float(weights @ (far_flux * far_length)) / work if work > 0.0 else math.nan,
        edge_share=edge / work if work > 0.0 else math.nan,
        flux=flux,
        rise=frozen(rise),
        late_flux=frozen(np.array(late_flux)),
    )
