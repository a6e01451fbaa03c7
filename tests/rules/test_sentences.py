"""What a person reads stands in ``shared/words``: no sentence, label or refusal is written in the code.

The sources are read, not run.  A text is looked at as it is written, fields of an f-string as ``{}``; docstrings,
comments, what a programmer is told (``ValueError`` and its like, ``assert``) and style sheets are none for a person.
"""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.rules.test_house import ROOT, named, nodes_of, sources

WORDS_IN_A_ROW = re.compile(r"(?<![\w./\[<-])[A-Za-z][a-z]+,? [a-z]{2,}(?![\w/.=\]-])")
"""Two words, the second in small letters: a sentence or a part of one."""

BESIDE_A_FIELD = re.compile(r"""(?:^|\s)[a-z]{3,}[:,]?\s+["'„“(]?\{\}|\{\}["'”“)]?[:,]?\s+[a-z]{3,}(?:\s|$|[.,;:])""")
"""A word beside a field, such as ``found "{}"``."""

ANY_WORD = re.compile(r"(?<![\w.{%<$/-])[A-Za-z]{2,}(?![\w.(=-])")
"""A word at all, but for keys, options, files and tags."""

FOR_PROGRAMMERS = {
    *("ValueError", "TypeError", "AssertionError", "KeyError", "RuntimeError", "NotImplementedError", "IndexError"),
    *("warn", "getLogger"),
}

NAMES = re.compile(r"\b([Cc]hiparc|Hz|h min)\b")
"""The program, a unit, a symbol: the same in every language."""

REFUSALS = re.compile(
    r"ChiparcError|DocumentError|of_file|Fault|refuse(_(value|type|form|cell))?|note|ArgumentTypeError"
)
"""What raises or notes a refusal: its last two arguments are what was found and what is allowed, one alone an id."""

LABELS = re.compile(
    r"Q(Label|PushButton|ToolButton|Action|CheckBox|RadioButton|GroupBox|Menu|MessageBox|ListWidgetItem"
    r"|TableWidgetItem|StandardItem)|plain_label|button_text|set(Text|ToolTip|Title|PlaceholderText|AccessibleName"
    r"|AccessibleDescription|StatusTip|WhatsThis|PlainText|Html|HeaderLabels|HorizontalHeaderLabels)|addAction"
    r"|addMenu|addTab|addItem|addItems|show_(done|failed|problem)|error"
)
"""What puts words on a widget, or says them."""

TOLD_BY_NAME = {"help", "description", "epilog", "title", "text", "hint", "found", "allowed", "label", "sentence"}
"""Keyword arguments and variables that hold words for a person, wherever they go."""

VALUES = {
    "setup": {"ball screw", "which way", "carbon steel"},
    "report": {"no limit", "no modes", "no coefficients", "leaves stock", "slides in"},
    "entry": {"edge first", "whole face", "face first"},
    "ladder": {"not known", "not clear", "not asked"},
    "changes": {"spring pass"},
}
"""Values that keys have: compared and written to files as they are, told by templates of their own."""

EXCEPTIONS: dict[str, tuple[str, str]] = {
    "core/documents/toml_errors.py": (
        r"Invalid|Expected|Unclosed|Illegal|end of document",
        "sentences of Python's reader of TOML, looked for in what it says",
    ),
    "core/documents/thermal_laws.py": (r"\(from memory\)$", "where a law is from, for who keeps the file"),
    "core/documents/material_names.py": (r"^cast aluminium$", "a family of names, told to nobody"),
    "core/chatter/frequency_response.py": (r"^(real|imaginary) part$", "what others head their columns with"),
    "app/__main__.py": (r"^needs system libraries", "said before there is an environment that could read the words"),
}
"""File -> pattern of its texts that may stand there, and why."""

OPEN: frozenset[str] = frozenset()
"""Packages that still hold sentences; none may come back."""


class Told(NamedTuple):
    """A text in a file that looks as if a person read it."""

    line: int
    text: str


def _name(call: ast.Call) -> str:
    return call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")


def _text(node: ast.AST) -> str | None:
    if isinstance(node, ast.JoinedStr):
        return "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values)
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else None


def _not_told(nodes: Sequence[ast.AST]) -> set[ast.AST]:
    """Docstrings, what programmers are told, and the pieces of an f-string, which is looked at whole."""
    found: set[ast.AST] = set()
    for node in nodes:
        if isinstance(node, ast.Expr):
            found.add(node.value)
        elif isinstance(node, ast.JoinedStr):
            found.update(part for part in node.values if isinstance(part, ast.Constant))
        elif isinstance(node, ast.Assert) and node.msg is not None:
            found.update(ast.walk(node.msg))
        elif isinstance(node, ast.Call) and _name(node) in FOR_PROGRAMMERS:
            found.update(each for argument in node.args for each in ast.walk(argument))
    return found - {node for node in found if isinstance(node, ast.Call)}


def _written_here(node: ast.AST) -> Iterator[tuple[int, str]]:
    """The texts that an argument is made of, but for those that go through another call."""
    text = _text(node)
    if text is not None:
        yield node.lineno, text  # type: ignore[attr-defined]
    elif not isinstance(node, ast.Call | ast.Compare | ast.Subscript | ast.Lambda):
        for child in ast.iter_child_nodes(node):
            yield from _written_here(child)


def _words_for_a_person(node: ast.AST) -> Iterator[ast.AST]:
    """What a call, or an assignment, tells a person."""
    if isinstance(node, ast.Call):
        name = _name(node)
        if REFUSALS.fullmatch(name):
            starred = any(isinstance(each, ast.Starred) for each in node.args)
            if starred or len(node.args) > 1 or name[0].isupper():
                yield from node.args[-1 if starred or name.startswith("refuse_") else -2 :]
        elif LABELS.fullmatch(name):
            yield from node.args
        yield from (each.value for each in node.keywords if each.arg in TOLD_BY_NAME)
    elif isinstance(node, ast.Assign):
        names = {each.id for target in node.targets for each in ast.walk(target) if isinstance(each, ast.Name)}
        if names & {"found", "allowed"}:
            yield node.value


def told_in(nodes: Sequence[ast.AST]) -> set[Told]:
    """Every text of a source that looks as if a person read it."""
    apart, found = _not_told(nodes), set()
    for node in nodes:
        text = None if node in apart else _text(node)
        plain = NAMES.sub("", text) if text and " " in text else ""
        if text and (WORDS_IN_A_ROW.search(plain) or BESIDE_A_FIELD.search(plain)):
            found.add(Told(node.lineno, text))  # type: ignore[attr-defined]
        for part in _words_for_a_person(node):
            written = ((line, each) for line, each in _written_here(part) if ANY_WORD.search(NAMES.sub("", each)))
            found.update(Told(line, each) for line, each in written)
    return found


PHRASES = {
    text
    for table in tomllib.loads((ROOT / "shared" / "phrases.de.toml").read_text("utf-8")).values()
    for text in table
}
"""English of data files that other languages have by the text itself."""


def may_stand(file: str, text: str) -> bool:
    """Whether there is a reason for a text."""
    style = "{" in text and ";" in text and ":" in text
    markup = re.fullmatch(r"(<[^>]*>|\{\}|\s|&nbsp;)*", text) is not None
    kept = file in EXCEPTIONS and re.search(EXCEPTIONS[file][0], text) is not None
    format_name = re.fullmatch(r"chiparc [a-z ]+", text) is not None
    value = any(text in values for values in VALUES.values())
    return style or markup or kept or format_name or value or text in PHRASES


def package(path: Path) -> str:
    """The package that a source belongs to, such as ``core.cut``."""
    return ".".join(path.relative_to(ROOT).parts[:2]).removesuffix(".py")


IN_CODE = [path for path in (*sources("app"), *sources("core")) if package(path) not in OPEN]


@cache
def told_by(path: Path) -> set[Told]:
    """The texts of a source file, looked for once."""
    return told_in(nodes_of(path))


@pytest.mark.parametrize("name", sorted(set(map(package, IN_CODE))))
def test_no_sentence_stands_in_the_code(name: str) -> None:
    files = {named(path): told_by(path) for path in IN_CODE if package(path) == name}
    left = {(file, *each) for file, told in files.items() for each in told if not may_stand(file, each.text)}
    assert left == set(), "give them an id in shared/words/en.toml and de.toml"


def test_every_exception_is_needed() -> None:
    for file, (pattern, _) in EXCEPTIONS.items():
        assert any(re.search(pattern, each.text) for each in told_by(ROOT / file)), file
    every = {each.text for path in IN_CODE for each in told_by(path)}
    assert {text for values in VALUES.values() for text in values} - every == set()


@pytest.mark.parametrize(
    "source",
    [
        "raise ChiparcError('--x', f'found \"{x}\"', allowed)",
        "raise ChiparcError('--x', 'missing', allowed)",
        "raise ChiparcError('--x', found, 'a number')",
        "raise ChiparcError('--x', found, 'one' if few else many)",
        "raise DocumentError(file, 0, 'key', 'nothing', allowed)",
        "raise DocumentError.of_file(file, 'nothing', allowed)",
        "self.refuse(path, 'missing', allowed)",
        "self.refuse_value(path, value, 'a number')",
        "raise table.refuse(row, 'time', 'too late', allowed)",
        "found = f'{n} files'",
        "allowed = 'numbers'",
        "label = QLabel('Save')",
        "button.setToolTip(f'Save {name}')",
        "made.add_argument('--x', help='a number')",
        "text = 'the table is pulled'",
        "text = 'Nothing was found'",
        "return f'refused {count} of {all}'",
        "parts.append('at ' + f'{n} degrees')",
        "TOLD = {'a': 'one more word'}",
        "self.sentence.show_done('Saved')",
    ],
)
def test_a_sentence_in_the_code_is_found(source: str) -> None:
    assert [each for each in told_in(list(ast.walk(ast.parse(source)))) if not may_stand("app/x.py", each.text)]


@pytest.mark.parametrize(
    "source",
    [
        "'''A docstring that says much.'''",
        "x = 1\n'''What x is for.'''",
        "raise ValueError('two numbers are wanted')",
        "assert x, 'there is a lesson under way'",
        "raise ChiparcError('cut.direction', say('typed', 'found', text=x), '.png, .svg, .pdf')",
        "raise table.refuse(row, 'time', *refused('tap_refused', 'step', step=x))",
        "label = QLabel(say('files', 'save'))",
        "made.add_argument('--x', help=tell('x'), choices=('light', 'dark'))",
        "view.set('moves', 'work')",
        "style = f'QLabel#title {{ font-weight: {w}; color: {c}; }}'",
        "found = say('together', 'found', value=value)",
        "found = _FOUND.get('kind')",
        "key = f'cut.{name}_mm'",
    ],
)
def test_what_nobody_reads_may_stand(source: str) -> None:
    assert [each for each in told_in(list(ast.walk(ast.parse(source)))) if not may_stand("app/x.py", each.text)] == []
