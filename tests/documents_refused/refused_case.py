"""One refusal that can be called forth again, in any language."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass
from typing import Any

import pytest

from core.base.errors import ChiparcError, DocumentError, Fault


@dataclass(frozen=True)
class Refused:
    """A name, what the refusal may quote, and the reading; limits: names of constants and what they are meanwhile."""

    name: str
    quoted: str
    read: Callable[[], Any]
    limits: tuple[tuple[str, int], ...] = ()

    def faults(self) -> tuple[Fault, ...]:
        """Everything that it is refused for; empty where it is not refused."""
        with ExitStack() as stack:
            if self.limits:
                patch = stack.enter_context(pytest.MonkeyPatch.context())
                for name, value in self.limits:
                    patch.setattr(name, value)
            try:
                self.read()
            except DocumentError as error:
                return error.faults
            except ChiparcError as error:
                return (Fault(0, error.where, error.found, error.allowed),)
        return ()
