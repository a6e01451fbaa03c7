"""The temperature of the cutting edge over a turn, in the steady rhythm of heating in the arc and cooling in the air.

The rise at the edge is the sum of what every bit of heat leaves there, ``T(t) = integral of q(tau) K(t - tau)``, of
this turn and of all before it (:mod:`.corner_conduction`).  The flux q is given, or such that chip and tool agree at
every instant (:mod:`.edge_flux`).  The temperature is a polynomial in the stretched position of :mod:`.arc_mesh`;
flux and contact length are taken as they are wherever they are needed, so that nothing else is approximated.
Good to 5e-4 of the converged answer.  Tip element of the edge, arc model, dry; with runout the tooth that cuts most.
How the flux goes with the temperature, and that neither runs away, is :mod:`.heat_balance`.

Method.  Where chip and tool must agree the flux depends on the temperature that it makes: a Volterra equation of the
second kind, with a kernel that goes as the inverse root of the lag, made periodic by the earlier turns.  It is solved
by collocation (Nystrom's method with product weights): the temperature is the polynomial of degree 32 through
Chebyshev places of the stretched position, the equation holds at these 33 places, and each integral is a Gauss rule
of 40 points in a stretched lag that has the singularity at its flat end, so that the integrand is smooth.  The
temperature begins as a power of the root of time, which the stretch turns into a smooth function, so that the
polynomial converges fast.  Of earlier turns the last five are summed one by one, all before them as an integral with
its first correction (Euler-Maclaurin); their heat is smooth in the lag and interpolated through 8 places.  Cost: some
40 times 32 kernel values, and a system of 33 equations for each step of the balance.  Sources: Atkinson, The
Numerical Solution of Integral Equations of the Second Kind (1997), chapter 4, for the method; Carslaw and Jaeger,
Conduction of Heat in Solids (1959), chapter 10, for the kernels (both from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from ..documents.thermal_laws import ROOM_C
from ..maths.arrays import Array, frozen
from ..maths.graded_mesh import SOURCE_POINTS, TURN_POINTS, arc_mesh, chebyshev
from ..setup.setup import Setup, Thermal
from .corner_conduction import (
    diffusivity,
    each_earlier_turn,
    effusivity,
    lasting_rise,
    patch_part,
    patch_response,
    summed_turns,
)
from .edge_flux import EdgeFlux, edge_flux
from .heat_balance import HeatResponse, balanced

END_SHARE = 0.8
"""Part of the solidus (degrees C) beyond which the model is at its end: the work flows and no law of it holds."""

UNRESOLVED = 0.01
"""Disagreement of the figures, as a part of the peak, over which the mesh is too coarse for the cut."""

AIR_POINTS = 7
"""Places in the lag between which the heat of earlier turns is interpolated for a tooth in the air."""

_AIR_LAG = 1.0 + chebyshev(AIR_POINTS)[0]
_AIR_POWERS = np.linalg.inv(np.vander(_AIR_LAG - 1.0, increasing=True))
"""These places in half turns, and the coefficients of the polynomial through the values there, (powers, places)."""


@dataclass(frozen=True, slots=True, eq=False)
class EdgeTemperature:
    """The edge's rise over its surroundings, K, in the periodic steady state, and where its heat comes from.

    ``peak_at`` : rad.  ``tool_share`` : part of the arc's cutting work that enters the tool; ``edge_share`` : part
    of it that is due to the edge force; nan where no work is done.  ``work_c`` : temperature, degrees C, up to which
    the work's properties are taken, the mean of the edge's in the arc.  ``rise`` : at the nodes of the arc's mesh;
    ``in_arc`` : at the close row of the mesh's positions; ``late_length`` (m), ``late_heat`` (J/m2) : contact and
    heat at each of the mesh's lags before exit, (k,); ``late_before`` (powers, k), K m2/J : what the same heat of
    all earlier turns does in the air, a polynomial of the lag in half turns, less 1.
    """

    entry: float
    peak: float
    peak_at: float
    exit: float
    mean: float
    tool_share: float
    edge_share: float
    work_c: float
    flux: EdgeFlux
    rise: Array
    in_arc: Array
    late_length: Array
    late_heat: Array
    late_before: Array

    @property
    def swing(self) -> float:
        """Peak less entry, K."""
        return self.peak - self.entry

    @property
    def end_rise(self) -> float:
        """Rise, K, from which on the model has ended: :data:`END_SHARE` of the solidus; infinite where not known."""
        return END_SHARE * (self.flux.solidus_rise + ROOM_C) - ROOM_C

    @property
    def at_end(self) -> bool:
        """Whether the edge gets so near to the solidus of the work that the model has no figure for it."""
        return self.peak > self.end_rise

    def at(self, phi: ArrayLike) -> Array:
        """Rise, K, at tip angles ``phi`` (rad, any turn), in the arc and in the air; same shape."""
        flux, mesh = self.flux, arc_mesh()
        along = np.mod(np.asarray(phi, float) - flux.entry, 2.0 * np.pi) / flux.arc
        rise = np.empty(along.shape)
        # An end of the arc belongs to it, whatever rounding does.
        within = along <= 1.0 + 1e-12
        if within.any():
            rise[within] = mesh.share(np.minimum(along[within], 1.0)) @ self.rise
        outside = ~within
        if outside.any():
            rise[outside] = self.in_air((along[outside] - 1.0) * flux.contact_time)
        return self._legal(rise)

    def _legal(self, rise: Array) -> Array:
        """A polynomial through legal temperatures may overshoot by its own error."""
        return np.minimum(np.maximum(rise, 0.0), self.flux.solidus_rise)

    def in_air(self, gone: Array) -> Array:
        """Rise, K, ``gone`` seconds after exit and before the next entry, (n,)."""
        flux = self.flux
        lag = gone[:, None] + flux.contact_time * arc_mesh().lag[-1]
        kernel = patch_response(lag, self.late_length, flux.width, flux.tool)
        lag *= 2.0 / flux.turn
        lag -= 1.0
        before = self.late_before[-1] * lag
        for power in self.late_before[-2:0:-1]:
            before += power
            before *= lag
        before += self.late_before[0]
        kernel += before
        return self._legal(kernel @ self.late_heat)


def _peak(curve: Array) -> tuple[float, float]:
    """The greatest rise in the arc and its position: the best of the close row, and the parabola about it."""
    mesh = arc_mesh()
    best = int(curve.argmax())
    if not 0 < best < len(curve) - 1:
        return float(curve[best]), float(mesh.fine[best])
    a, b, c = curve[best - 1 : best + 2].tolist()
    bend = a - 2.0 * b + c
    shift = 0.5 * (a - c) / bend if bend < 0.0 else 0.0
    # The row is even in the stretched position: a parabola of the position through the same three.
    low, at_best, high = mesh.fine[best - 1 : best + 2].tolist()
    at = at_best + 0.5 * shift * (high - low) + 0.5 * shift * shift * (high - 2.0 * at_best + low)
    return b - 0.25 * (a - c) * shift, at


@lru_cache(maxsize=64)
def edge_temperature(setup: Setup) -> EdgeTemperature | None:
    """The edge's temperature over a turn; None where the force is not known or figures are beyond all bounds.

    Beyond them is also what the mesh does not resolve: a contact that grows from micrometres to decimetres at a
    hundred times the speed of any shop leaves a mean over the turn that is not among the temperatures of the turn.
    """
    flux = edge_flux(setup)
    if flux is None:
        return None
    # Legal figures can be so far from any tool that their products leave the range of numbers.
    with np.errstate(all="ignore"):
        temperature = _solved(flux)
    return temperature if _holds(temperature) else None


def _holds(temperature: EdgeTemperature) -> bool:
    """Whether the figures are numbers and agree with each other."""
    figures = (temperature.entry, temperature.peak, temperature.exit, temperature.mean, float(temperature.rise.min()))
    slack = UNRESOLVED * temperature.peak
    return (
        all(map(math.isfinite, figures)) and min(figures) >= -slack and temperature.mean <= temperature.peak + slack
    )


@lru_cache(maxsize=16)
def _each_earlier_turn(contact_time: float, turn: float, width: float, tool: Thermal) -> tuple[Array, Array]:
    """What :func:`summed_turns` sums: the same for climb and conventional of one cut, and at every feed."""
    since = np.concatenate([contact_time * arc_mesh().turn_lag, turn / 2.0 * _AIR_LAG])
    return each_earlier_turn(since, width, turn, tool)


def _solved(flux: EdgeFlux) -> EdgeTemperature:
    mesh, time = arc_mesh(), flux.contact_time
    h = flux.thickness(mesh.heated)
    sources = flux.sources(h)
    length, far_length = mesh.parted(sources.length)

    # What flux in this turn, and in all earlier ones, does at each node.
    now = patch_part(mesh.lag_root / (2.0 * math.sqrt(diffusivity(flux.tool) * time)), length, flux.width)
    now *= mesh.lag_root_weights * (math.sqrt(time / math.pi) / effusivity(flux.tool))
    both = np.concatenate([far_length, length[-1]])
    sums = summed_turns(both, *_each_earlier_turn(time, flux.turn, flux.width, flux.tool))
    before = np.einsum("nmj,mj->nm", mesh.turn_share, sums[:SOURCE_POINTS, :TURN_POINTS])
    before *= time * mesh.source_weights
    balance = balanced(flux, sources, HeatResponse(now, before))

    weights, rise, far_flux = mesh.source_weights, balance.rise, balance.far_flux
    work = float(weights @ flux.power(mesh.parted(h)[1]))
    lasting = lasting_rise(far_length, flux.width, flux.tool)
    # As in :meth:`EdgeTemperature.at`.
    rise = np.minimum(rise, flux.solidus_rise)
    curve = np.minimum(np.maximum(mesh.fine_share @ rise, 0.0), flux.solidus_rise)
    peak, at = _peak(curve)
    peak = min(peak, flux.solidus_rise)
    mean = flux.arc / (2.0 * math.pi) * float(weights @ (far_flux * lasting))
    return EdgeTemperature(
        entry=max(float(rise[0]), 0.0),
        peak=peak,
        peak_at=flux.entry + flux.arc * at,
        exit=max(float(rise[-1]), 0.0),
        mean=min(mean, flux.solidus_rise) if mean < (1.0 + UNRESOLVED) * flux.solidus_rise else mean,
        tool_share=float(weights @ (far_flux * far_length)) / work if work > 0.0 else math.nan,
        edge_share=_edge_work(flux, mesh.parted(h)[1], weights) / work if work > 0.0 else math.nan,
        work_c=balance.work_c,
        flux=flux,
        rise=frozen(rise),
        in_arc=frozen(curve),
        late_length=frozen(length[-1].copy()),
        late_heat=frozen(balance.late_flux * (time * mesh.lag_weights[-1])),
        late_before=frozen(_AIR_POWERS @ sums[SOURCE_POINTS:, TURN_POINTS:].T),
    )


def _edge_work(flux: EdgeFlux, h: Array, weights: Array) -> float:
    """Work of the edge force over the arc, in the measure of that of all the force: where the tooth is in contact."""
    return flux.edge_power * float(weights @ np.isfinite(h))
