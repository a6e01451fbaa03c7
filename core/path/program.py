"""A program of ISO 6983-1 words as moves of the cutter's centre: blocks in turn, motion by motion."""

from __future__ import annotations

from array import array
from dataclasses import dataclass, field
from math import nan

import numpy as np

from ..base.errors import ChiparcError, DocumentError
from ..base.language import in_language
from ..base.refused import refused
from ..base.words import say
from ..documents.toml_errors import shortened
from .arc_words import ROUND_MM, arc_by_centre, arc_by_radius
from .arcs import SAME_PLACE, Arc
from .iso_words import SKIPPED, TAPE, Block, blocks
from .modal_groups import ENDS
from .modal_state import FARTHEST_MM, ModalState, Words, written_word
from .moves import ARC, RAPID, Moves, Program
from .program_text import program_text

MOST_MOVES = 1_000_000

_LETTERS = frozenset("XYZIJRFSTNO:HP")
_COORDINATES = frozenset("XYZIJR")
_RATES = frozenset("FST")
_NAMES = frozenset("NO:")

_COLUMNS = 13
"""Of a row: kind, start (3), end (3), centre (2), sweep, feed, speed, line."""


@dataclass(slots=True)
class Reading(ModalState):
    """One pass over one program: its modal state, where the cutter stands, and the moves so far in ``rows``."""

    rows: array[float] = field(default_factory=lambda: array("d"))
    x: float | None = None
    y: float | None = None
    z: float | None = None
    first_z: float | None = None
    begun: bool = False
    ended: bool = False

    def block(self, block: Block) -> None:
        """Take one block: first what it sets, then its motion.  Raises ChiparcError."""
        self.line, mark, words = block
        if mark == TAPE and self.begun:
            self.ended = True
        if not words:
            return
        if self.ended:
            self.doubts.once("after_end", self.line)
            return
        if mark == SKIPPED:
            self.doubts.add("skip", self.line)
        values: dict[str, float] = {}
        g_codes: list[str] = []
        m_codes: list[str] = []
        for letter, number in words:
            if letter == "G":
                g_codes.append(number)
            elif letter == "M":
                m_codes.append(number)
            elif letter in values or letter not in _LETTERS:
                raise self.unread(letter, number, words, letter in values)
            else:
                values[letter] = float(number)
        self.begun = self.begun or bool(g_codes or m_codes or not values.keys() <= _NAMES)
        dwells = self.set_modes(values, g_codes, words) if g_codes else False
        if "H" in values and not any(float(code) == 43.0 for code in g_codes):
            raise ChiparcError(written_word(words, "H"), *refused("program_refused", "h_alone"))
        if "P" in values and not dwells:
            raise ChiparcError(written_word(words, "P"), *refused("program_refused", "p_alone"))
        if dwells:
            self.dwell(values, words)
        if not values.keys().isdisjoint(_RATES):
            self.set_rates(values, words)
        machine = self.machine(m_codes) if m_codes else []
        if not values.keys().isdisjoint(_COORDINATES):
            self.move(values, words)
        if machine:
            self.ended = any(number in ENDS for number in machine)

    def unread(self, letter: str, number: str, words: Words, twice: bool) -> ChiparcError:
        if twice:
            words_of_it = {"first": written_word(words, letter), "second": letter + number}
            return ChiparcError(
                say("refused_place", "block"), *refused("program_refused", "twice", letter=letter, **words_of_it)
            )
        id = "exponent" if letter == "E" and words[0][0] != "E" else "letter"
        allowed = say("program_refused", "letter_allowed")
        return ChiparcError(letter + number, say("program_refused", id, letter=letter), allowed)

    def length(self, letter: str, values: dict[str, float], words: Words) -> float:
        """A coordinate in mm."""
        value = values[letter] * self.scale
        if abs(value) > FARTHEST_MM:
            found = say("refusal", "found", value=written_word(words, letter))
            most, unit = FARTHEST_MM / self.scale, say("program_units", self.units or "mm")
            raise ChiparcError(letter, found, say("program_refused", "coordinate_allowed", most=most, unit=unit))
        return value

    def place(self, letter: str, now: float | None, values: dict[str, float], words: Words) -> float | None:
        """Where an axis stands at the end of the block, None if that is not told yet."""
        if letter not in values:
            return now
        value = self.length(letter, values, words)
        if self.incremental:
            value += now or 0.0
            if abs(value) > FARTHEST_MM:
                fields = {"letter": letter, "value": value, "most": FARTHEST_MM}
                raise ChiparcError(letter, *refused("program_refused", "place", **fields))
        return value

    def starts(self, values: dict[str, float]) -> tuple[float | None, float | None]:
        """X and Y at the start of the block; an axis that it moves without having been told stands at 0.

        The first word of an axis tells its place.  But a distance is a move from anywhere, and so is a move in one
        axis while the other has never been told.
        """
        x, y = self.x, self.y
        if self.incremental and (x is None or y is None) and ("X" in values or "Y" in values):
            self.doubts.once("from_nowhere", self.line)
            return x or 0.0, y or 0.0
        if x is not None and y is None and "X" in values and "Y" not in values:
            self.doubts.once("half_place", self.line, axis="Y")
            return x, 0.0
        if y is not None and x is None and "Y" in values and "X" not in values:
            self.doubts.once("half_place", self.line, axis="X")
            return 0.0, y
        return x, y

    def move(self, values: dict[str, float], words: Words) -> None:
        """The block's motion."""
        if self.units is None:
            self.doubts.once("no_units", self.line)
        motion = RAPID if self.motion is None else self.motion
        is_arc = motion >= ARC
        for letter in () if is_arc else "IJR":
            if letter in values:
                told = refused("program_refused", "arc_word", letter=letter, motion=motion)
                raise ChiparcError(written_word(words, letter), *told)
        x0, y0 = self.starts(values)
        z0 = self.z
        x1, y1 = self.place("X", x0, values, words), self.place("Y", y0, values, words)
        z1 = self.place("Z", z0, values, words)
        self.x, self.y, self.z = x1, y1, z1
        if self.first_z is None:
            self.first_z = z1
        if x0 is None or y0 is None or x1 is None or y1 is None:
            if is_arc:
                self.doubts.add("arc_from_nowhere", self.line)
            return
        low, high = nan if z0 is None else z0, nan if z1 is None else z1
        if is_arc:
            arc = self.arc(x0, y0, x1, y1, values, words)
            if abs(x1 - x0) <= SAME_PLACE and abs(y1 - y0) <= SAME_PLACE:
                self.x, self.y = x1, y1 = x0, y0
            self.add(ARC, x0, y0, low, x1, y1, high, *arc)
        elif x0 != x1 or y0 != y1 or (z0 is not None and z0 != z1):
            if self.motion is None:
                self.doubts.once("no_motion_word", self.line)
            self.add(motion, x0, y0, low, x1, y1, high, nan, nan, 0.0)

    def arc(self, x0: float, y0: float, x1: float, y1: float, values: dict[str, float], words: Words) -> Arc:
        """The block's arc."""
        has_centre = "I" in values or "J" in values
        if "R" in values:
            if has_centre:
                raise ChiparcError(say("refused_place", "block"), *refused("program_refused", "both"))
            return arc_by_radius(x0, y0, x1, y1, self.length("R", values, words), self.motion == 3)
        if not has_centre:
            told = refused("program_refused", "neither", motion=self.motion)
            raise ChiparcError(say("refused_place", "block"), *told)
        i, j = (self.length(k, values, words) if k in values else 0.0 for k in "IJ")
        arc, moved = arc_by_centre(x0, y0, x1, y1, i, j, self.motion == 3)
        if moved > ROUND_MM:
            self.doubts.add("bent_arc", self.line, by=in_language(f"{moved:.2g}"))
        return arc

    def add(self, kind: int, *geometry: float) -> None:
        """One move more, at the feed and speed that hold."""
        feed, speed = self.feed, self.speed
        if self.per_turn:
            feed *= speed if speed == speed else self.speed_rpm
        if kind != RAPID and feed != feed:
            self.doubts.once("no_feed", self.line)
        if len(self.rows) >= MOST_MOVES * _COLUMNS:
            told = refused("program_refused", "moves", most=MOST_MOVES)
            raise ChiparcError(say("refused_place", "program"), *told)
        self.moved = True
        self.rows.extend((kind, *geometry, feed, speed, self.line))

    def table(self) -> np.ndarray:
        """(n, _COLUMNS) the moves so far; heights not told are nan."""
        return np.array(self.rows, dtype=float).reshape(-1, _COLUMNS)

    def moves(self, top_z_mm: float) -> Moves:
        """What was gathered; heights not told are that of the stock's top, or the first Z if that is higher."""
        table = self.table()
        unknown = top_z_mm if self.first_z is None else max(top_z_mm, self.first_z)
        for column in (3, 6):
            table[np.isnan(table[:, column]), column] = unknown
        if self.first_z is None:
            clear = table[:, 0] == RAPID
        else:
            clear = table[:, [3, 6]].min(1) >= top_z_mm - SAME_PLACE
        sweep, feed, speed, line = table[:, 9:].T
        return Moves(table[:, 0], table[:, 1:4], table[:, 4:7], table[:, 7:9], sweep, feed, speed, line, clear)


def read_blocks(text: str, file: str, left_hand: bool = False, speed_rpm: float | None = None) -> Reading:
    """The state after all blocks of a program's text.  Raises DocumentError with the line of the first bad one."""
    reading = Reading(nan if speed_rpm is None else speed_rpm, left_hand)
    for block in blocks(text, file):
        try:
            reading.block(block)
        except ChiparcError as error:
            raise DocumentError(file, block.line, shortened(error.where), error.found, error.allowed) from None
    return reading


def read_program(
    data: bytes, file: str, *, top_z_mm: float = 0.0, left_hand: bool = False, speed_rpm: float | None = None
) -> Program:
    """The moves of a program; ``file`` is its name for the errors.

    top_z_mm : top of the stock: at or above it nothing is cut.  left_hand : the cutter, for M3 and M4.
    speed_rpm : the setup's speed, for F per turn (G95) where the program has no S.

    Raises DocumentError with file, line, word, what was found and what is allowed, for the first thing that this
    project does not read.  What is doubtful is in the program's warnings.
    """
    reading = read_blocks(program_text(data, file).text, file, left_hand, speed_rpm)
    moves = reading.moves(top_z_mm)
    if not len(moves):
        where = say("refused_place", "program")
        raise DocumentError(file, max(reading.line, 1), where, *refused("program_refused", "no_motion"))
    if not moves.feed_mask.any():
        reading.doubts.add("no_feed_moves", None)
    return Program(moves, reading.units or "mm", reading.doubts.all(), reading.first_z is not None)
