"""One hook for what nobody caught: the last step is put back, a sentence says so, details go to a log."""

from __future__ import annotations

import sys
from types import TracebackType

from app.kit.open_painters import end_painters
from app.state.workbench import Workbench


def install_hook(workbench: Workbench) -> None:
    """From now on an uncaught error in the window, a paint included, puts back the step that led to it."""

    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, error, trace)
            return
        end_painters(trace)
        workbench.put_back(error)

    sys.excepthook = hook
