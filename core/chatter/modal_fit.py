"""Modes of vibration out of a measured frequency response: least squares, with the uncertainty of every figure.

Model: ``H(f) = sum of c / (1 - r^2 + 2 i zeta r) + upper - lower (f0 / f)^2`` with ``r = f / f_mode``, ``c = 1/k``:
real modes (the usual assumption for a cutter in a spindle), what modes above the band add as a constant, and what
modes or free movement below it add as a mass line (Ewins, Modal Testing, from memory).

Method.  Modes are found one after another: over a grid of frequencies and damping ratios the mode that takes most
out of what is left is added (orthogonal matching pursuit; Pati, Rezaiifar and Krishnaprasad 1993, from memory),
then all figures together are refined by damped Gauss-Newton steps (Levenberg 1944, Marquardt 1963) on the
logarithms of frequency, damping and 1/k, which keeps them above 0.  Standard errors come from the curvature at the
best fit and the scatter that is left; they hold if the scatter is independent from line to line.  An error that all
lines share (a scale factor, a sensor's phase) is not in them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..base.errors import ChiparcError
from ..base.refused import refused, refused_count
from ..base.words import say
from ..maths.arrays import Array, frozen
from .frequency_response import FrequencyResponse

MOST_MODES = 8
MOST_DAMPING = 0.4
"""Damping ratio beyond which a fitted "mode" is a slope of the background and no resonance."""

LEAST_GAIN = 0.05
"""Share by which one more mode must lower the scatter left, when the number of modes is found."""

GOOD_ENOUGH = 5e-4
"""Scatter, as a share of the greatest response, at which no further mode is looked for: no measurement is better."""

MOST_ERROR = 0.25
"""Relative standard error of stiffness or damping from which a mode is doubtful."""

_START_LINES = 700
_START_PLACES = 150
_START_DAMPING = np.geomspace(0.004, 0.25, 9)


@dataclass(frozen=True, slots=True)
class FittedMode:
    """One mode with the standard error of each figure: Hz, damping ratio, N/mm.

    ``doubtful``: outside the band, damped beyond a resonance, or known no better than to a quarter.
    """

    frequency_hz: float
    damping_ratio: float
    stiffness_n_mm: float
    frequency_error: float
    damping_error: float
    stiffness_error: float
    doubtful: bool


@dataclass(frozen=True, slots=True)
class ModalFit:
    """The fit over the lines ``frequency`` (n,) Hz: modes in ascending order, and what it leaves.

    upper, lower : background in mm/N (``lower`` at ``reference`` Hz); curve, residual : (n,) complex mm/N, the fit,
    and measured less fit; explained : share of the response's squares that the fit has; scatter : mm/N, standard
    deviation of what is left; tried : (number of modes, scatter) of every fit on the way to this one.
    """

    modes: tuple[FittedMode, ...]
    upper: float
    lower: float
    reference: float
    frequency: Array
    curve: np.ndarray
    residual: np.ndarray
    explained: float
    scatter: float
    tried: tuple[tuple[int, float], ...]

    def at(self, frequency: Array) -> np.ndarray:
        """The fitted response (n,), complex mm/N, at frequencies (n,) Hz over 0."""
        f = np.asarray(frequency, float)
        modes = [[m.frequency_hz, m.damping_ratio, 1.0 / m.stiffness_n_mm] for m in self.modes]
        return _response(f, np.log(np.array(modes).reshape(-1, 3)), self.upper, self.lower, self.reference)


def _response(f: Array, logs: Array, upper: float, lower: float, reference: float) -> np.ndarray:
    """The model at f (n,) for logarithms (modes, 3) of frequency, damping, 1/k."""
    at, zeta, soft = np.exp(logs).T
    r = f[:, None] / at
    return np.asarray(np.sum(soft / (1.0 - r * r + 2j * zeta * r), 1) + upper - lower * (reference / f) ** 2)


@dataclass(frozen=True, slots=True)
class _Data:
    """What is fitted: lines, response over its size, weight of each line, whether there is a background."""

    f: Array
    h: np.ndarray
    weight: Array
    reference: float
    background: bool

    def real(self, values: np.ndarray) -> Array:
        """Complex (n, ...) weighted, as real parts above imaginary ones, (2 n, ...)."""
        weighted = values * self.weight.reshape(-1, *(1,) * (values.ndim - 1))
        return np.concatenate([weighted.real, weighted.imag])

    @property
    def ground(self) -> np.ndarray:
        """The background's two parts (n, 2)."""
        return np.stack([np.ones_like(self.f), -((self.reference / self.f) ** 2)], -1).astype(complex)

    def every(self, step: int) -> _Data:
        return _Data(self.f[::step], self.h[::step], self.weight[::step], self.reference, self.background)


def _next_start(data: _Data, logs: Array, low: float, high: float) -> Array:
    """Logarithms (3,) of the mode that takes most out of what the modes ``logs`` leave."""
    thin = data.every(max(1, len(data.f) // _START_LINES))
    places = np.linspace(low, high, _START_PLACES + 2)[1:-1]
    # Near a sharp peak the even grid is too coarse: the measured lines about the greatest rest are tried as well.
    at, zeta = (v.ravel() for v in np.meshgrid(np.append(places, _peaks(data, logs, low, high)), _START_DAMPING))
    r = thin.f[:, None] / at
    trial = thin.real(1.0 / (1.0 - r * r + 2j * zeta * r))
    known = [thin.real(1.0 / (1.0 - (q := thin.f / math.exp(m[0])) ** 2 + 2j * math.exp(m[1]) * q)) for m in logs]
    if data.background:
        known += list(thin.real(thin.ground).T)
    rest = thin.real(thin.h)
    if known:
        base, _ = np.linalg.qr(np.stack(known, -1))
        rest = rest - base @ (base.T @ rest)
        trial = trial - base @ (base.T @ trial)
    length = np.linalg.norm(trial, axis=0)
    along = rest @ trial
    best = int(np.argmax(np.where(length > 0.0, along / np.maximum(length, 1e-300), -np.inf)))
    soft = max(float(along[best] / length[best] ** 2), 1e-9)
    return np.log([at[best], zeta[best], soft])


def _peaks(data: _Data, logs: Array, low: float, high: float) -> Array:
    """Frequencies of the lines at which the imaginary part is furthest below the modes found so far."""
    left = data.h - (_response(data.f, logs, 0.0, 0.0, data.reference) if len(logs) else 0.0)
    inside = (data.f > low) & (data.f < high)
    order = np.argsort(np.where(inside, left.imag, np.inf))[:40]
    return data.f[order[::4]]


def _refined(data: _Data, logs: Array) -> tuple[Array, Array, Array, float]:
    """Best logarithms (modes, 3), background (2,), covariance of all without the scatter's square, sum of squares."""
    target = data.real(data.h)
    ground = data.real(data.ground) if data.background else np.zeros((len(target), 0))
    modes = len(logs)

    def model(at: Array) -> tuple[Array, Array]:
        frequency, zeta, soft = np.exp(at[: 3 * modes].reshape(modes, 3)).T
        r = data.f[:, None] / frequency
        below = 1.0 - r * r + 2j * zeta * r
        each = soft / below
        slopes = np.stack([-each / below * (2.0 * r * r - 2j * zeta * r), -each / below * 2j * zeta * r, each], -1)
        jacobian = data.real(slopes.reshape(len(data.f), 3 * modes))
        return data.real(each.sum(1)) + ground @ at[3 * modes :], np.concatenate([jacobian, ground], 1)

    at = np.concatenate([logs.ravel(), np.zeros(ground.shape[1])])
    value, jacobian = model(at)
    if ground.shape[1]:
        at[3 * modes :] = np.linalg.lstsq(ground, target - value, rcond=None)[0]
        value, jacobian = model(at)
    left = target - value
    squares, damping = float(left @ left), 1e-3
    for _ in range(200):
        normal, gradient = jacobian.T @ jacobian, jacobian.T @ left
        diagonal = np.maximum(np.diag(normal), 1e-300)
        step = np.linalg.solve(normal + damping * np.diag(diagonal), gradient)
        # No figure may change by more than a factor e in one step.
        step[: 3 * modes] = np.clip(step[: 3 * modes], -1.0, 1.0)
        trial_value, trial_jacobian = model(at + step)
        trial_left = target - trial_value
        trial_squares = float(trial_left @ trial_left)
        if trial_squares < squares:
            gain = squares - trial_squares
            at, jacobian, left, squares = at + step, trial_jacobian, trial_left, trial_squares
            damping = max(damping / 5.0, 1e-12)
            if gain <= 1e-9 * squares:
                break
        else:
            damping *= 4.0
            if damping > 1e12:
                break
    scale = 1.0 / np.sqrt(np.maximum(np.sum(jacobian**2, 0), 1e-300))
    scaled = jacobian * scale
    covariance = np.linalg.pinv(scaled.T @ scaled) * np.outer(scale, scale)
    return at[: 3 * modes].reshape(modes, 3), at[3 * modes :], covariance, squares


def _weights(response: FrequencyResponse, by_coherence: bool) -> Array:
    """One over the standard deviation of each line, to a factor: even, or as coherence has it (Bendat and
    Piersol)."""
    if not by_coherence or response.coherence is None:
        return np.ones(len(response.frequency))
    g = np.clip(response.coherence, 1e-3, 1.0 - 1e-6)
    size = np.abs(response.compliance)
    spread = size * np.sqrt((1.0 - g) / g) + 1e-3 * size.max()
    return np.asarray(float(np.median(spread)) / spread)


def fit_modes(
    response: FrequencyResponse,
    count: int | None = None,
    *,
    low: float | None = None,
    high: float | None = None,
    background: bool = True,
    by_coherence: bool = True,
) -> ModalFit:
    """Fit ``count`` modes (None: as many as the data carry, up to 8) to the lines from ``low`` to ``high`` Hz.

    by_coherence : weigh every line by its coherence where that was measured: without it the noise of an
    accelerometer over f^2 hides the modes.  A further mode is taken while it lowers the scatter by ``LEAST_GAIN``
    or more, lies in the band and is known to a quarter.  Raises ChiparcError where there are too few lines or no
    mode is found.
    """
    f_all = response.frequency
    low = max(float(f_all[0]) if low is None else low, 1e-9)
    high = float(f_all[-1]) if high is None else high
    part = response.within(low, high)
    n = len(part.frequency)
    if count is not None and not 1 <= count <= MOST_MODES:
        raise _refused("count", count=count, most=MOST_MODES)
    fewest = 4 * ((count or 1) + 1)
    if n < fewest:
        told = refused_count("fit_refused", "lines", n, low=low, high=high, fewest=fewest)
        raise ChiparcError(say("refused_place", "modes"), *told)
    size = float(np.abs(part.compliance).max())
    weight = _weights(part, by_coherence)
    data = _Data(part.frequency, part.compliance / size, weight, math.sqrt(low * high), background)
    whole = float(np.sum(np.abs(data.h * weight) ** 2))

    best: tuple[Array, Array, Array, float] | None = None
    tried: list[tuple[int, float]] = []
    logs = np.zeros((0, 3))
    for number in range(1, (count or MOST_MODES) + 1):
        if n < 4 * (number + 1):
            break
        start = np.concatenate([logs, _next_start(data, logs, low, high)[None]])
        fit = _refined(data, start)
        logs = fit[0]
        scatter = math.sqrt(fit[3] / _free(n, fit))
        tried.append((number, scatter * size))
        if count is None:
            enough = best is not None and scatter > (1.0 - LEAST_GAIN) * math.sqrt(best[3] / _free(n, best))
            if enough or any(mode.doubtful for mode in _described(fit, scatter, size, low, high)):
                break
        best = fit
        if scatter <= GOOD_ENOUGH and count is None:
            break
    if best is None:
        raise _refused("no_mode", low=low, high=high)
    logs, ground, _, squares = best
    scatter = math.sqrt(squares / _free(n, best))
    modes = sorted(_described(best, scatter, size, low, high), key=lambda mode: mode.frequency_hz)
    upper, lower = (float(v) * size for v in (ground if background else (0.0, 0.0)))
    logs = logs + np.array([0.0, 0.0, math.log(size)])
    curve = _response(part.frequency, logs, upper, lower, data.reference)
    residual = part.compliance - curve
    for array in (curve, residual):
        array.setflags(write=False)
    return ModalFit(
        tuple(modes),
        upper,
        lower,
        data.reference,
        frozen(part.frequency.copy()),
        curve,
        residual,
        1.0 - squares / whole,
        scatter * size,
        tuple(tried),
    )


def _refused(id: str, /, **fields: float) -> ChiparcError:
    return ChiparcError(say("refused_place", "modes"), *refused("fit_refused", id, **fields))


def _free(n: int, fit: tuple[Array, Array, Array, float]) -> int:
    """Degrees of freedom: two figures a line less those fitted."""
    return max(1, 2 * n - len(fit[2]))


def _described(
    fit: tuple[Array, Array, Array, float], scatter: float, size: float, low: float, high: float
) -> list[FittedMode]:
    """The modes with their errors, in mm and N."""
    logs, _, covariance, _ = fit
    errors = scatter * np.sqrt(np.maximum(np.diag(covariance)[: logs.size], 0.0)).reshape(logs.shape)
    out = []
    for (lf, lz, ls), (ef, ez, es) in zip(logs.tolist(), errors.tolist(), strict=True):
        f, zeta, k = math.exp(lf), math.exp(lz), math.exp(-ls) / size
        doubtful = not low <= f <= high or zeta > MOST_DAMPING or max(ez, es) > MOST_ERROR
        out.append(FittedMode(f, zeta, k, ef * f, ez * zeta, es * k, doubtful))
    return out
