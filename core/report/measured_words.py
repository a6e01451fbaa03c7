"""A measured response and its fitted modes in words."""

from __future__ import annotations

from ..base.language import in_language
from ..base.words import say
from ..chatter.measured_file import Measured
from ..chatter.modal_fit import FittedMode


def _pair(value: float, error: float) -> tuple[str, str]:
    """A figure with its standard error: up to two figures of the error and two decimals, the value as fine."""
    if not error > 0.0:
        return in_language(f"{value:.4g}"), "0"
    digits = min(2, max(0, 1 - int(f"{error:e}".split("e")[1])))
    error = max(error, 10.0**-digits)
    return in_language(f"{value:,.{digits}f}"), in_language(f"{error:,.{digits}f}")


def mode_words(mode: FittedMode) -> str:
    """One fitted mode with the standard error of each figure."""
    hz, hz_error = _pair(mode.frequency_hz, mode.frequency_error)
    damping, damping_error = _pair(100.0 * mode.damping_ratio, 100.0 * mode.damping_error)
    stiffness, stiffness_error = _pair(mode.stiffness_n_mm, mode.stiffness_error)
    words = say(
        "measured",
        "mode",
        hz=hz,
        hz_error=hz_error,
        damping=damping,
        damping_error=damping_error,
        stiffness=stiffness,
        stiffness_error=stiffness_error,
    )
    return say("measured", "doubtful", mode=words) if mode.doubtful else words


def response_words(measured: Measured) -> str:
    """What was measured, how well the modes explain it, and what is to be known of the taps."""
    share = in_language(f"{100.0 * measured.fit.explained:.1f}")
    words = [say("measured", "explained", file=measured.name, count=len(measured.fit.modes), share=share)]
    if measured.tap is not None:
        words.append(say("measured", "tap", hits=len(measured.tap.hits), left=len(measured.tap.left_out)))
        if measured.tap.cut_off:
            words.append(say("measured", "cut_off"))
    return " ".join(words)
