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

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..maths.arrays import Array
from .period_matrix import Structure, determinant, invariants, panels_needed, period_matrices, powers_of

SAMPLES = (16, 32, 64, 128)
"""Samples of kappa, so powers of the polynomial; doubled until the last powers are negligible."""

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

    def part(self, chosen: np.ndarray) -> Direct:
        """The same for some of the speeds."""
        return Direct(self.index[chosen], self.top[chosen], self.structure.part(chosen), self.speed[chosen])

    def coefficients(self, x: Array) -> Array:
        """As :meth:`Fitted.coefficients`; of a depth that is certainly unstable a polynomial with a zero inside."""
        rows: list[Array] = [_INSIDE] * len(x)
        open_ = np.arange(len(x))
        for samples in DIRECT_SAMPLES:
            again: list[np.ndarray] = []
            for some in self._together(open_, x, samples):
                sampled, settled, outgrown = self._sampled(some, x, samples)
                kept = settled & ~outgrown if samples < DIRECT_SAMPLES[-1] else ~outgrown
                for k in np.flatnonzero(kept):
                    rows[some[k]] = self._without_rounding(sampled[k])
                again.append(some[~settled & ~outgrown])
            open_ = np.concatenate(again) if again else open_[:0]
            if not len(open_):
                break
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

    def _together(self, chosen: np.ndarray, x: Array, samples: int) -> list[np.ndarray]:
        """The chosen speeds in groups that need as many panels and fit into memory."""
        groups = []
        panels = panels_needed(self.structure.part(chosen), self.speed[chosen], 2.0 * x[chosen] * self.top[chosen])
        for alike in np.unique(panels, axis=1).T:
            some = chosen[(panels == alike[:, None]).all(0)]
            each = max(1, int(MOST_AT_ONCE / (alike.sum() * self.structure.states**2 * samples)))
            groups += [some[i : i + each] for i in range(0, len(some), each)]
        return groups

    def _sampled(self, some: np.ndarray, x: Array, samples: int) -> tuple[Array, np.ndarray, np.ndarray]:
        """Coefficients (S, samples) of some speeds; whether the last ones are negligible; whether F outgrows 1."""
        s, speed = self.structure.part(some), self.speed[some]
        nu = np.exp(1j * np.linspace(0.0, np.pi, samples // 2 + 1))
        kappa = (x[some] * self.top[some])[:, None] * (1.0 - nu)
        i = np.arange(1, s.states)[:, None, None]
        with np.errstate(all="ignore"):
            needed = panels_needed(s, speed, np.abs(kappa).max(1)).max(1)
            inner = invariants(period_matrices(s, speed, kappa, needed))
            f = 1.0 + ((-nu) ** i * inner).sum(0) + determinant(s, speed)[:, None] * nu**s.states
            size = np.log(np.abs(f))
            # Ends of the half circle stand for one place of the whole circle, all others for two.
            mean = (2.0 * size.sum(1) - size[:, 0] - size[:, -1]) / samples
        outgrown = ~(mean < OUTGROWN)
        coefficients = np.fft.irfft(np.where(outgrown[:, None], 0.0, f).conj(), samples, axis=1)
        each = np.abs(coefficients)
        return coefficients, each[:, samples // 2 :].max(1) <= 1e-9 * each.max(1), outgrown

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


def fitted(s: Structure, speed: Array, top: Array, rough: bool = False) -> tuple[list[Fitted], np.ndarray]:
    """Polynomials at ``speed`` (S,), rad/s, for depths up to ``top`` (S,), mm, grouped by their number of powers;
    and the indices of the speeds where they would lose their digits (none if they may be ``rough``)."""
    groups: list[Fitted] = []
    open_, lost = np.arange(len(speed)), []
    for samples in SAMPLES:
        again = []
        panels = panels_needed(s.part(open_), speed[open_], 2.0 * top[open_])
        classes = np.unique(panels, axis=1)
        for k in range(classes.shape[1]):
            chosen = open_[(panels == classes[:, k : k + 1]).all(0)]
            powers, keeps, settled = _sampled(s.part(chosen), speed[chosen], top[chosen], classes[:, k], samples)
            if rough:
                keeps, settled = np.full(len(chosen), True), settled | (samples == SAMPLES[-1])
            lost.append(chosen[~keeps])
            again.append(chosen[keeps & ~settled])
            good = keeps & settled
            if good.any():
                i = chosen[good]
                groups.append(Fitted(i, top[i], powers[good], determinant(s.part(i), speed[i])))
        open_ = np.concatenate(again) if again else np.empty(0, int)
        if not len(open_):
            break
    lost.append(open_)
    return _merged(groups), np.concatenate(lost)


def _sampled(
    s: Structure, speed: Array, top: Array, panels: np.ndarray, samples: int
) -> tuple[Array, np.ndarray, np.ndarray]:
    """Powers (S, states - 1, samples); whether they keep their digits; whether the last ones are negligible."""
    angle = np.linspace(0.0, np.pi, samples // 2 + 1)
    kappa = 2.0 * top[:, None] * np.exp(1j * angle)
    # A wave may outgrow all floats on so wide a circle: then it keeps no digits.
    with np.errstate(over="ignore", invalid="ignore"):
        inner = invariants(period_matrices(s, speed, kappa, panels))
        size = np.nan_to_num(np.abs(inner).max((0, 2)), nan=np.inf)
    inner = np.nan_to_num(inner, nan=0.0, posinf=0.0, neginf=0.0)
    powers = np.fft.irfft(inner.transpose(1, 0, 2).conj(), samples, axis=2)
    tail = np.abs(powers[:, :, -3:]).max((1, 2))
    greatest = GREATEST_TRACE if s.states == 2 else GREATEST
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
