"""The characteristic polynomial of a cut: zero where the cut has the multiplier ``1 / nu``.

    F(nu) = det(1 - nu M(a (1 - nu)))

is an entire function of ``nu`` with F(0) = 1; each multiplier ``mu`` of the cut is a zero at ``nu = 1 / mu``.  Its
Taylor coefficients fall off faster than any power, so it is a polynomial to rounding.  The cut is stable as long as
no zero lies in the unit disc, which :func:`stable` decides exactly, without finding a zero.

Two forms with the same face give the polynomial at any depth: :class:`Fitted` has the invariants of M as polynomials
in kappa, from samples on one circle, so that a depth costs one small matrix product; :class:`Direct` computes M anew
for each depth, for the few cuts where the polynomial in kappa would lose its digits.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from ..maths.arrays import Array
from .invariants import invariants
from .period_matrix import PeriodSeries, Structure, determinant, panels_needed, period_series, powers_of

SAMPLES = (16, 32, 64, 128)
"""Samples of kappa, so powers of the polynomial; doubled until the last powers are negligible, which keeps those that
there are."""

TAIL = 1e-9
"""How small the last powers must be, relative to 1 and the greatest."""

GREATEST_TRACE, GREATEST = 1e8, 1e5
"""Greatest invariant on the circle for which the polynomial keeps enough digits: with one mode, with several (there
the second invariant loses as many digits as the first one has)."""

DIRECT_SAMPLES = (64, 128, 256, 512, 1024)
"""Places on the circle of nu at which :class:`Direct` computes F; doubled until its coefficients fall off."""

NEGLIGIBLE = 1e-13
"""Coefficients of F below this share of the greatest are rounding."""

OUTGROWN = 0.5
"""Mean of ``log |F|`` on the unit circle over which a depth is unstable for certain: as F(0) = 1 it is the sum of
``-log |nu|`` of all zeros inside (Jensen's formula), 0 for a stable cut.  It needs no digits, and holds where F
overflows."""

MOST_AT_ONCE = 4e6
"""Complex numbers of one product of matrices."""

AHEAD, MOST_KEPT = 1.25, 1 << 17
"""How much deeper than asked for :class:`Direct` expands M, so that the next depth costs no new series; and how many
numbers of one cut's series are kept for it."""

_INSIDE = np.array([1.0, -2.0])
"""A polynomial with a zero at 1/2."""


@lru_cache(maxsize=16)
def _in_powers_of_nu(states: int, powers: int) -> Array:
    """Coefficients of ``(-nu)^i ((1 - nu) / 2)^j``, a row for each (i, j), i from 1 to states - 1.

    The sizes of a row add up to 1, so that no digits are lost.
    """
    rows = np.zeros((states - 1, powers, states + powers - 1))
    binomial = np.ones(1)
    for j in range(powers):
        for i in range(1, states):
            rows[i - 1, j, i : i + j + 1] = (-1.0) ** i * binomial
        binomial = np.convolve(binomial, [0.5, -0.5])
    table = rows.reshape(-1, rows.shape[2])
    table.setflags(write=False)
    return table


@dataclass(frozen=True, slots=True, eq=False)
class Fitted:
    """F at speeds ``index`` (S,) of a chart for depths from 0 to ``top`` (S,), mm; depths as shares ``x`` of it."""

    index: np.ndarray
    top: Array
    powers: Array
    """(S, states - 1, powers): invariants by powers of kappa over twice ``top``."""
    last: Array
    """(S,): the determinant."""

    def part(self, chosen: np.ndarray) -> Fitted:
        """The same for some of the speeds."""
        return Fitted(self.index[chosen], self.top[chosen], self.powers[chosen], self.last[chosen])

    def coefficients(self, x: Array) -> Array:
        """Coefficients of F at ``x`` (S,), (S, degree + 1), lowest first."""
        return self._coefficients(powers_of(x, self.powers.shape[2]), 1.0)

    def slopes(self, x: Array, at_x: Array) -> Array:
        """Slopes of the coefficients with ``x``, (S, degree + 1); ``at_x`` are the coefficients there."""
        count = self.powers.shape[2]
        of_x = np.zeros((len(x), count))
        of_x[:, 1:] = np.arange(1, count) * powers_of(x, count - 1)
        return self._coefficients(of_x, 0.0)

    def _coefficients(self, of_x: Array, constant: float) -> Array:
        count, rows, powers = self.powers.shape
        polynomials = (self.powers * of_x[:, None]).reshape(count, -1) @ _in_powers_of_nu(rows + 1, powers)
        polynomials[:, 0] += constant
        # The determinant stands before (-nu)^states, and a number of states is even.
        polynomials[:, rows + 1] += constant * self.last
        return np.asarray(polynomials)


@dataclass(frozen=True, slots=True, eq=False)
class Direct:
    """As :class:`Fitted` by computing M at each ``kappa``, for the ``structure`` at ``speed`` (S,), rad/s."""

    index: np.ndarray
    top: Array
    structure: Structure
    speed: Array
    kept: dict[int, tuple[bytes, float, Array]] = field(default_factory=dict, repr=False)
    """Series of M by ``index``: panels of the pieces, greatest kappa, and the series; shared by all parts."""

    def part(self, chosen: np.ndarray) -> Direct:
        """The same for some of the speeds."""
        s = self.structure.part(chosen)
        return Direct(self.index[chosen], self.top[chosen], s, self.speed[chosen], self.kept)

    def coefficients(self, x: Array) -> Array:
        """As :meth:`Fitted.coefficients`; of a depth that is certainly unstable a polynomial with a zero inside."""
        rows: list[Array] = [_INSIDE] * len(x)
        for group, panels in self._together(x):
            some, f = group, None
            with np.errstate(all="ignore"):
                series = self._series(some, 2.0 * x[some] * self.top[some], panels)
            for samples in DIRECT_SAMPLES:
                f = _on_circle(series, x[some] * self.top[some], samples, f)
                sampled, settled, outgrown = _judged(f, samples)
                kept = settled & ~outgrown if samples < DIRECT_SAMPLES[-1] else ~outgrown
                for k in np.flatnonzero(kept):
                    rows[some[k]] = self._without_rounding(sampled[k])
                again = ~settled & ~outgrown
                if not again.any():
                    break
                some, f, series = some[again], f[again], series.part(again)
        whole = np.zeros((len(x), max((len(c) for c in rows), default=1)))
        for row, c in zip(whole, rows, strict=True):
            row[: len(c)] = c
        return whole

    def slopes(self, x: Array, at_x: Array) -> Array:
        """As :meth:`Fitted.slopes`, by a difference of 1e-5 of the depth."""
        step = 1e-5 * np.maximum(x, 1e-2)
        more = self.coefficients(x + step)
        difference = np.zeros((len(x), max(more.shape[1], at_x.shape[1])))
        difference[:, : more.shape[1]] += more
        difference[:, : at_x.shape[1]] -= at_x
        return difference / step[:, None]

    def _together(self, x: Array) -> list[tuple[np.ndarray, np.ndarray]]:
        """All cuts in groups that need as many panels and fit into memory, each with its panels (pieces,)."""
        groups = []
        panels = panels_needed(self.structure, self.speed, 2.0 * x * self.top)
        for alike in np.unique(panels, axis=1).T:
            some = np.flatnonzero((panels == alike[:, None]).all(0))
            each = max(1, int(MOST_AT_ONCE / (alike.sum() * self.structure.states**2 * DIRECT_SAMPLES[0])))
            groups += [(some[i : i + each], alike) for i in range(0, len(some), each)]
        return groups

    def _series(self, some: np.ndarray, greatest: Array, panels: np.ndarray) -> PeriodSeries:
        """The series of some cuts for kappa up to ``greatest`` (some,), mm: kept ones where they reach so far."""
        s, key = self.structure.part(some), panels.tobytes()
        found = [self.kept.get(int(i), (b"", 0.0, np.empty(0))) for i in self.index[some]]
        new = np.array([k[0] != key or k[1] < most for k, most in zip(found, greatest, strict=True)])
        if new.any():
            made = period_series(s.part(new), self.speed[some[new]], AHEAD * greatest[new], panels)
            for i, k in enumerate(np.flatnonzero(new)):
                found[k] = (key, float(made.greatest[i]), made.panels[i])
                if made.panels[i].size <= MOST_KEPT:
                    self.kept[int(self.index[some[k]])] = found[k]
            if new.all():
                return made
        powers = max(terms.shape[2] for _, _, terms in found)
        every = np.zeros((len(some), *found[0][2].shape[:2], powers))
        for row, (_, _, terms) in zip(every, found, strict=True):
            row[..., : terms.shape[2]] = terms
        return PeriodSeries(s, self.speed[some], np.array([most for _, most, _ in found]), every)

    def _without_rounding(self, row: Array) -> Array:
        """One row of coefficients without those that are rounding."""
        size, n = np.abs(row), self.structure.states
        kept = int(np.flatnonzero(size > NEGLIGIBLE * size.max())[-1]) + 1
        return row[: max(min(kept, len(row) // 2), n + 1)]


Form = Fitted | Direct


def stable(coefficients: Array) -> np.ndarray:
    """Whether the polynomials (S, degree + 1), lowest coefficient first, have no zero in or on the unit circle.

    Schur-Cohn: each step takes away the highest power with a reflection coefficient, which must stay under 1
    (Jury 1964, Theory and application of the z-transform method, from memory).
    """
    # Powers that are rounding for all of them cost time and decide nothing.
    size = np.abs(coefficients).max(0, initial=0.0)
    kept = int(np.flatnonzero(size > NEGLIGIBLE * size.max(initial=0.0))[-1]) + 1 if size.any() else 1
    p = np.ascontiguousarray(coefficients[:, :kept].T)
    reflected = np.empty((len(p) - 1, p.shape[1]))
    with np.errstate(all="ignore"):
        for k in reflected:
            np.divide(p[-1], p[0], out=k)
            # Without the usual division by 1 - k^2, which is positive as long as all is stable.
            p = p[:-1] - k * p[:0:-1]
        return np.asarray((np.abs(reflected) < 1.0).all(0))


def _on_circle(series: PeriodSeries, depth: Array, samples: int, known: np.ndarray | None) -> np.ndarray:
    """F at ``depth`` (S,), mm, on the upper half of the unit circle, (S, samples / 2 + 1) from nu = 1 to -1.

    ``known`` are its values at half as many samples.
    """
    s = series.structure
    nu = _places(samples, known is not None)
    new = np.empty((len(depth), len(nu)), complex)
    at_once = max(1, int(0.5 * MOST_AT_ONCE / series.panels[..., 0].size))
    i = np.arange(1, s.states)[:, None, None]
    with np.errstate(all="ignore"):
        for first in range(0, len(nu), at_once):
            some = nu[first : first + at_once]
            inner = invariants(series.matrices(depth[:, None] * (1.0 - some)))
            last = determinant(s, series.speed)[:, None] * some**s.states
            new[:, first : first + at_once] = 1.0 + ((-some) ** i * inner).sum(0) + last
    return _interleaved(known, new)


def _judged(f: np.ndarray, samples: int) -> tuple[Array, np.ndarray, np.ndarray]:
    """Coefficients (S, samples) of F on the half circle; whether the last ones are negligible; whether F outgrows
    1."""
    with np.errstate(all="ignore"):
        size = np.log(np.abs(f))
        # Ends of the half circle stand for one place of the whole circle, all others for two.
        mean = (2.0 * size.sum(1) - size[:, 0] - size[:, -1]) / samples
    outgrown = ~(mean < OUTGROWN)
    coefficients = np.fft.irfft(np.where(outgrown[:, None], 0.0, f).conj(), samples, axis=1)
    each = np.abs(coefficients)
    return coefficients, each[:, samples // 2 :].max(1) <= 1e-9 * each.max(1), outgrown


@lru_cache(maxsize=32)
def _places(samples: int, between: bool) -> np.ndarray:
    """Samples on the upper half of the unit circle, from 1 to -1; or those between the ones of half as many."""
    places = np.exp(1j * np.linspace(0.0, np.pi, samples // 2 + 1))
    places.setflags(write=False)
    return places[1::2] if between else places


def _interleaved(known: np.ndarray | None, new: np.ndarray) -> np.ndarray:
    """Values (..., samples) of known places and of those between them, in order."""
    if known is None:
        return new
    both = np.empty((*new.shape[:-1], known.shape[-1] + new.shape[-1]), complex)
    both[..., ::2], both[..., 1::2] = known, new
    return both


def fitted(s: Structure, speed: Array, top: Array, rough: bool = False) -> tuple[list[Fitted], np.ndarray]:
    """Polynomials at ``speed`` (S,), rad/s, for depths up to ``top`` (S,), mm, grouped by their number of powers;
    and the indices of the speeds where they would lose their digits (none if they may be ``rough``)."""
    groups: list[Fitted] = []
    lost = [np.empty(0, int)]
    panels = panels_needed(s, speed, 2.0 * top)
    for alike in np.unique(panels, axis=1).T:
        open_ = np.flatnonzero((panels == alike[:, None]).all(0))
        inner: np.ndarray | None = None
        # A wave may outgrow all floats on so wide a circle: then it keeps no digits.
        with np.errstate(over="ignore", invalid="ignore"):
            series = period_series(s.part(open_), speed[open_], 2.0 * top[open_], alike)
            for samples in SAMPLES:
                kappa = series.greatest[:, None] * _places(samples, inner is not None)
                inner = _interleaved(inner, invariants(series.matrices(kappa)))
                powers, keeps, settled = _in_powers(inner, samples)
                if rough:
                    keeps, settled = np.full(len(open_), True), settled | (samples == SAMPLES[-1])
                lost.append(open_[~keeps])
                good, again = keeps & settled, keeps & ~settled
                if good.any():
                    i = open_[good]
                    groups.append(Fitted(i, top[i], powers[good], determinant(s.part(i), speed[i])))
                open_ = open_[again]
                if not len(open_):
                    break
                if not again.all():
                    series, inner = series.part(again), inner[:, again]
        lost.append(open_)
    return _merged(groups), np.concatenate(lost)


def _in_powers(inner: np.ndarray, samples: int) -> tuple[Array, np.ndarray, np.ndarray]:
    """Of invariants (states - 1, S, samples / 2 + 1) on a half circle: their powers (S, states - 1, samples); whether
    they keep their digits; whether the last ones are negligible."""
    size = np.abs(inner).max((0, 2))
    if not np.isfinite(size).all():
        size = np.where(np.isfinite(size), size, np.inf)
        inner = np.where(np.isfinite(inner), inner, 0.0)
    powers = np.fft.irfft(inner.transpose(1, 0, 2).conj(), samples, axis=2)
    tail = np.abs(powers[:, :, -3:]).max((1, 2))
    greatest = GREATEST_TRACE if len(inner) == 1 else GREATEST
    return powers, size < greatest, tail < TAIL * np.maximum(size, 1.0)


def _merged(groups: list[Fitted]) -> list[Fitted]:
    """Groups with the same number of powers as one."""
    merged = []
    for powers in sorted({g.powers.shape[2] for g in groups}):
        same = [g for g in groups if g.powers.shape[2] == powers]
        merged.append(
            Fitted(
                np.concatenate([g.index for g in same]),
                np.concatenate([g.top for g in same]),
                np.concatenate([g.powers for g in same]),
                np.concatenate([g.last for g in same]),
            )
        )
    return merged
