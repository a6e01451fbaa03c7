"""Menus and keys of the window, made from the commands of the shell and of the page on top."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu

from app.pages.page import Action, Page
from app.shell.actions import MENUS
from core.base.words import say

PAGE_PLACE = {"View": "pair", "File": "copy_report"}
"""After which command of the shell a page's own stand in a menu; else they stand first."""


class Command(QAction):
    """A QAction that does what an :class:`Action` says.

    It holds the callable itself.  A lambda given to the signal would be held by Qt, out of sight of the collector,
    and with it the window for as long as the program runs.
    """

    def __init__(self, action: Action, parent: QObject) -> None:
        super().__init__(action.word, parent)
        self._do = action.do
        self.triggered.connect(self._run)

    def _run(self, _: bool = False) -> None:
        if self._do is not None:
            self._do()


class Menus(QObject):
    """Keeps one QAction for each command by id; those of a page are there only while it is on top."""

    def __init__(self, window: QMainWindow, shell: tuple[Action, ...]) -> None:
        super().__init__(window)
        self._window = window
        self.by_id: dict[str, QAction] = {}
        self.groups: dict[str, QMenu] = {}
        self._is_on: dict[str, Callable[[], bool]] = {}
        self._of_page: list[tuple[QMenu, QAction]] = []
        self._page_ids: list[str] = []
        self.menus = {name: window.menuBar().addMenu(f"&{say('menu', name.lower())}") for name in MENUS}
        self._shell_groups: dict[str, QMenu] = {}
        for action in shell:
            menu = self.menus[action.menu]
            if action.group:
                if action.group not in self._shell_groups:
                    self._shell_groups[action.group] = menu.addMenu(action.group)
                menu = self._shell_groups[action.group]
            menu.addAction(self._made(action))
        self.refresh()

    def _made(self, action: Action) -> QAction:
        made = Command(action, self._window)
        made.setShortcuts([QKeySequence(key) for key in action.keys])
        made.setStatusTip(action.hint)
        if action.is_on is not None:
            made.setCheckable(True)
            self._is_on[action.id] = action.is_on
        made.setEnabled(action.do is not None)
        self._window.addAction(made)
        self.by_id[action.id] = made
        return made

    def show_page(self, page: Page) -> None:
        """The page's commands take the place of those of the page before."""
        for menu, old in self._of_page:
            menu.removeAction(old)
            self._window.removeAction(old)
        for id in self._page_ids:
            self._window.removeAction(self.by_id[id])
            self.by_id.pop(id).deleteLater()
            self._is_on.pop(id, None)
        for group in self.groups.values():
            group.deleteLater()
        self.groups, self._of_page, self._page_ids = {}, [], []
        for name, menu in self.menus.items():
            self._fill(menu, [action for action in page.actions() if action.menu == name])
            menu.menuAction().setVisible(bool(menu.actions()))
        self.refresh()

    def _fill(self, menu: QMenu, actions: list[Action]) -> None:
        """A page's commands into one menu, each group as a submenu where its first command stands."""
        name = next(n for n, m in self.menus.items() if m is menu)
        present = menu.actions()
        after = self.by_id.get(PAGE_PLACE.get(name, ""))
        place = present.index(after) + 1 if after in present else 0
        before = present[place] if place < len(present) else None

        def put(action: QAction) -> None:
            menu.insertAction(before, action) if before is not None else menu.addAction(action)
            self._of_page.append((menu, action))

        for action in actions:
            if not action.group:
                put(self._made(action))
                self._page_ids.append(action.id)
                continue
            if action.group not in self.groups:
                self.groups[action.group] = QMenu(action.group, self._window)
                put(self.groups[action.group].menuAction())
            if action.word:
                self.groups[action.group].addAction(self._made(action))
                self._page_ids.append(action.id)
            else:
                self.groups[action.group].addSeparator()

    def refresh(self) -> None:
        """Every switch as it is now."""
        for id, is_on in self._is_on.items():
            self.by_id[id].setChecked(is_on())
