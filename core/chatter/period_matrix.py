"""The state of the modes over one tooth period as a function of one complex number.

With even pitch and no helix the delay is the tooth period T itself.  For a characteristic multiplier ``mu`` the
movement one period ago is ``u / mu``, so that the force ``a A(t) (u(t) - u(t - T))`` becomes ``kappa A(t) u(t)`` with
``kappa = a (1 - 1 / mu)``: an ordinary equation with period T (Hale and Verduyn Lunel 1993, Introduction to
functional differential equations, chapter 8; Szalai, Stepan and Hogan 2006, SIAM J. Sci. Comput. 28:1301, both from
memory).  ``M(kappa)`` takes its state over a period; ``mu`` is a multiplier where ``det(mu - M(kappa)) = 0``.

Only the movement that the teeth in cut see is solved for, at Gauss-Legendre points of their arc:

    w(t_i) = E(t_i)^T C Phi(t_i) q0 + kappa sum_j S_ij E(t_i)^T G(t_i - t_j) D(t_j) w(t_j)

with the free motion ``Phi`` and the impulse response ``G`` of the modes in closed form, ``S`` the integration matrix
of the points.  This is Gauss collocation of the equation in the variable ``exp(-t M0) q``, so it is of order
``2 NODES`` at the end of each panel.  The solution is expanded in powers of kappa, which converge for any kappa
because the equation is of Volterra type: the panels are short enough for some fifteen terms.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ..maths.arrays import Array
from ..maths.gauss import gauss, legendre
from .directional import CuttingSlopes
from .modes import Modes
from .tooth_period import Piece, ToothPeriod, seen_and_pushed

NODES = 12
"""Gauss points of a panel."""

PHASE = 8.0
"""Most radians of the fastest mode in a panel: with 12 points an error of about 1e-8."""

SPAN = 2.1
"""Most radians that the cutter turns in a panel: the direction matrix is no polynomial."""

GROWTH = 5.0
"""Greatest ``sqrt(|kappa| |A| / m)`` times the length of a panel, so that its series needs few terms."""

TERMS = 40
"""Most powers of kappa of one panel."""

SERIES_TOLERANCE = 1e-13


def _rule(count: int) -> tuple[Array, Array, Array]:
    """Nodes and weights on 0..1, and the matrix of integrals of the basis polynomials from 0 to each node."""
    x, (c, b) = legendre(count)[0], gauss(count)
    powers = np.arange(1, count + 1)
    vandermonde = x[:, None] ** (powers - 1)
    integrals = (x[:, None] ** powers - (-1.0) ** powers) / powers / 2.0
    return c, b, np.asarray(np.linalg.solve(vandermonde.T, integrals.T).T, float)


_C, _B, _S = _rule(NODES)


@dataclass(frozen=True, slots=True, eq=False)
class Structure:
    """What the speed does not change: modes, the cut's slopes and the tooth period.

    Modes may also be one set for each of the speeds that the functions below are given.
    """

    modes: Modes
    slopes: CuttingSlopes
    period: ToothPeriod
    strength: float
    """Greatest size of the summed direction matrix along the period, N/mm2."""

    @property
    def states(self) -> int:
        """Length of the state: two for each mode."""
        return 2 * self.modes.count

    def part(self, chosen: np.ndarray | slice) -> Structure:
        """The structure of some of the cuts, where each has modes of its own."""
        return self if self.modes.omega.ndim == 1 else replace(self, modes=self.modes.part(chosen))


def structure(modes: Modes, slopes: CuttingSlopes, period: ToothPeriod) -> Structure:
    """The structure with its greatest direction matrix found at nine places of each piece."""
    greatest = 0.0
    for piece in period.pieces:
        seen, pushed = seen_and_pushed(piece, np.linspace(0.0, piece.span, 9), slopes, modes.axes)
        summed = np.einsum("iar,ibr->iab", pushed, seen)
        greatest = max(greatest, float(np.sqrt((summed**2).sum((1, 2))).max()))
    return Structure(modes, slopes, period, greatest)


def panels_needed(s: Structure, speed: Array, kappa: Array) -> np.ndarray:
    """Panels for each piece (pieces,) and speed (S,) in rad/s, for numbers up to ``kappa`` (S,), mm: powers of 2."""
    spans = np.array([p.span for p in s.period.pieces])[:, None]
    stiffening = np.sqrt(kappa * s.strength * float((1.0 / s.modes.mass).max()))
    fastest = float(s.modes.omega.max())
    wanted = spans / speed * np.maximum(fastest / PHASE, stiffening / GROWTH)
    # A panel also turns no more than half a radian or so: the direction matrix is no polynomial.
    wanted = np.maximum(np.maximum(wanted, spans / SPAN), 1.0)
    return np.asarray(2 ** np.ceil(np.log2(wanted) - 1e-9).astype(int))


@dataclass(frozen=True, slots=True, eq=False)
class PanelSeries:
    """One piece cut into equal panels: ``terms`` (J, S, panels, states, states) real, of ``(kappa / scale)^j``."""

    terms: Array
    scale: Array


def panel_parts(s: Structure, piece: Piece, panels: int, speed: Array) -> tuple[Array, Array, Array, Array, Array]:
    """Matrices of the panels of a piece at ``speed`` (S,), rad/s.

    Free motion (S, states, states); what is seen of the first state (S, panels, nodes rank, states); the response of
    what is seen to the cut (S, panels, nodes rank, nodes rank), for each mm of kappa; what the cut adds to the last
    state (S, panels, states, nodes rank); and D (panels, nodes, axes, rank), N/mm2.
    """
    m, n = s.modes, s.modes.count
    width = piece.span / panels
    turned = (np.arange(panels)[:, None] + _C) * width
    seen, pushed = seen_and_pushed(piece, turned, s.slopes, m.axes)
    of_mode = np.array([m.axes.index(int(a)) for a in m.axis])
    seen_m, pushed_m = seen[..., of_mode, :], pushed[..., of_mode, :]
    rank = seen.shape[-1]
    length = width / speed
    count, size = len(speed), NODES * rank
    mobility = np.broadcast_to(1.0 / (m.mass * m.omega), (count, n))

    free = np.zeros((count, 2 * n, 2 * n))
    for k, entry in enumerate(m.free(length)):
        free[:, np.arange(n) * 2 + k // 2, np.arange(n) * 2 + k % 2] = entry
    f11, f12, _, _ = m.free(length[:, None] * _C)
    looks = np.empty((count, panels, NODES, rank, n, 2))
    shape = seen_m.transpose(0, 1, 3, 2)
    looks[..., 0] = shape * f11[:, None, :, None, :]
    looks[..., 1] = shape * f12[:, None, :, None, :]
    _, b12, _, b22 = m.free(length[:, None] * (1.0 - _C))
    weight = length[:, None, None] * _B[:, None] * mobility[:, None]
    adds = np.empty((count, panels, n, 2, NODES, rank))
    push = pushed_m.transpose(0, 2, 1, 3)
    adds[..., 0, :, :] = push * (b12 * weight).transpose(0, 2, 1)[:, None, :, :, None]
    adds[..., 1, :, :] = push * (b22 * weight).transpose(0, 2, 1)[:, None, :, :, None]
    impulse = m.impulse_between(length[:, None] * _C)
    impulse *= _S[:, :, None]
    impulse *= (mobility * length[:, None])[:, None, None]
    if rank == 1:
        both = np.einsum("pim,pjm->pijm", seen_m[..., 0], pushed_m[..., 0])
        kernel = np.einsum("pijm,sijm->spij", both, impulse)
    else:
        kernel = np.einsum("pimr,pjmq,sijm->spirjq", seen_m, pushed_m, impulse).reshape(count, panels, size, size)
    return (
        free,
        looks.reshape(count, panels, size, 2 * n),
        kernel,
        adds.reshape(count, panels, 2 * n, size),
        pushed,
    )


def panel_series(s: Structure, piece: Piece, panels: int, speed: Array, kappa: Array) -> PanelSeries:
    """Series of the panels of a piece at ``speed`` (S,), rad/s, good for numbers up to ``kappa`` (S,), mm."""
    free, looks, kernel, adds, _ = panel_parts(s, piece, panels, speed)
    scale = kappa[:, None, None, None]
    kernel, looks = kernel * scale, looks * scale
    terms = [np.broadcast_to(free[:, None], (len(speed), panels, *free.shape[1:]))]
    for _ in range(TERMS):
        term = adds @ looks
        terms.append(term)
        if np.abs(term).max() < SERIES_TOLERANCE:
            break
        looks = kernel @ looks
    return PanelSeries(np.array(terms), kappa)


def powers_of(values: np.ndarray, count: int) -> np.ndarray:
    """Powers 0 to count - 1 of values (...), (..., count): by products, which cost a fifth of ``**``."""
    powers = np.empty((*values.shape, count), values.dtype)
    powers[..., 0] = 1.0
    powers[..., 1:] = values[..., None]
    return np.asarray(np.multiply.accumulate(powers, axis=-1, out=powers))


def _times(left: np.ndarray, right: np.ndarray) -> np.ndarray:
    """Product of matrices that stand on the first two axes: (n, n, ...)."""
    total = left[:, 0, None] * right[None, 0]
    for b in range(1, left.shape[1]):
        total += left[:, b, None] * right[None, b]
    return np.asarray(total)


def period_matrices(s: Structure, speed: Array, kappa: np.ndarray, panels: np.ndarray) -> np.ndarray:
    """``M(kappa)`` at ``speed`` (S,), rad/s, and ``kappa`` (S, Q) complex, mm: (states, states, S, Q).

    ``panels`` (pieces,) is how many each piece is cut into, the same for all these speeds.
    """
    greatest = np.maximum(np.abs(kappa).max(1), 1e-300)
    ratio = kappa / greatest[:, None]
    n, count, q = s.states, len(speed), kappa.shape[1]
    total: np.ndarray | None = None
    for piece, number in zip(s.period.pieces, panels, strict=True):
        series = panel_series(s, piece, int(number), speed, greatest)
        terms = series.terms
        powers = powers_of(ratio, len(terms)).transpose(0, 2, 1)
        flat = np.ascontiguousarray(terms.transpose(1, 2, 3, 4, 0)).reshape(count, -1, len(terms))
        mixed = (flat @ np.ascontiguousarray(powers).view(float)).view(complex)
        each = mixed.reshape(count, int(number), n, n, q).transpose(1, 2, 3, 0, 4)
        for one in each:
            total = np.array(one) if total is None else _times(one, total)
    assert total is not None
    if s.period.free > 0.0:
        entries = s.modes.free(s.period.free / speed)
        moved = np.empty_like(total)
        for i in range(s.modes.count):
            a, b, c, d = (e[:, i, None] for e in entries)
            moved[2 * i] = a * total[2 * i] + b * total[2 * i + 1]
            moved[2 * i + 1] = c * total[2 * i] + d * total[2 * i + 1]
        total = moved
    return total


def invariants(matrix: np.ndarray) -> np.ndarray:
    """Elementary symmetric functions 1 to n - 1 of the eigenvalues of (n, n, ...) matrices: (n - 1, ...).

    For two and four states by principal minors, otherwise from the eigenvalues.  The last one, the determinant, does
    not depend on kappa: see :func:`determinant`.  Not finite where the matrix is not: a wave that grows by more than
    all floats within one period.
    """
    n = len(matrix)
    if n == 2:
        return (matrix[0, 0] + matrix[1, 1])[None]
    if n == 4:
        return _four_by_four(matrix)
    whole = np.isfinite(matrix).all((0, 1))
    matrix = np.where(whole, matrix, 0.0)
    eigenvalues = np.moveaxis(np.linalg.eigvals(np.moveaxis(matrix, (0, 1), (-2, -1))), -1, 0)
    sums = np.zeros((n + 1, *matrix.shape[2:]), complex)
    sums[0] = 1.0
    for k, value in enumerate(eigenvalues):
        sums[1 : k + 2] = sums[1 : k + 2] + value * sums[: k + 1]
    sums[:, ~whole] = np.nan
    return sums[1:n]


def _four_by_four(m: np.ndarray) -> np.ndarray:
    """The first three invariants by principal minors."""
    first = m[0, 0] + m[1, 1] + m[2, 2] + m[3, 3]
    second = np.zeros_like(first)
    third = np.zeros_like(first)
    for i in range(4):
        for j in range(i + 1, 4):
            pair = m[i, i] * m[j, j] - m[i, j] * m[j, i]
            second += pair
            for k in range(j + 1, 4):
                third += (
                    pair * m[k, k]
                    - (m[i, i] * m[j, k] - m[i, k] * m[j, i]) * m[k, j]
                    + (m[i, j] * m[j, k] - m[i, k] * m[j, j]) * m[k, i]
                )
    return np.array([first, second, third])


def determinant(s: Structure, speed: Array) -> Array:
    """Determinant of ``M`` at ``speed`` (S,), rad/s, for any kappa: the damping alone (Liouville)."""
    rate = (s.modes.damping * s.modes.omega).sum(-1)
    return np.exp(-2.0 * rate * s.period.angle / speed)
