"""The arguments of a command, read in the language that is spoken: help, refusals, and what Python's reader says."""

from __future__ import annotations

import argparse
from functools import lru_cache
from typing import Any, NoReturn

from app.commands.called import as_called
from core.base.errors import ChiparcError
from core.base.language import ENGLISH
from core.base.visible import LONGEST_FOUND, bounded
from core.base.words import own_words, say

LONGEST_MESSAGE = 400
"""Characters of a refusal of arguments."""


@lru_cache(maxsize=1)
def _ids() -> dict[str, str]:
    """The id in ``[arguments]`` of each sentence of Python's reader of arguments."""
    return {text: id for id, text in own_words(ENGLISH.id)["arguments"].items()}


def argparse_words(text: str) -> str:
    """A sentence of Python's reader of arguments in the language that is spoken; one that we do not know as it is."""
    id = _ids().get(text)
    return text if id is None else say("arguments", id)


# It asks gettext for each of its sentences under this name.  Gettext itself would need compiled catalogues, and would
# go by the language of the system in place of the one that is asked for.
vars(argparse)["_"] = argparse_words


class Arguments(argparse.ArgumentParser):
    """The reader of a command's arguments.  Wrong ones: one sentence on standard error, exit status 2."""

    def __init__(self, prog: str, *, description: str | None = None, **more: Any) -> None:
        super().__init__(prog, description=description and as_called(description), **more)

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and where to read more."""
        told = say("command", "see", prog=self.prog, message=bounded(message, LONGEST_MESSAGE))
        self.exit(2, f"{told}\n")


def number(text: str) -> float:
    """An argument that is a number.  Raises ArgumentTypeError, in words, for another."""
    try:
        return float(text)
    except ValueError:
        raise _not_taken(text, say("typed", "number")) from None


def whole_number(text: str) -> int:
    """An argument that is a whole number.  Raises ArgumentTypeError, in words, for another."""
    try:
        return int(text)
    except ValueError:
        raise _not_taken(text, say("command", "whole_number")) from None


def _not_taken(text: str, allowed: str) -> argparse.ArgumentTypeError:
    told = say("command", "not_taken", text=bounded(text, LONGEST_FOUND), allowed=allowed)
    return argparse.ArgumentTypeError(told)


def wrong_ending(option: str, ending: str, allowed: str) -> ChiparcError:
    """The refusal of a name whose ending is none that can be written."""
    return ChiparcError(option, say("command", "ending", ending=ending), allowed)


def standard_input() -> str:
    """What standard input is called where a file would be named."""
    return say("command", "standard_input")


def standard_output() -> str:
    """What standard output is called where a file would be named."""
    return say("command", "standard_output")


def metavar(id: str) -> str:
    """What stands in the help for the value of an option."""
    return say("metavar", id)


def add_materials(made: argparse.ArgumentParser, told: str) -> None:
    """The option for a file of own materials, with that help."""
    made.add_argument("--materials", metavar=metavar("file"), help=told)
