"""The search upward from depth 0 for the first depth at which a multiplier leaves the unit circle.

Each step goes up by a share of the distance to the nearest zero of the characteristic polynomial on the unit circle,
so that the search slows down wherever the circle is nearly touched.  Whether a depth is stable is decided exactly.
The first unstable depth brackets the border; a Newton search for ``F(exp(i theta), a) = 0`` then gives depth and
angle together, to rounding, and what lies just below is tested once more.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from ..maths.arrays import Array
from .characteristic import Direct, Form, stable
from .period_matrix import powers_of

STEP = 0.85
"""Share of the distance to the nearest zero that a step goes up."""

GRAZE = 4.0
"""A zero that moves along the circle is counted as at most this many times further than straight across."""

LEAST_STEP = 0.004
"""Least step as a share of the depth: a pocket of instability thinner than this may be passed."""

AGAIN = 1e-3
"""How far below the border found the cut is looked at once more, as a share."""

SETTLED = 1e-6
"""Last step of the Newton search, of the depth and in rad: the next one would be about its square."""

STEPS = 400
"""Most steps of one search."""

INTERVALS = 32
"""Places along the upper half circle at which the distance is measured."""


@lru_cache(maxsize=32)
def _circle(length: int) -> tuple[Array, Array]:
    """``nu`` (m,) along the upper half circle, and its powers as a real matrix (length, 2 m), real beside
    imaginary parts."""
    nu = np.exp(1j * np.linspace(0.0, np.pi, INTERVALS + 1))
    return nu, (nu ** np.arange(length)[:, None]).view(float)


def _distance(form: Form, c: Array, x: Array) -> tuple[Array, Array]:
    """How far up (in ``x``) the nearest zero of polynomials ``c`` (S, degree + 1) seems to be, and its angle."""
    dx = form.slopes(x, c)
    length = max(c.shape[1], dx.shape[1])
    rows = np.zeros((3, len(x), length))
    rows[0, :, : c.shape[1]] = c
    rows[1, :, : dx.shape[1]] = dx
    rows[2, :, :-1] = rows[0, :, 1:] * np.arange(1, length)
    nu, powers = _circle(length)
    f, by_x, by_nu = values = (rows.reshape(-1, length) @ powers).view(complex).reshape(3, len(x), len(nu))
    with np.errstate(all="ignore"):
        # Squares: sizes of complex numbers cost a careful root each.
        size, of_x, of_nu = values.real**2 + values.imag**2
        reach = size / of_x
        reach[~np.isfinite(reach)] = np.inf
        # The zero itself, by one Newton step, where this place is the nearest to it.
        row, place = np.nonzero(size < 0.09 * of_nu)
        at, by = nu[place], by_nu[row, place]
        zero = at - f[row, place] / by
        near = np.abs((zero * at.conj()).imag) < 0.6 * np.pi / INTERVALS
        row, place, zero, by = row[near], place[near], zero[near], by[near]
        velocity = by_x[row, place] / by
        radius = np.abs(zero)
        inward = (zero.conj() * velocity).real / radius
        gap = np.abs(radius - 1.0)
        straight = gap / np.abs(velocity)
        across = np.where(inward > 0.0, gap / inward, np.inf)
        reach[row, place] = np.clip(across, straight, GRAZE * straight) ** 2
    places = np.broadcast_to(nu, reach.shape).copy()
    places[row, place] = zero
    best = reach.argmin(1)
    each = np.arange(len(x))
    return np.sqrt(reach[each, best]), np.angle(places[each, best])


def first_crossing(form: Form, start: Array) -> tuple[Array, Array]:
    """The first share ``x`` of ``form.top`` from ``start`` (S,) up to 1 at which a multiplier leaves the unit circle,
    infinite where none does; and the angle of the multiplier, 0 to pi rad."""
    shares, theta = np.full(len(start), math.inf), np.full(len(start), math.nan)
    below, above, guess_x, guess = _bracket(form, start)
    open_ = np.flatnonzero(np.isfinite(above))
    for attempt in range(5):
        if not len(open_):
            break
        part = form.part(open_)
        x, angle, settled = _newton(part, guess[open_], np.clip(guess_x[open_], below[open_], above[open_]))
        inside = settled & (x >= below[open_] * (1.0 - 1e-9)) & (x <= above[open_] * (1.0 + 1e-9))
        lower = np.maximum(np.where(inside, x, above[open_]) * (1.0 - AGAIN), below[open_])
        good = inside & stable(part.coefficients(lower))
        shares[open_[good]], theta[open_[good]] = x[good], angle[good]
        # An earlier zero, or Newton went astray: narrow the bracket and begin again from within it.
        above[open_[inside & ~good]] = lower[inside & ~good]
        open_ = open_[~good]
        _narrow(form, open_, below, above, 3 + 3 * attempt)
        if len(open_):
            part = form.part(open_)
            reach, guess[open_] = _distance(part, part.coefficients(below[open_]), below[open_])
            guess_x[open_] = below[open_] + np.minimum(reach, above[open_] - below[open_])
    # Two zeros at once (a cusp): Newton cannot separate them, and the bracket is narrow by now.
    shares[open_], theta[open_] = 0.5 * (below[open_] + above[open_]), guess[open_]
    return shares, np.abs(np.angle(np.exp(1j * theta)))


def _narrow(form: Form, open_: np.ndarray, below: Array, above: Array, halvings: int) -> None:
    """Halve the brackets of the given speeds in place."""
    if not len(open_):
        return
    part = form.part(open_)
    for _ in range(halvings):
        middle = 0.5 * (below[open_] + above[open_])
        good = stable(part.coefficients(middle))
        below[open_] = np.where(good, middle, below[open_])
        above[open_] = np.where(good, above[open_], middle)


def _bracket(form: Form, start: Array) -> tuple[Array, Array, Array, Array]:
    """Last stable and first unstable share on the way up (infinite where all is stable); where the zero seemed to
    cross, seen from the last stable one: share and angle."""
    count = len(start)
    below, above = start.copy(), np.full(count, math.inf)
    guess_x, guess = start.copy(), np.zeros(count)
    x, open_ = start.copy(), np.arange(count)
    for _ in range(STEPS):
        part = form if len(open_) == count else form.part(open_)
        c = part.coefficients(x[open_])
        good = stable(c)
        above[open_[~good]] = x[open_[~good]]
        open_, c = open_[good], c[good]
        below[open_] = x[open_]
        going = x[open_] < 1.0
        open_, c = open_[going], c[going]
        if not len(open_):
            break
        here = x[open_]
        reach, guess[open_] = _distance(form.part(open_), c, here)
        guess_x[open_] = here + reach
        x[open_] = np.minimum(here + np.maximum(STEP * reach, LEAST_STEP * here), 1.0)
    return below, above, guess_x, guess


def _newton(form: Form, theta: Array, x: Array) -> tuple[Array, Array, np.ndarray]:
    """Zero of F in both angle and depth share from a first guess (S,): x, angle, and whether the search settled."""
    x, theta = x.copy(), theta.copy()
    settled = np.zeros(len(x), bool)
    open_ = np.arange(len(x))
    for _ in range(12):
        at, angle = x[open_], theta[open_]
        c = form.coefficients(at)
        dx = form.slopes(at, c)
        powers = powers_of(np.exp(1j * angle), max(c.shape[1], dx.shape[1]))
        f = (c * powers[:, : c.shape[1]]).sum(1)
        by_x = (dx * powers[:, : dx.shape[1]]).sum(1)
        by_theta = 1j * (c * np.arange(c.shape[1]) * powers[:, : c.shape[1]]).sum(1)
        with np.errstate(all="ignore"):
            det = by_theta.real * by_x.imag - by_theta.imag * by_x.real
            turn = -(f.real * by_x.imag - f.imag * by_x.real) / det
            rise = -(by_theta.real * f.imag - by_theta.imag * f.real) / det
        done = (np.abs(rise) <= SETTLED * at) & (np.abs(turn) <= SETTLED)
        for change, most in ((turn, 0.3), (rise, 0.3 * at)):
            np.clip(change, -most, most, out=change)
            change[np.isnan(change)] = 0.0
        theta[open_], x[open_], settled[open_] = angle + turn, at + rise, done
        if done.all():
            break
        # The others go on alone once that spares more than it costs.
        if done.sum() * 3 >= len(done) or isinstance(form, Direct):
            open_, form = open_[~done], form.part(np.flatnonzero(~done))
    return x, theta, settled
