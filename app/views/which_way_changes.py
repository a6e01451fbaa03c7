"""What would lift a reason: changes of one figure of the cut, found one after another, each taken with one click."""

from __future__ import annotations

from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QWidget

from app.view_state import ViewState
from app.views.quiet import SETTLE_MS, once_after
from app.workbench import Workbench
from core.glossary import glossary
from core.quantities import QUANTITIES
from core.remedies import QUANTITY_OF, nearest_change
from core.setup import Setup
from core.setup_limits import RANGES
from core.which_way import stands_against

COLUMNS = 3


class ChangesRow(QWidget):
    """Buttons, one for each change that lifts the reason; the direction's comes first and is always there."""

    def __init__(self, workbench: Workbench, view: ViewState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self._setup: Setup | None = None
        self._id = ""
        self._due: list[str] = []
        self.buttons: dict[str, QPushButton] = {}
        self.label = QLabel("What would lift it, one change at a time:")
        self.label.setObjectName("note")
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 2, 0, 2)
        self._grid.setSpacing(4)
        self._grid.addWidget(self.label, 0, 0, 1, COLUMNS)
        self._timer = once_after(self, SETTLE_MS, self._next)
        self.hide()

    @property
    def looking(self) -> bool:
        """Whether there is still something to look for."""
        return bool(self._due)

    def look_for(self, setup: Setup, id: str) -> None:
        """Look for what lifts the reason ``id`` of a setup; nothing where it does not speak against its direction."""
        if (setup, id) == (self._setup, self._id):
            return
        self._setup, self._id = setup, id
        self._timer.stop()
        for button in self.buttons.values():
            self._grid.removeWidget(button)
            button.deleteLater()
        self.buttons = {}
        against = bool(id) and stands_against(id)(setup)
        self._due = list(QUANTITY_OF) if against else []
        if against:
            after = setup.opposite
            if not stands_against(id)(after):
                self._add("cut.direction", f"Mill {after.cut.direction}", after)
            self._timer.start(SETTLE_MS)
        self.setVisible(against)

    def _next(self) -> None:
        """One figure's nearest change; the others in later turns of the event loop: the hand is not held up."""
        assert self._setup is not None
        key = self._due.pop(0)
        holds = stands_against(self._id)
        value = nearest_change(self._setup, key, holds, RANGES[key].low, RANGES[key].high)
        if value is not None:
            q, units = QUANTITIES[QUANTITY_OF[key]], self._view.units
            told = f"{q.symbol} {q.shown(value, units):.4g} {q.unit_in(units)}"  # type: ignore[arg-type]
            self._add(key, told, self._setup.with_keys({key: value}))
        if self._due:
            self._timer.start(0)
        elif not self.buttons:
            self.label.setText("No change of one figure of the cut lifts it.")

    def _add(self, key: str, text: str, after: Setup) -> None:
        self.label.setText("What would lift it, one change at a time:")
        button = QPushButton(text)
        word = "Direction" if key == "cut.direction" else glossary()[QUANTITY_OF[key]].word
        button.setToolTip(f"{word}: take this change; Ctrl+Z puts it back")
        button.setAccessibleName(f"{word}: {text}")
        button.clicked.connect(lambda: self._take(key, after))
        i = len(self.buttons)
        self._grid.addWidget(button, 1 + i // COLUMNS, i % COLUMNS)
        self.buttons[key] = button

    def _take(self, key: str, after: Setup) -> None:
        """Take the change into the setup on the bench, whose material stays a name."""
        name = "direction" if key == "cut.direction" else glossary()[QUANTITY_OF[key]].word.lower()
        self._workbench.propose(self._workbench.setup.with_keys({key: after.value(key)}), name)
