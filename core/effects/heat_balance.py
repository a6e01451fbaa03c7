"""The balance of heat at the contact: temperature and flux that agree with each other at every instant.

The flux into the tool is ``q = g - c T`` of the edge's rise T: what a tool with no rise would get, less by how
much each K eases it (:meth:`.edge_flux.EdgeFlux.matched`).  With T a polynomial through the mesh's nodes that is one
linear equation for its values there.  Three things bend it:

* **Properties that follow temperature.**  ``g`` and ``c`` take the work at one representative temperature, the mean
  of the edge's own in the arc, for which the equation is solved again until both agree.  What is sought is the root
  of a continuous function of one number, over 0 at the surroundings and below 0 at the bracket's hot end: regula
  falsi in the Illinois form (Dowell and Jarratt 1971, from memory) always finds it, in some three solutions, each
  on the matrices that are there already.
* **A work that softens** to nothing at its solidus makes friction's part fall with T in a straight line: that is one
  more term of ``c``, and the equation stays linear.
* **What the chip can take out.**  Where the tool is hotter than its chip ``q`` is below 0: the chip cools the tool.
  The model does so over the whole contact as if all of it were as hot as the edge.  Where the edge became hot at a
  contact of micrometres and a chip of millimetres then lies on it, that takes out more heat than ever went in: it is
  what made rises and shares fall below 0.  The part of the contact that is cooled like that, 1 as long as the balance
  of the turn stays above 0, is then made so small that the tool gives up what it got and no more.  At 0 the flux is
  nowhere below 0, and neither is anything that it makes.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..documents.thermal_laws import ROOM_C
from ..maths.arrays import Array
from ..maths.graded_mesh import ArcMesh, arc_mesh
from ..maths.roots import close_to_zero
from ..setup.setup import Thermal
from .corner_conduction import effusivity
from .edge_flux import EdgeFlux, HeatSources
from .hot_work import HOTTEST_C, mean_properties

NEAR_K = 0.5
"""The representative temperature is found to this; properties change by some 3e-4 in it."""

MOST_TRIES = 40
"""Steps of a search that ends long before; a bound against a figure that is no number."""

SIGNS = 12
"""Rounds in which the places with a flux below 0 settle; they do in two or three."""


HALVINGS = 10
"""Steps to the part of the contact that is cooled: a thousandth of it."""


@dataclass(frozen=True, slots=True, eq=False)
class HeatResponse:
    """Rise at the nodes for unit flux: ``now`` (n-1, k) of this turn's lags, ``before`` (n, m) of earlier turns."""

    now: Array
    before: Array

    def rise(self, near: Array, far: Array) -> Array:
        """Rise (n,) of a flux at the lags (n-1, k) and over the whole arc (m,)."""
        rise = self.before @ far
        rise[1:] += np.einsum("nk,nk->n", self.now, near)
        return rise

    def eased(self, mesh: ArcMesh, near: Array, far: Array) -> Array:
        """What an easing at these places takes off the rise for each K at each node, (n, n)."""
        eased = np.asarray((self.before * far) @ mesh.source_share)
        eased[1:] += np.matmul((self.now * near)[:, None, :], mesh.lag_share)[:, 0, :]
        return eased


@dataclass(frozen=True, slots=True, eq=False)
class Balance:
    """Rise at the nodes (n,), flux over the whole arc (m,) and at the last node's lags (k,), work's temperature."""

    rise: Array
    far_flux: Array
    late_flux: Array
    work_c: float


def _solve(back: Array, rise: Array) -> Array:
    matrix = back.copy()
    # Along the diagonal.
    matrix.reshape(-1)[:: len(matrix) + 1] += 1.0
    if not (np.isfinite(matrix).all() and np.isfinite(rise).all()):
        return np.full_like(rise, np.nan)
    return np.asarray(np.linalg.solve(matrix, rise))


def _fixed_point(of: Callable[[float], float], high: float) -> float:
    """The figure that ``of`` gives back, between :data:`ROOM_C` and ``high``; nan where it gives none."""
    low, low_over = ROOM_C, of(ROOM_C) - ROOM_C
    if not math.isfinite(low_over) or low_over <= NEAR_K:
        return ROOM_C + low_over
    # The first guess is a step of the plain iteration, which nearly contracts.
    guess = min(ROOM_C + low_over, high)
    high_over = of(guess) - guess
    if abs(high_over) <= NEAR_K:
        return guess
    if high_over > 0.0:
        low, low_over, guess = guess, high_over, high
        high_over = of(guess) - guess
        if not high_over < 0.0:
            return guess
    return close_to_zero(lambda t: of(t) - t, low, low_over, guess, high_over, NEAR_K, MOST_TRIES)


def balanced(flux: EdgeFlux, sources: HeatSources, response: HeatResponse) -> Balance:
    """The balance of one turn; ``sources`` at the mesh's heated places."""
    mesh, soft = arc_mesh(), math.isfinite(flux.solidus_rise)
    if flux.chip.tool_heat_share is not None:
        near, far = mesh.parted(sources.rubbed)
        rise = response.rise(near, far)
        if soft:
            rise = _solve(response.eased(mesh, *mesh.parted(sources.softening)), rise)
            late, far = _late_and_far(mesh, rise, sources.rubbed, sources.softening)
            return Balance(rise, far, late, _mean_of_arc(mesh, rise))
        return Balance(rise, far, near[-1], _mean_of_arc(mesh, rise))
    # An easing goes with the effusivity of the work alone: its matrix is made once.
    easing = response.eased(mesh, *mesh.parted(sources.unit_eased))
    softening = response.eased(mesh, *mesh.parted(sources.softening)) if soft else None
    friction = response.rise(*mesh.parted(sources.rubbed))

    def solved(work: Thermal) -> tuple[Array, Array]:
        """Rise, and the flux that the hot chip adds, with the work at one temperature."""
        back = effusivity(work) * easing
        if softening is not None:
            back += softening
        brought = sources.from_chip(work)
        return _solve(back, friction + response.rise(*mesh.parted(brought))), brought

    last: dict[float, tuple[Array, Array]] = {}

    def mean_at(t_c: float) -> float:
        last.clear()
        last[t_c] = solved(mean_properties(flux.work, flux.work_law, t_c))
        return _mean_of_arc(mesh, last[t_c][0])

    if flux.work_law is None:
        work = flux.work
        rise, brought = solved(work)
        work_c = _mean_of_arc(mesh, rise)
    else:
        work_c = _fixed_point(mean_at, min(ROOM_C + flux.solidus_rise, HOTTEST_C))
        work = mean_properties(flux.work, flux.work_law, work_c)
        rise, brought = last[work_c] if work_c in last else solved(work)
    given, eased = sources.rubbed + brought, sources.eased(work)
    if soft:
        eased += sources.softening
    late, far = _late_and_far(mesh, rise, given, eased)
    if not _gives_too_much(mesh, sources, rise, far):
        return Balance(rise, far, late, work_c)
    return _limited(sources, response, given, eased, work_c)


def _mean_of_arc(mesh: ArcMesh, rise: Array) -> float:
    """Mean temperature of the edge in the arc, degrees C."""
    return ROOM_C + float(mesh.source_weights @ (mesh.source_share @ rise))


def _fluxes(mesh: ArcMesh, rise: Array, given: Array, eased: Array) -> tuple[Array, Array]:
    """Flux at the lags (n-1, k) and over the whole arc (m,) with the rise that it makes."""
    near, far = mesh.parted(given)
    near_eased, far_eased = mesh.parted(eased)
    return near - near_eased * (mesh.lag_share @ rise), far - far_eased * (mesh.source_share @ rise)


def _late_and_far(mesh: ArcMesh, rise: Array, given: Array, eased: Array) -> tuple[Array, Array]:
    """As :func:`_fluxes`, but of the lags only those of the last node, (k,): what is not limited asks for no more."""
    near, far = mesh.parted(given)
    near_eased, far_eased = mesh.parted(eased)
    late = near[-1] - near_eased[-1] * (mesh.lag_share[-1] @ rise)
    return late, far - far_eased * (mesh.source_share @ rise)


def _gives_too_much(mesh: ArcMesh, sources: HeatSources, rise: Array, far: Array) -> bool:
    """Whether the tool gives up more heat than it got, or gets colder than the surroundings."""
    heat = far * mesh.parted(sources.length)[1]
    return bool(mesh.source_weights @ heat < 0.0 or rise.min() < 0.0)


def _limited(sources: HeatSources, response: HeatResponse, given: Array, eased: Array, work_c: float) -> Balance:
    """The balance with the greatest part of the contact cooled by the chip for which nothing falls below 0."""
    mesh = arc_mesh()

    def with_part(part: float) -> tuple[Array, Array, Array]:
        counts = np.ones_like(given)
        for _ in range(SIGNS):
            near, far = mesh.parted(counts * eased)
            rise = _solve(response.eased(mesh, near, far), response.rise(*mesh.parted(counts * given)))
            near, far = _fluxes(mesh, rise, given, eased)
            wanted = np.where(np.concatenate([near.ravel(), far]) < 0.0, part, 1.0)
            if np.array_equal(wanted, counts):
                break
            counts = wanted
        near_counts, far_counts = mesh.parted(counts)
        return rise, near * near_counts, far * far_counts

    low, high, best = 0.0, 1.0, with_part(0.0)
    for _ in range(HALVINGS):
        part = 0.5 * (low + high)
        tried = with_part(part)
        if _gives_too_much(mesh, sources, tried[0], tried[2]):
            high = part
        else:
            low, best = part, tried
    rise, near, far = best
    return Balance(rise, far, near[-1], work_c)
