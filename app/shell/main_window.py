"""The main window: menus, header, the page.  It wires things together and decides nothing about milling."""

from __future__ import annotations

import math
from pathlib import Path

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import (
    QAction,
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
    QHideEvent,
    QKeySequence,
    QMouseEvent,
)
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QLineEdit,
    QMainWindow,
    QMenu,
    QVBoxLayout,
    QWidget,
)

from app.kit.look import look
from app.pages.arc.arc_page import ArcPage
from app.shell.actions import ACTIONS, ALWAYS_SHOWN, CHART_SPECS, STRIP_SPECS
from app.shell.files import Files
from app.shell.gallery import GalleryDialog
from app.shell.header import Header
from app.shell.help import HelpDialog
from app.shell.style import palette, style_sheet
from app.state.motion import Motion
from app.state.settings import Settings, load_settings, save_settings
from app.state.view_state import THEMES, UNITS, ViewState
from app.state.workbench import Workbench
from core.cut.engagement import engagement
from core.effects.arc_results import paired_angle
from core.setup.direction_change import with_direction
from core.setup.setup import Setup


class Page(QWidget):
    """What holds the header and the page; a click where nothing is leaves the field that was typed in."""

    empty_clicked = Signal()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """What nothing in it wanted."""
        super().mousePressEvent(event)
        self.empty_clicked.emit()


class MainWindow(QMainWindow):
    """The window over one workbench and one view state."""

    def __init__(
        self,
        workbench: Workbench,
        view: ViewState,
        settings: Settings | None = None,
        *,
        original: str | None = None,
    ) -> None:
        super().__init__()
        self.workbench, self.view = workbench, view
        self.settings = settings or load_settings()
        self.files = Files(self, workbench, view, self.settings, original)
        self.motion = Motion(workbench, view, self)
        self.header = Header(workbench, view)
        self.page = ArcPage(workbench, view, self.motion)
        inside = Page()
        inside.empty_clicked.connect(self._leave_field)
        inside.setObjectName("page")
        layout = QVBoxLayout(inside)
        layout.setContentsMargins(8, 6, 8, 8)
        layout.setSpacing(8)
        layout.addWidget(self.header)
        layout.addWidget(self.page, 1)
        self.setCentralWidget(inside)
        self.setAcceptDrops(True)
        self.actions_by_method: dict[str, QAction] = {}
        self._recent_menu = QMenu("Recent", self)
        self.strip_actions: dict[str, QAction] = {}
        self.chart_actions: dict[str, QAction] = {}
        self._make_menus()
        self.header.gallery.clicked.connect(self.show_gallery)
        self.header.theme.clicked.connect(self.next_theme)
        self.header.help.clicked.connect(self.show_help)
        workbench.undo_changed.connect(self._show_undo)
        workbench.file_changed.connect(self._show_file)
        workbench.setup_changed.connect(self._show_file)
        workbench.materials_changed.connect(self._show_materials)
        self.files.materials_remembered.connect(self._show_materials)
        view.changed.connect(self._view_changed)
        self._dress()
        self._show_undo()
        self._show_file()
        self._show_materials()
        workbench.document_opened.connect(view.forget_reasons)
        workbench.angle_wanted.connect(self._turn)
        self.files.done.connect(self.page.sentence.show_done)
        self._shown_cut = workbench.setup
        workbench.setup_changed.connect(self._follow_direction)
        self._quiet_buttons()
        self.page.plan.setFocus(Qt.FocusReason.OtherFocusReason)

    def sizeHint(self) -> QSize:
        """Most of a common screen."""
        return QSize(1360, 860)

    def _leave_field(self) -> None:
        if isinstance(QApplication.focusWidget(), QLineEdit):
            self.page.plan.setFocus(Qt.FocusReason.MouseFocusReason)

    # Menus

    def _make_menus(self) -> None:
        menus: dict[str, QMenu] = {}
        for spec in ACTIONS:
            menu = menus.get(spec.menu)
            if menu is None:
                menu = menus[spec.menu] = self.menuBar().addMenu(f"&{spec.menu}")
            action = QAction(spec.word, self)
            action.setShortcuts([QKeySequence(key) for key in spec.keys])
            action.setCheckable(bool(spec.switch))
            action.setStatusTip(spec.hint)
            doer = self.files if hasattr(self.files, spec.method) else self
            action.triggered.connect(getattr(doer, spec.method))
            menu.addAction(action)
            self.addAction(action)
            self.actions_by_method[spec.method] = action
            if spec.method == "toggle_pair":
                self._make_strips_menu(self.header.strips_menu)
                self.header.strips_menu.setTitle("Strips")
                menu.addMenu(self.header.strips_menu)
            if spec.method == "show_gallery":
                menu.addMenu(self._recent_menu)
                self._recent_menu.aboutToShow.connect(self._fill_recent)

    def _make_strips_menu(self, menu: QMenu) -> None:
        """Which strips are shown, in the order in which they are offered; chip thickness always is."""
        kinds = (
            (STRIP_SPECS, self.strip_actions, self._choose_strips),
            (CHART_SPECS, self.chart_actions, self._choose_charts),
        )
        for specs, actions, choose in kinds:
            if actions is self.chart_actions:
                menu.addSeparator()
            for spec in specs:
                action = QAction(spec.word, self)
                action.setCheckable(True)
                action.setShortcut(QKeySequence(spec.key))
                action.setEnabled(bool(spec.key))
                action.setData(spec.id)
                action.triggered.connect(choose)
                menu.addAction(action)
                self.addAction(action)
                actions[spec.id] = action
        self._show_strips()

    def _choose_strips(self) -> None:
        chosen = tuple(id for id, action in self.strip_actions.items() if action.isChecked() or id == ALWAYS_SHOWN)
        self.view.set("strips", chosen)

    def _choose_charts(self) -> None:
        self.view.set("charts", tuple(id for id, action in self.chart_actions.items() if action.isChecked()))

    def _show_strips(self) -> None:
        for id, action in self.strip_actions.items():
            action.setChecked(id in self.view.strips)
        for id, action in self.chart_actions.items():
            action.setChecked(id in self.view.charts)

    def _fill_recent(self) -> None:
        self._recent_menu.clear()
        for name in self.settings.recent:
            there = Path(name).is_file()
            action = self._recent_menu.addAction(Path(name).name + ("" if there else "  (missing)"))
            action.setToolTip(name)
            action.setEnabled(there)
            action.setData(name)
            action.triggered.connect(self._open_recent)
        if not self.settings.recent:
            self._recent_menu.addAction("none yet").setEnabled(False)

    def _open_recent(self) -> None:
        sender = self.sender()
        if isinstance(sender, QAction):
            self.files.open_path(Path(str(sender.data())))

    def _quiet_buttons(self) -> None:
        """A click with the mouse must not take the focus: the space bar stays with play."""
        for button in self.findChildren(QAbstractButton):
            if button.focusPolicy() == Qt.FocusPolicy.StrongFocus:
                button.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    # What is shown

    def _dress(self) -> None:
        theme = look(self.view.theme)
        # The application's palette: widgets under a style sheet do not inherit that of the window.
        QApplication.setPalette(palette(theme))
        self.setStyleSheet(style_sheet(theme))

    def _view_changed(self, name: str) -> None:
        if name == "theme":
            self._dress()
        if name in ("strips", "charts"):
            self._show_strips()
        for spec in ACTIONS:
            if spec.switch == name:
                self.actions_by_method[spec.method].setChecked(bool(getattr(self.view, name)))
        self.settings.units = self.view.units
        self.settings.reduced_motion = self.view.reduced_motion

    def _show_undo(self) -> None:
        bench = self.workbench
        for method, word, name in (("undo", "Undo", bench.undo_name), ("redo", "Redo", bench.redo_name)):
            action = self.actions_by_method[method]
            action.setText(f"{word} {name}" if name else word)
            action.setEnabled(bool(name))

    def _show_file(self, _: object = None) -> None:
        bench = self.workbench
        name = bench.setup.title or (bench.file.name if bench.file else "Untitled setup")
        title = f"{name}[*] – Chiparc"
        if self.windowTitle() != title:
            self.setWindowTitle(title)
        if self.isWindowModified() != bench.modified:
            self.setWindowModified(bench.modified)

    def _show_materials(self, _: object = None) -> None:
        own = bool(self.workbench.materials.own or self.settings.materials)
        self.actions_by_method["drop_materials"].setEnabled(own)

    def _follow_direction(self, setup: Setup) -> None:
        """Turned into the other direction a cut shows its tooth as far through the arc as it was."""
        before, self._shown_cut = self._shown_cut, setup
        if setup.cut.direction == before.cut.direction != "straddling":
            return
        if setup.cut == before.opposite.cut != before.cut and setup.cutter == before.cutter:
            here = math.radians(self.view.angle_deg)
            self.view.set("angle_deg", math.degrees(paired_angle(here, engagement(before), engagement(setup))))

    def _turn(self, angle_deg: float) -> None:
        """To the angle that belongs to what was opened, undone or done again."""
        self.view.set("angle_deg", angle_deg)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Take what is being typed, ask about unsaved changes, remember settings."""
        self._leave_field()
        if self.files.may_close():
            self.motion.stop()
            save_settings(self.settings)
            event.accept()
        else:
            event.ignore()

    def hideEvent(self, event: QHideEvent) -> None:
        """Nothing moves that nobody sees."""
        self.motion.stop()
        super().hideEvent(event)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """A document may be dropped on the window."""
        if event.mimeData().hasUrls():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the dropped document."""
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        if paths:
            self.files.open_path(paths[0])

    # Commands

    def undo(self) -> None:
        """One step back."""
        self.workbench.undo()

    def redo(self) -> None:
        """One step forward."""
        self.workbench.redo()

    def flip(self) -> None:
        """Climb for conventional and back; a straddling cut mirrors its offset."""
        setup = self.workbench.setup
        after = setup.opposite if setup.opposite != setup else with_direction(setup, "climb")
        self.workbench.propose(after, "direction")

    def toggle_pair(self) -> None:
        """Both directions side by side."""
        self.view.set("pair", not self.view.pair)

    def toggle_why(self) -> None:
        """The reasons for either direction, or the charts."""
        self.view.set("why", not self.view.why)

    def next_units(self) -> None:
        """Metric for inch and back."""
        self.view.set("units", UNITS[(UNITS.index(self.view.units) + 1) % len(UNITS)])

    def next_theme(self) -> None:
        """Light, dark, projector in turn; remembered as the person's choice."""
        theme = THEMES[(THEMES.index(self.view.theme) + 1) % len(THEMES)]
        self.settings.theme = theme
        self.view.set("theme", theme)

    def toggle_full_screen(self) -> None:
        """Full screen and back."""
        self.setWindowState(self.windowState() ^ Qt.WindowState.WindowFullScreen)

    def toggle_reduced_motion(self) -> None:
        """Steps instead of gliding."""
        self.view.set("reduced_motion", not self.view.reduced_motion)

    def play(self) -> None:
        """Play or pause; on a button that has the focus the space bar presses the button."""
        focused = QApplication.focusWidget()
        if isinstance(focused, QAbstractButton) and focused.isEnabled():
            focused.click()
        else:
            self.motion.toggle()

    def degree_on(self) -> None:
        """One degree on."""
        self.motion.step_degrees(1.0)

    def degree_back(self) -> None:
        """One degree back."""
        self.motion.step_degrees(-1.0)

    def tooth_on(self) -> None:
        """To the next tooth."""
        self.motion.step_teeth(1)

    def tooth_back(self) -> None:
        """To the tooth before."""
        self.motion.step_teeth(-1)

    def toggle_loop(self) -> None:
        """Only through the cut."""
        self.view.set("loop", not self.view.loop)

    def toggle_slow(self) -> None:
        """Slow motion."""
        self.view.set("slow", not self.view.slow)

    def show_gallery(self) -> None:
        """Choose an example."""
        dialog = GalleryDialog(self.view.theme, self)
        if dialog.exec() and dialog.chosen:
            self.files.open_example(dialog.chosen)

    def show_help(self) -> None:
        """Keys and terms."""
        HelpDialog(self).exec()
