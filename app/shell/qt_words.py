"""Words that Qt itself puts into a window: names of keys beside menu entries, buttons of its own dialogs."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QLibraryInfo, QTranslator

from core.base.language import ENGLISH

NAME = "qt_words"
"""Name of the translator that hangs on the application."""


def let_qt_speak(id: str) -> None:
    """Qt's own words in a language too, from the translations that come with it; what it lacks stays English."""
    application = QCoreApplication.instance()
    if application is None:
        raise RuntimeError("the language of Qt's words is chosen once there is an application")
    before = application.findChild(QTranslator, NAME)
    if (before.language().partition("_")[0] if before is not None else ENGLISH.id) == id:
        return
    if before is not None:
        application.removeTranslator(before)
        before.setParent(None)
        before.deleteLater()
    if id == ENGLISH.id:
        return
    translator = QTranslator(application)
    translator.setObjectName(NAME)
    if translator.load(f"qtbase_{id}", QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)):
        application.installTranslator(translator)
    else:
        translator.setParent(None)
        translator.deleteLater()
