"""The path over the stock under the hand: pick a place, drag along the path; the stock is cut away up to there."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPixmap, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from app.kit.look import look
from app.kit.tiled_pixmap import clear_picture, painter_on
from app.pages.path.path_painting import (
    cleared_runs,
    fit_in,
    margins,
    paint_cleared,
    paint_cutter,
    paint_legend,
    paint_path,
    paint_stock,
    paint_worst_marks,
)
from app.pages.path.path_scene import Fit, PathScene, about, zoomed
from app.pages.path.path_state import PathState
from app.state.view_state import ViewState
from core.base.words import say

KEPT = 12
"""Pictures of the stock at even distances, so that going back need not begin at the start."""

STEP = 1.25
"""How many times larger one notch of the wheel makes the plan."""

CLOSE = 1.5
"""Half of what the close view shows, in cutter diameters."""

LARGEST = 400.0
"""How many times larger than the whole path the plan can be made."""

JUMP = 3.0
"""How much nearer (in cutter radii) another stretch of path must be before a drag leaves the one it is on."""


class PathPlan(QWidget):
    """The plan of the path."""

    def __init__(self, state: PathState, view: ViewState) -> None:
        super().__init__()
        self.state, self.view = state, view
        self.scene: PathScene | None = None
        self.title = ""
        self._lines: QPixmap | None = None
        self._stock: list[tuple[int, QPixmap]] = []
        self._now: tuple[int, QPixmap] | None = None
        self._depth = 0.0
        self._fit: Fit | None = None
        self._box: object = None
        self._panned: tuple[float, float] | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(QSize(300, 170))
        self.setAccessibleName(say("path_page", "plan_name"))
        self.setCursor(Qt.CursorShape.CrossCursor)
        state.moved.connect(self._moved)

    def _moved(self, _: float) -> None:
        self.update()

    def show_scene(self, scene: PathScene | None, title: str) -> None:
        """Another scene: all kept pictures are made anew when it is next seen."""
        if scene is None or scene.box != self._box:
            # Another path is shown whole; the same one stays as near as it was.
            self._fit, self._box = None, None if scene is None else scene.box
        self.scene, self.title = scene, title
        self.forget()

    def forget(self) -> None:
        """Make the kept pictures anew."""
        self._lines, self._stock, self._now = None, [], None
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another size."""
        super().resizeEvent(event)
        self._fit = None
        self.forget()

    def fit(self) -> Fit:
        """Where the path stands on the widget."""
        assert self.scene is not None
        return self._fit or self._whole_fit()

    def _whole_fit(self) -> Fit:
        assert self.scene is not None
        return fit_in(self.scene.box, QRectF(self.rect()), look(self.view.theme))

    def show_all(self) -> None:
        """The whole path and its stock."""
        self._fit = None
        self.forget()

    def show_place(self) -> None:
        """The place under the hand, close."""
        scene, here = self.scene, self.state.here
        if scene is None or here is None:
            return
        x, y = here.places.place[0].tolist()
        box = about(scene.box, x, y, 2.0 * CLOSE * scene.whole.path.radius)
        self._fit = fit_in(box, QRectF(self.rect()), look(self.view.theme))
        self.forget()

    def enlarge(self, times: float, x: float, y: float) -> None:
        """Larger or smaller about a pixel; never smaller than the whole."""
        if self.scene is None:
            return
        whole, fit = self._whole_fit(), self.fit()
        scale = min(fit.scale * times, LARGEST * whole.scale)
        self._fit = None if scale <= whole.scale * 1.001 else zoomed(fit, scale / fit.scale, x, y)
        self.forget()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The wheel enlarges about the pointer."""
        at = event.position()
        self.enlarge(STEP ** (event.angleDelta().y() / 120.0), at.x(), at.y())
        event.accept()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Stock as it is now, the kept path, the cutter."""
        painter = QPainter(self)
        theme = look(self.view.theme)
        rect = QRectF(self.rect())
        painter.fillRect(rect, theme.color("panel"))
        scene, here = self.scene, self.state.here
        if scene is None or here is None or scene.whole is not self.state.whole:
            painter.end()
            return
        fit = self.fit()
        painter.drawPixmap(0, 0, self._stock_at(scene, fit, float(here.places.z[0])))
        if self._lines is None:
            self._lines = clear_picture(rect, self.devicePixelRatioF())
            inside = painter_on(self._lines, rect)
            paint_path(inside, scene, fit, theme)
            paint_worst_marks(inside, scene, fit, theme)
            if self._fit is not None:
                # The stock may lie under the words of a close view.
                for band in margins(rect, theme):
                    inside.fillRect(band, theme.color("panel", 0.88))
            paint_legend(inside, scene, rect, self.title, self.view.units, theme)
            inside.end()
        painter.drawPixmap(0, 0, self._lines)
        paint_cutter(painter, scene, fit, here, theme)
        if self.hasFocus():
            painter.setPen(theme.pen("focus", 2.0))
            painter.drawRect(rect.adjusted(1.0, 1.0, -1.0, -1.0))
        painter.end()

    def _stock_at(self, scene: PathScene, fit: Fit, depth: float) -> QPixmap:
        """The stock with what is cleared up to the place: from the nearest kept picture on."""
        rect, theme = QRectF(self.rect()), look(self.view.theme)
        upto = int(np.searchsorted(scene.whole.samples.s, self.state.s, side="right")) - 1
        if abs(depth - self._depth) > 1e-6:
            self._depth, self._stock, self._now = depth, [], None
        if not self._stock:
            fresh = clear_picture(rect, self.devicePixelRatioF())
            inside = painter_on(fresh, rect)
            paint_stock(inside, scene, fit, theme)
            inside.end()
            self._stock = [(0, fresh)]
        if self._now is not None and self._now[0] == upto:
            return self._now[1]
        kept = max((k for k in self._stock if k[0] <= upto), key=lambda k: k[0])
        if self._now is not None and kept[0] <= self._now[0] <= upto:
            kept = self._now
        at, picture = kept[0], QPixmap(kept[1])
        step = max(len(scene.points) // KEPT, 1)
        while at < upto:
            to = min((at // step + 1) * step, upto)
            inside = painter_on(picture, rect)
            paint_cleared(inside, cleared_runs(scene, at, to, depth), fit, scene.whole.path.radius, theme)
            inside.end()
            at = to
            if at % step == 0 and all(k[0] != at for k in self._stock):
                self._stock.append((at, QPixmap(picture)))
        self._now = (upto, picture)
        return picture

    def _go_to(self, x: float, y: float, *, anywhere: bool) -> None:
        if self.scene is None:
            return
        at = np.array(self.fit().back(x, y))
        whole = self.scene.whole
        far = np.hypot(*(self.scene.points - at).T)
        if not anywhere:
            # A drag goes on along the stretch it is on, though another pass may lie nearer.
            away = np.abs(whole.samples.s - self.state.s)
            far = far + np.where(away > 4.0 * whole.path.radius, JUMP * whole.path.radius, 0.0)
        self.state.go(float(whole.samples.s[int(np.argmin(far))]))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Pick the nearest place of the path; another button than the left moves a close view."""
        if event.button() in (Qt.MouseButton.MiddleButton, Qt.MouseButton.RightButton):
            self._panned = event.position().x(), event.position().y()
        if event.button() == Qt.MouseButton.LeftButton:
            self.state.set("playing", False)
            self._go_to(event.position().x(), event.position().y(), anywhere=True)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag along the path, or move the close view."""
        if self._panned is not None and self._fit is not None:
            x, y = event.position().x(), event.position().y()
            fit = self._fit
            self._fit = Fit(fit.scale, fit.left + x - self._panned[0], fit.bottom + y - self._panned[1])
            self._panned = x, y
            self.forget()
            return
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._go_to(event.position().x(), event.position().y(), anywhere=False)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go of the close view."""
        self._panned = None
