"""A choice of a few words in the hand-rail, as one row of buttons bound to one key of the setup."""

from __future__ import annotations

from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QPushButton, QWidget

from app.kit.bare_layouts import bare_column
from app.kit.plain import plain_hint, plain_label
from app.state.step_name import StepName
from app.state.workbench import Workbench
from core.base.glossary import explained
from core.base.words import say
from core.setup.setup import Setup


class ChoiceControl(QWidget):
    """Buttons for the words that a key may be; None stands for "not given".

    step : its title in the words, and what undo calls a change by it.
    """

    def __init__(
        self,
        step: StepName,
        key: str,
        choices: tuple[tuple[str | None, str], ...],
        term: str,
        workbench: Workbench,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._workbench, self._key, self._step = workbench, key, step
        title = say(step.group, step.id)
        label = plain_label(title)
        label.setObjectName("name")
        row = QHBoxLayout()
        row.setSpacing(4)
        group = QButtonGroup(self)
        self.buttons: dict[str | None, QPushButton] = {}
        for value, word in choices:
            button = QPushButton(word)
            button.setCheckable(True)
            button.setToolTip(plain_hint(explained(term)))
            button.setAccessibleName(say("control", "named", name=title, word=word))
            group.addButton(button)
            self.buttons[value] = button
            row.addWidget(button)
        layout = bare_column(self, 2)
        layout.addWidget(label)
        layout.addLayout(row)
        layout.addStretch(1)
        group.buttonClicked.connect(self._clicked)
        workbench.setup_changed.connect(self.show_setup)
        self.show_setup(workbench.setup)

    def show_setup(self, setup: Setup) -> None:
        """Follow the setup."""
        self.buttons[setup.value(self._key)].setChecked(True)

    def _clicked(self, button: QPushButton) -> None:
        value = next(v for v, b in self.buttons.items() if b is button)
        setup = self._workbench.setup
        if value != setup.value(self._key):
            self._workbench.propose(setup.with_keys({self._key: value}), self._step)
        self.show_setup(self._workbench.setup)
