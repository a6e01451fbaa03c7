"""The panels beside the path: the place under the hand, the worst places, planner's table, list of cuts."""

from __future__ import annotations

import operator

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QIcon, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from app.kit.debounce import once_after
from app.kit.label_layout import text_size, wrapped
from app.kit.look import Look, look
from app.kit.plain import plain_hint
from app.kit.smaller_type import type_that_fits
from app.kit.tiled_pixmap import clear_picture, painter_on
from app.pages.path.path_scene import place_words, told
from app.pages.path.path_state import PathState
from app.pages.path.path_work import Shown
from app.pages.path.place_picture import PlaceScene, paint_place, picture_has_room, place_scene
from app.pages.path.place_shown import PlaceShown, place_shown
from app.pages.path.place_strips import LEAST, paint_place_strips
from app.pages.path.tables import paint_cuts, paint_planner, paint_words, planner_notes, words_height
from app.state.view_state import ViewState
from core.base.quantities import Units, clear_figure, number
from core.base.words import say

THUMB = 76
"""Side of a worst place's small plan, pixels."""

MOST_LINES = 4
"""Lines that the words of a worst place may take in the type that a class reads."""

AROUND = 44.0
"""Pixels across that the list of worst places has for neither plan nor words: margins and the bar to scroll."""

BESIDE = 200.0
"""Pixels that a wide panel must leave beside the picture for the strips to stand there."""

TITLES = 13.0
"""Width in text heights that the strips have there at the least, for their titles."""

STRIPS = 0.4
"""Part of the height under the title that the strips of a place have."""

PICTURE = 0.38
"""Part of the panel's height that the picture of a place has at the least, in smaller type if need be."""

WORDS = 16.0
"""Width in text heights in which what a place does has room on three lines."""


def least_place_width(look: Look) -> float:
    """Pixels across that a place needs for what it does."""
    return WORDS * look.small + 28.0


def _rooms_here(rect: QRectF, look: Look) -> tuple[QRectF, QRectF]:
    """Rooms for the picture and for the strips, between title and words; that of the strips may be empty."""
    room = rect.adjusted(10.0, look.text + 18.0, -10.0, -(3.0 * (look.small + 6.0) + 8.0))
    # The picture is a square: what a wide panel leaves beside it, and a tall one under it, is the strips'.
    left = room.width() - room.height() - 10.0
    if left >= BESIDE and room.height() >= LEAST:
        left = max(left, TITLES * look.small)
        return room.adjusted(0.0, 0.0, -left - 10.0, 0.0), room.adjusted(room.width() - left, 0.0, 0.0, 0.0)
    high = max(STRIPS * room.height(), min(room.height() - room.width(), 320.0))
    # Where they would not be painted the picture has it all.
    high = high if high - 6.0 >= LEAST else 0.0
    under = QRectF(room.left(), room.bottom() - high + 6.0, room.width(), max(high - 6.0, 0.0))
    return room.adjusted(0.0, 0.0, 0.0, -high), under


def _look_here(rect: QRectF, title: str, look: Look) -> Look:
    """The look in the largest type that leaves the picture of a place its room."""

    def fits(tried: Look) -> bool:
        picture, _ = _rooms_here(rect, tried)
        side = min(picture.width(), picture.height())
        wide = max(text_size(tried.font("text", bold=True), title).width() + 28.0, least_place_width(tried))
        return wide <= rect.width() and side >= PICTURE * rect.height() and picture_has_room(side, tried)

    return type_that_fits(look, fits)


def paint_here(painter: QPainter, rect: QRectF, place: PlaceShown, words: str, units: Units, look: Look) -> None:
    """A place with its title over it, its strips and what it does under it."""
    title = say("path_page", "here_title")
    look = _look_here(rect, title, look)
    painter.setFont(look.font("text", bold=True))
    painter.setPen(look.color("ink"))
    head = QRectF(rect.left() + 14.0, rect.top() + 4.0, rect.width() - 28.0, look.text + 12.0)
    painter.drawText(head, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, title)
    picture, strips = _rooms_here(rect, look)
    paint_place(painter, picture, place.scene, look)
    paint_place_strips(painter, strips, place.strips, units, look)
    below = max(picture.bottom(), strips.bottom()) + 4.0
    foot = QRectF(rect.left() + 14.0, below, rect.width() - 28.0, rect.bottom() - below)
    told = type_that_fits(look, lambda tried: words_height(words, foot.width(), tried) <= foot.height())
    paint_words(painter, foot, words, told)


class PlaceView(QWidget):
    """The place under the hand."""

    def __init__(self, state: PathState, view: ViewState) -> None:
        super().__init__()
        self.state, self.view = state, view
        self.setMinimumSize(QSize(220, 170))
        self.setAccessibleName(say("path_page", "here_name"))
        self.place: PlaceShown | None = None
        # Once a turn, however often the hand has moved in it.
        self._due = once_after(self, 0, self.look_at_place)
        state.moved.connect(self._moved)

    def _moved(self, _: float) -> None:
        self._due.start()

    def look_at_place(self) -> None:
        """Work out what is painted of the place under the hand."""
        around = self.state.around
        self.place = None if around is None else place_shown(around, self.state.s)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """A few outlines and curves, painted anew at each place."""
        painter, theme = QPainter(self), look(self.view.theme)
        painter.fillRect(self.rect(), theme.color("panel"))
        whole, place = self.state.whole, self.place
        if whole is not None and place is not None:
            words = place_words(whole, place.scene.here, self.view.units)
            paint_here(painter, QRectF(self.rect()), place, words, self.view.units, theme)
        painter.end()


class ShownView(QWidget):
    """A panel painted of results as they are: the planner's table, or the list of cuts."""

    def __init__(self, view: ViewState, *, cuts: bool) -> None:
        super().__init__()
        self.view, self._cuts = view, cuts
        self.shown: Shown | None = None
        if cuts:
            self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(say("path_page", "cuts_name" if cuts else "planner_name"))

    def show_results(self, shown: Shown | None) -> None:
        """Other results."""
        self.shown = shown
        # Where the panel is too low for its notes.
        notes: tuple[str, ...] = ()
        if self._cuts:
            notes = (say("path_page", "cuts_told"),)
        elif shown is not None and shown.rows:
            notes = planner_notes(shown, self.view.units)
        self.setToolTip(plain_hint("\n".join(notes)))
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The table."""
        painter, theme = QPainter(self), look(self.view.theme)
        painter.fillRect(self.rect(), theme.color("panel"))
        shown = self.shown
        if shown is not None and (shown.passes if self._cuts else shown.rows):
            (paint_cuts if self._cuts else paint_planner)(painter, QRectF(self.rect()), shown, self.view.units, theme)
        painter.end()


def worst_words(row: dict[str, object], units: Units) -> str:
    """One of the worst places in three short lines."""
    s, arc, ratio = float(str(row["s_mm"])), float(str(row["arc_deg"])), float(str(row["ratio"]))
    line = say("path_page", "line", line=row["line"]) if row["line"] else ""
    place = clear_figure(s, "length", units, decimals=1)
    told_arc, times = told(arc, "arc", units), number(ratio, 1)
    return say("path_page", "worst_item", place=place, line=line, arc=told_arc, ratio=times, reason=row["reason"])


class WorstList(QListWidget):
    """The worst places, longest arc first, each a small plan of its own; going to one goes there."""

    wanted = Signal(float)

    def __init__(self, state: PathState, view: ViewState) -> None:
        super().__init__()
        self.path_state, self.view = state, view
        self._shown: tuple[object, ...] = ()
        self.setIconSize(QSize(THUMB, THUMB))
        self.setWordWrap(True)
        self.setMinimumWidth(230)
        self.setAccessibleName(say("path_page", "worst_name"))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.currentRowChanged.connect(self._chosen)
        self.itemClicked.connect(self._clicked)

    def _clicked(self, item: QListWidgetItem) -> None:
        self._chosen(self.row(item))

    def show_worst(self) -> None:
        """The list of the path that is shown."""
        whole, around = self.path_state.whole, self.path_state.around
        shown = (whole, self.view.units, self.view.theme)
        # The same path, whose other results have come: its plans would take as long as all else on the page.
        same = len(shown) == len(self._shown) and all(map(operator.is_, shown, self._shown))
        self._shown = shown
        self.blockSignals(True)
        if not same:
            self.clear()
        if not same and whole is not None and around is not None:
            for i, row in enumerate(whole.worst or ()):
                words = f"{i + 1}  {worst_words(row, self.view.units)}"
                small = place_scene(around, self.path_state.worst_places[i])
                item = QListWidgetItem(self._thumb(small, look(self.view.theme)), words)
                item.setToolTip(plain_hint(row["reason"]))
                self.addItem(item)
            self._set_type()
        self.setCurrentRow(-1)
        self.blockSignals(False)

    def _set_type(self) -> None:
        """In the type that a class reads, where the list is wide enough for its lines; else as set by hand."""
        items = [self.item(i) for i in range(self.count())]
        room = self.width() - THUMB - AROUND

        def fits(tried: Look) -> bool:
            font = tried.font("small")
            return all(len(wrapped(font, item.text(), room)) <= MOST_LINES for item in items)

        seen = type_that_fits(look(self.view.theme), fits).font("small")
        by_hand = self.font()
        for item in items:
            item.setFont(seen if seen.pixelSize() > by_hand.pixelSize() else by_hand)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width."""
        super().resizeEvent(event)
        self._set_type()

    def _thumb(self, scene: PlaceScene, theme: Look) -> QIcon:
        rect = QRectF(0.0, 0.0, THUMB, THUMB)
        picture = clear_picture(rect, self.devicePixelRatioF())
        painter = painter_on(picture, rect)
        paint_place(painter, rect, scene, theme, small=True)
        painter.end()
        return QIcon(picture)

    def _chosen(self, row: int) -> None:
        if 0 <= row < len(self.path_state.worst_places):
            self.wanted.emit(self.path_state.worst_places[row])
