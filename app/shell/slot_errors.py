"""One hook for what nobody caught: a sentence for the person, the document kept, the rest in a log file."""

from __future__ import annotations

import sys
import traceback
from datetime import datetime
from types import TracebackType

from app.state.settings import settings_folder
from app.state.workbench import Workbench


def log_error(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> str:
    """Write the trace to the log beside the settings; returns the file's name, or why it could not be written."""
    try:
        folder = settings_folder()
        folder.mkdir(parents=True, exist_ok=True)
        file = folder / "errors.log"
        with open(file, "a", encoding="utf-8") as log:
            log.write(f"{datetime.now().isoformat(timespec='seconds')}\n")
            log.writelines(traceback.format_exception(kind, error, trace))
        return str(file)
    except OSError as reason:
        return f"nowhere ({reason.strerror})"


def install_hook(workbench: Workbench) -> None:
    """From now on an uncaught error in the window is told in the sentence bar."""

    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, error, trace)
            return
        place = log_error(kind, error, trace)
        workbench.refused.emit(f"something went wrong inside the program ({kind.__name__}); details are in {place}")

    sys.excepthook = hook
