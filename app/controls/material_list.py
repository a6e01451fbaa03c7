"""The list of work materials, which can be searched: any designation that a person knows the material by.

EN number, name, AISI, UNS or an old name, in any spelling.  What is typed lists what contains it; Enter takes the
material that the text names, and says so where it names several or none.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QStringListModel, Qt, Signal
from PySide6.QtWidgets import QComboBox, QCompleter, QLineEdit

from app.kit.still_list import StillList
from core.base.visible import visible
from core.base.words import phrase, say
from core.documents.materials import GROUPS, Catalogue, Material

ARROW = "  \N{RIGHTWARDS ARROW}  "
"""Between another designation and the name of the material that it means."""


def entry_words(entry: Material, own: bool) -> str:
    """A material as the list tells it: name, group and kind, and the condition that its figures hold for."""
    told = [phrase(text) for text in (GROUPS[entry.group], entry.kind, entry.condition) if text]
    words = ", ".join(told)
    return visible(f"{entry.name}   {say('control', 'own_entry', entry=words) if own else words}")


def designations(materials: Catalogue) -> list[str]:
    """Everything that a material is called, each with the name that it stands for."""
    found = []
    for entry in materials.materials:
        found.append(visible(entry.name))
        found += [visible(f"{other}{ARROW}{entry.name}") for other in entry.also]
    return found


class MaterialList(StillList):
    """A drop-down list of materials in which one can type; ``searched`` carries what was entered."""

    searched = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setEditable(True)
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self._names = QStringListModel(self)
        completer = QCompleter(self._names, self)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setMaxVisibleItems(12)
        self.setCompleter(completer)
        self._listed = completer.popup()
        # What is picked of the list below, by click or Enter, is entered like what is typed.
        completer.activated.connect(self.searched)
        line = self.lineEdit()
        assert isinstance(line, QLineEdit)
        self.line = line
        line.setAccessibleName(say("control", "material_search"))
        line.setPlaceholderText(say("control", "material_search"))
        line.returnPressed.connect(self._entered)
        line.installEventFilter(self)

    def offer(self, materials: Catalogue) -> None:
        """What can be typed."""
        self._names.setStringList(designations(materials))

    def put_back(self) -> None:
        """Show the material that is chosen, whatever was typed."""
        self.setEditText(self.itemText(self.currentIndex()))
        self.line.setCursorPosition(0)

    def _entered(self) -> None:
        if self.line.text() != self.itemText(self.currentIndex()):
            self.searched.emit(self.line.text())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Who comes types over what stands there; who leaves without Enter changes nothing."""
        if (
            watched is self.line
            and event.type() == QEvent.Type.FocusOut
            and not (self._listed is not None and self._listed.isVisible())
        ):
            self.put_back()
        return super().eventFilter(watched, event)
