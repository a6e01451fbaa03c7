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

from dataclasses import dataclass, field, replace

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

SMALL = 1 << 13
"""Complex numbers of a matrix product up to which the panels are multiplied in pairs: so few that calls cost most."""


def _rule(count: int) -> tuple[Array, Array, Array]:
    """Nodes and weights on 0..1, and the matrix of integrals of the basis polynomials from 0 to each node."""
    x, (c, b) = legendre(count)[0], gauss(count)
    powers = np.arange(1, count + 1)
    vandermonde = x[:, None] ** (powers - 1)
    integrals = (x[:, None] ** powers - (-1.0) ** powers) / powers / 2.0
    return c, b, np.asarray(np.linalg.solve(vandermonde.T, integrals.T).T, float)


_C, _B, _S = _rule(NODES)


@dataclass(frozen=True, slots=True, eq=False)
class CutAtNodes:
    """A piece cut into panels, as the modes meet it at the nodes, whatever the speed.

    ``seen`` (panels, nodes, rank, modes): what the cut sees of each mode; ``pushed`` (panels, modes, nodes, rank),
    N/mm2: how it pushes each; ``both`` (modes, panels, nodes, rank, nodes, rank): the one times the other.
    """

    seen: Array
    pushed: Array
    both: Array


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
    at_nodes: dict[tuple[Piece, int], CutAtNodes] = field(default_factory=dict, repr=False)
    """What :func:`cut_at_nodes` gave: shared by all parts."""

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


def cut_at_nodes(s: Structure, piece: Piece, panels: int) -> CutAtNodes:
    """What a piece cut into so many equal panels is at the nodes; worked out once for a structure and its parts."""
    kept = s.at_nodes.get((piece, panels))
    if kept is None:
        turned = (np.arange(panels)[:, None] + _C) * (piece.span / panels)
        seen, pushed = seen_and_pushed(piece, turned, s.slopes, s.modes.axes)
        of_mode = np.array([s.modes.axes.index(int(a)) for a in s.modes.axis])
        seen, pushed = seen[..., of_mode, :], pushed[..., of_mode, :]
        both = np.einsum("pimr,pjmq->mpirjq", seen, pushed)
        kept = CutAtNodes(seen.transpose(0, 1, 3, 2), pushed.transpose(0, 2, 1, 3), both)
        s.at_nodes[piece, panels] = kept
    return kept


def panel_series(s: Structure, piece: Piece, panels: int, speed: Array, kappa: Array) -> list[Array]:
    """Series of the panels of a piece at ``speed`` (S,), rad/s: factors (S, panels, states, states) of the powers of
    a number as a share of ``kappa`` (S,), mm, the greatest one that they are good for.

    What the cut sees of the first state goes round and round: seen, it pushes, and is seen again later.  Each round
    is one power, and what it pushes reaches the last state.
    """
    m, n = s.modes, s.modes.count
    cut = cut_at_nodes(s, piece, panels)
    length = piece.span / panels / speed
    rank, count = cut.seen.shape[2], len(speed)
    size, states = NODES * rank, 2 * n
    mobility = np.broadcast_to(1.0 / (m.mass * m.omega), (count, n))
    swing = m.swing(length[:, None] * _C)
    f11, f12, _, f22 = swing.free()

    free = np.zeros((count, 1, states, states))
    for k, entry in enumerate(m.free(length)):
        free[:, 0, np.arange(n) * 2 + k // 2, np.arange(n) * 2 + k % 2] = entry
    looks = np.empty((count, panels, NODES, rank, n, 2))
    scale = kappa[:, None, None]
    np.multiply(cut.seen, (scale * f11)[:, None, :, None, :], out=looks[..., 0])
    np.multiply(cut.seen, (scale * f12)[:, None, :, None, :], out=looks[..., 1])

    # Rows of the last state, then of what is seen again: one product a round.
    moves = np.empty((count, panels, states + size, size))
    weight = length[:, None, None] * _B[:, None] * mobility[:, None]
    for k, entry in enumerate((f12, f22)):
        # Nodes lie evenly about the middle: the time that is left is that of the node on the other side.
        left = (entry[:, ::-1] * weight).transpose(0, 2, 1)[:, None, :, :, None]
        moves[:, :, k:states:2] = (cut.pushed * left).reshape(count, panels, n, size)
    impulse = swing.between()
    impulse *= _S
    impulse *= (mobility * (length * kappa)[:, None]).T[:, :, None, None]
    kernel = np.zeros((count, panels, NODES, rank, NODES, rank))
    for both, response in zip(cut.both, impulse, strict=True):
        kernel += both * response[:, None, :, None, :, None]
    moves[:, :, states:] = kernel.reshape(count, panels, size, size)

    terms = [np.broadcast_to(free, (count, panels, states, states))]
    seen = looks.reshape(count, panels, size, states)
    for _ in range(TERMS):
        moved = moves @ seen
        term, seen = moved[:, :, :states], moved[:, :, states:]
        terms.append(term)
        if max(term.max(), -term.min()) < SERIES_TOLERANCE:
            break
    return terms


@dataclass(frozen=True, slots=True, eq=False)
class PeriodSeries:
    """``M(kappa)`` at ``speed`` (S,), rad/s, for all numbers up to ``greatest`` (S,), mm.

    ``panels`` (S, panels, states^2, powers) are those of the whole period in order of time.
    """

    structure: Structure
    speed: Array
    greatest: Array
    panels: Array

    def part(self, chosen: np.ndarray) -> PeriodSeries:
        """The same for some of the speeds."""
        s = self.structure.part(chosen)
        return PeriodSeries(s, self.speed[chosen], self.greatest[chosen], self.panels[chosen])

    def matrices(self, kappa: np.ndarray) -> np.ndarray:
        """``M`` at numbers ``kappa`` (S, Q), complex, mm: (states, states, S, Q)."""
        s, (count, number, _, powers) = self.structure, self.panels.shape
        n, q = s.states, kappa.shape[1]
        of_kappa = powers_of(kappa / self.greatest[:, None], powers).transpose(0, 2, 1)
        flat = self.panels.reshape(count, -1, powers)
        mixed = (flat @ np.ascontiguousarray(of_kappa).view(float)).view(complex)
        total = _product(mixed.reshape(count, number, n, n, q).transpose(1, 2, 3, 0, 4))
        if s.period.free > 0.0:
            entries = s.modes.free(s.period.free / self.speed)
            moved = np.empty_like(total)
            for i in range(s.modes.count):
                a, b, c, d = (e[:, i, None] for e in entries)
                moved[2 * i] = a * total[2 * i] + b * total[2 * i + 1]
                moved[2 * i + 1] = c * total[2 * i] + d * total[2 * i + 1]
            total = moved
        return total


def period_series(s: Structure, speed: Array, greatest: Array, panels: np.ndarray) -> PeriodSeries:
    """The series at ``speed`` (S,), rad/s, for numbers up to ``greatest`` (S,), mm.

    ``panels`` (pieces,) is how many each piece is cut into, the same for all these speeds.
    """
    greatest = np.maximum(greatest, 1e-300)
    series = [
        panel_series(s, piece, int(number), speed, greatest)
        for piece, number in zip(s.period.pieces, panels, strict=True)
    ]
    every = np.zeros((len(speed), int(panels.sum()), s.states**2, max(len(terms) for terms in series)))
    first = 0
    for terms, number in zip(series, panels, strict=True):
        for power, term in enumerate(terms):
            every[:, first : first + number, :, power] = term.reshape(len(speed), number, -1)
        first += number
    return PeriodSeries(s, speed, greatest, every)


def period_matrices(s: Structure, speed: Array, kappa: np.ndarray, panels: np.ndarray) -> np.ndarray:
    """``M(kappa)`` at ``speed`` (S,), rad/s, and ``kappa`` (S, Q) complex, mm: (states, states, S, Q); ``panels`` as
    in :func:`period_series`."""
    return period_series(s, speed, np.abs(kappa).max(1), panels).matrices(kappa)


def powers_of(values: np.ndarray, count: int) -> np.ndarray:
    """Powers 0 to count - 1 of values (...), (..., count): by products, which cost a fifth of ``**``."""
    powers = np.empty((*values.shape, count), values.dtype)
    powers[..., 0] = 1.0
    powers[..., 1:] = values[..., None]
    return np.asarray(np.multiply.accumulate(powers, axis=-1, out=powers))


def _times(left: np.ndarray, right: np.ndarray) -> np.ndarray:
    """Products of matrices that stand on the second and third axis: (P, n, n, ...)."""
    total = left[:, :, 0, None] * right[:, None, 0]
    for b in range(1, left.shape[2]):
        total += left[:, :, b, None] * right[:, None, b]
    return np.asarray(total)


def _product(each: np.ndarray) -> np.ndarray:
    """The product of matrices (P, n, n, ...), the last one leftmost: all pairs at once where they are small."""
    if each[0].size > SMALL:
        total = each[:1]
        for k in range(1, len(each)):
            total = _times(each[k : k + 1], total)
        return np.array(total[0])
    while len(each) > 1:
        even = len(each) - len(each) % 2
        each = np.concatenate([_times(each[1:even:2], each[:even:2]), each[even:]])
    return np.array(each[0])


def determinant(s: Structure, speed: Array) -> Array:
    """Determinant of ``M`` at ``speed`` (S,), rad/s, for any kappa: the damping alone (Liouville)."""
    rate = (s.modes.damping * s.modes.omega).sum(-1)
    return np.exp(-2.0 * rate * s.period.angle / speed)
