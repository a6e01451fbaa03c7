"""``python3 tests pictures``: makes the README's pictures anew, from today's window."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from core.base.places import ROOT

PICTURES: tuple[tuple[str, str, tuple[int, int], dict[str, Any]], ...] = (
    ("arc-light", "boss", (1280, 800), {"angle_deg": 132.0}),
    ("arc-pair", "boss", (1600, 900), {"angle_deg": 132.0, "pair": True, "theme": "dark"}),
    ("which-way", "slack-table", (1280, 800), {"angle_deg": 161.0, "why": True, "reason": "pull"}),
    ("arc-projector", "facing-cast-iron", (1280, 800), {"angle_deg": 75.0, "theme": "projector", "units": "inch"}),
)
"""Name, example, size, and the view of each picture of the Arc page."""

PAGES: tuple[tuple[str, str, str, tuple[int, int]], ...] = (
    ("chatter", "thin-wall-aluminium", "chatter", (1280, 800)),
    ("path-corner", "boss", "path", (1280, 800)),
)
"""Name, example, page and size of the pictures of other pages."""

WORK_MS = 20_000
"""A page that works beside the window is given this long."""


def main(argv: list[str]) -> int:
    """Make every picture; returns 0."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtCore import QEventLoop, QTimer
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QApplication

    from app.kit.fonts import load_fonts
    from core.documents.setup_examples import EXAMPLES
    from tests.app.windows import settle, window_on

    application = QApplication.instance() or QApplication(["pictures"])
    application.setStyle("Fusion")  # type: ignore[attr-defined]
    load_fonts()
    folder = ROOT / "assets" / "pictures"
    folder.mkdir(exist_ok=True)
    for name, id, size, view in PICTURES:
        setup = next(e for e in EXAMPLES if e.id == id).setup()
        with window_on(setup, size, **view) as window:
            window.arc.plan.clearFocus()
            settle()
            # What would lift a reason is looked for a little later, one change after another.
            for _ in range(40 if window.arc.shown.why else 0):
                QTest.qWait(50)
            _save(window, folder / f"{name}.png")
    for name, id, page, size in PAGES:
        with window_on(next(e for e in EXAMPLES if e.id == id).setup(), size) as window:
            window.turn_to(page)
            # An event loop of its own: the thread that works gets its turn while the loop waits.
            loop = QEventLoop()
            QTimer.singleShot(WORK_MS, loop.quit)
            loop.exec()
            _save(window, folder / f"{name}.png")
    return 0


def _save(window: Any, file: Path) -> None:
    window.grab().save(str(file))
    print(f"{file.relative_to(ROOT)}  {window.width()} x {window.height()}")
