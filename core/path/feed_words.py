"""A copy of a program with other feeds: F words are written anew, everything else stays byte for byte."""

from __future__ import annotations

import re
from itertools import pairwise
from math import floor, isfinite, log10, nan

import numpy as np

from ..base.errors import ChiparcError, DocumentError
from ..base.refused import refused
from ..base.words import say
from .iso_words import bare_block, word_spans
from .modal_state import FARTHEST_MM, INCH_MM
from .moves import RAPID
from .program import Reading, read_blocks
from .program_text import program_text

_LINE_ENDS = re.compile(r"(\r\n|\r|\n)")
_DIGITS = 4
"""Significant digits of a feed that is written."""

_UNITS = {20.0: INCH_MM, 70.0: INCH_MM, 21.0: 1.0, 71.0: 1.0}
_ALIKE = 1e-9


def with_feeds(data: bytes, file: str, feed_mm_min: np.ndarray, *, speed_rpm: float | None = None) -> bytes:
    """The program with the given feeds; lines, comments, encoding and line ends as they were.

    data, file, speed_rpm : as for :func:`core.path.program.read_program`.
    feed_mm_min : (n,) for each of the program's moves; nan keeps what the program says there.  Those of rapid moves
        mean nothing.  A move that keeps its feed is given an F word of its own where a changed one goes before it.

    Feeds are written with four digits, in the program's units, per turn where it says so (G95).  The copy has to be
    proved on the machine like any new program.  Raises DocumentError as reading does, and ChiparcError for feeds that
    no program can have.
    """
    source = program_text(data, file)
    reading = read_blocks(source.text, file, speed_rpm=speed_rpm)
    feeds = np.asarray(feed_mm_min, dtype=float)
    writer = _Writer(file, _rates(reading, feeds), "." if _has_points(source.text, file) else "")
    parts = _LINE_ENDS.split(source.text)
    parts[::2] = [writer.line(n, line) for n, line in enumerate(parts[::2], 1)]
    return source.encoded("".join(parts))


def _rates(reading: Reading, feeds: np.ndarray) -> dict[int, tuple[float, float, float]]:
    """Line of each move at feed: the wanted feed or nan, the program's own or nan, and the speed."""
    table = reading.table()
    if feeds.shape != (len(table),):
        told = refused("program_refused", "feeds", count=int(feeds.size), moves=len(table))
        raise ChiparcError(say("refused_place", "feeds"), *told)
    fed = table[:, 0] != RAPID
    wrong = fed & ~np.isnan(feeds) & ~((feeds > 0.0) & (feeds <= FARTHEST_MM))
    if wrong.any():
        k = int(np.argmax(wrong))
        fields = {"feed": float(feeds[k]), "line": f"{table[k, 12]:.0f}", "most": FARTHEST_MM}
        raise ChiparcError(say("refused_place", "feeds"), *refused("program_refused", "new_feed", **fields))
    speeds = np.where(np.isnan(table[:, 11]), reading.speed_rpm, table[:, 11])
    return {
        int(line): (float(feed), float(own), float(speed))
        for line, feed, own, speed in zip(table[fed, 12], feeds[fed], table[fed, 10], speeds[fed], strict=True)
    }


def _has_points(text: str, file: str) -> bool:
    """Whether the program writes its feeds with a decimal point."""
    for n, line in enumerate(_LINE_ENDS.split(text)[::2], 1):
        if "F" in line or "f" in line:
            words = word_spans(bare_block(line, n, file)[0])
            if any(letter == "F" for letter, *_ in words) and not _dwells(words):
                return any(letter == "F" and "." in number for letter, number, *_ in words)
    return False


def _dwells(words: list[tuple[str, str, int, int]]) -> bool:
    return any(letter == "G" and float(number) == 4.0 for letter, number, *_ in words)


class _Writer:
    """One pass over the lines: the feed that holds in the copy, in mm per minute or turn."""

    def __init__(self, file: str, rates: dict[int, tuple[float, float, float]], point: str) -> None:
        self.file, self.rates, self.point = file, rates, point
        self.scale, self.per_turn, self.now = 1.0, False, nan
        self.last = max(rates, default=0)

    def line(self, n: int, line: str) -> str:
        """A line of the copy."""
        if n > self.last:
            return line  # nothing behind the last move at feed changes, be it a program or not
        words = word_spans(bare_block(line, n, self.file)[0])
        for letter, number, *_ in words:
            if letter == "G":
                self.mode(float(number))
        written = next((w for w in words if w[0] == "F"), None) if not _dwells(words) else None
        if written is not None:
            self.now = float(written[1]) * self.scale
        if n not in self.rates:
            return line
        feed, own, speed = self.rates[n]
        turns = speed if self.per_turn else 1.0
        if not isfinite(feed) and (not isfinite(own) or abs(own / turns - self.now) <= _ALIKE * self.now):
            return line
        number = self.number(n, feed, own, speed)
        value = float(number) * self.scale
        if abs(value - self.now) <= _ALIKE * value:
            return line
        self.now = value
        if written is not None:
            start, end = written[3] - len(written[1]), written[3]
            return line[:start] + number + line[end:]
        return _with_word(line, words, number)

    def mode(self, code: float) -> None:
        """What a G word changes for feeds."""
        self.scale = _UNITS.get(code, self.scale)
        if code in (94.0, 95.0) and (code == 95.0) != self.per_turn:
            self.per_turn, self.now = code == 95.0, nan

    def number(self, n: int, feed: float, own: float, speed: float) -> str:
        """The figure of the F word that gives a move its feed."""
        share = self.scale * (speed if self.per_turn else 1.0)
        if not isfinite(share):
            raise DocumentError(self.file, n, "F", *refused("program_refused", "no_speed"))
        if isfinite(feed):
            figure = feed / share
            decimals = max(0, _DIGITS - 1 - floor(log10(figure)))
        else:
            figure, decimals = own / share, 9
        text = f"{figure:.{min(decimals, 12)}f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
        return text if "." in text else text + self.point


def _with_word(line: str, words: list[tuple[str, str, int, int]], number: str) -> str:
    """The line with an F word behind its last word, set apart as the others are."""
    end = words[-1][3]
    apart = any(a[3] != b[2] for a, b in pairwise(words))
    small = line[words[-1][2]].islower()
    return f"{line[:end]}{' ' if apart else ''}{'f' if small else 'F'}{number}{line[end:]}"
