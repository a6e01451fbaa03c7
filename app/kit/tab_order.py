"""The way of the Tab key through what is made after its window was."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget


def tab_through(panel: QWidget, after: QWidget | None = None) -> None:
    """The Tab key goes through a panel where it stands; what was put into it later would else come last of all.

    after : what the panel itself comes after, where it was made later too.  Of panels in one place only one may be
    seen: each comes before those that were filled earlier.
    """
    chain = [panel]
    while (widget := chain[-1].nextInFocusChain()) is not None and widget is not panel:
        chain.append(widget)
    stops = [w for w in chain if w.focusPolicy() & Qt.FocusPolicy.TabFocus]
    inside = [w for w in stops if panel.isAncestorOf(w)]
    if after is not None:
        end = max(i for i, w in enumerate(chain) if w is after or after.isAncestorOf(w))
        # The chain is a ring: it may begin anywhere.
        chain = chain[end + 1 :] + chain[: end + 1]
        stops = [w for w in chain if w in stops]
    before = next((w for w in reversed(stops) if w not in inside), None)
    for widget in inside:
        if before is not None:
            QWidget.setTabOrder(before, widget)
        before = widget
