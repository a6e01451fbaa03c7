"""What nobody caught: details to a log beside the settings, one sentence for the person."""

from __future__ import annotations

import traceback
from datetime import datetime

from app.state.settings import settings_folder
from core.base.error_words import in_short
from core.base.errors import ChiparcError
from core.base.refused import system_reason
from core.base.words import say

LARGEST_LOG = 2_000_000
"""Bytes of the log at which it is begun anew; the one before is kept."""


def log_error(error: BaseException) -> str:
    """Write the trace to the log; returns the file's name, or why it could not be written."""
    try:
        folder = settings_folder()
        folder.mkdir(parents=True, exist_ok=True)
        file = folder / "errors.log"
        if file.exists() and file.stat().st_size > LARGEST_LOG:
            file.replace(file.with_suffix(".before.log"))
        with open(file, "a", encoding="utf-8") as log:
            log.write(f"{datetime.now().isoformat(timespec='seconds')}\n")
            log.writelines(traceback.format_exception(error))
        return str(file)
    except OSError as reason:
        return say("window", "nowhere", why=system_reason(reason))


def refusal_words(error: object) -> str:
    """Why what was asked for, such as a file, was refused; what nobody expected is logged."""
    if isinstance(error, ChiparcError):
        return in_short(error)
    assert isinstance(error, BaseException), "what was raised"
    return failure_words(error)


def failure_words(error: BaseException, *, put_back: bool = False) -> str:
    """Log the error and say so in a sentence; ``put_back``: the last step was."""
    return say("window", "put_back" if put_back else "failure", kind=type(error).__name__, place=log_error(error))
