"""The commands in German: every help and refusal, those of Python's reader of arguments too."""

from __future__ import annotations

import argparse
import ast
import inspect
import io
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from app.__main__ import first_word
from app.commands import COMMANDS, main
from core.base.language import ENGLISH, speak
from core.base.places import ROOT, shared
from core.base.words import own_words
from tests.commands.calling import HANGS_S, call
from tests.viewers.papers import papers

BOSS = str(shared("setups", "boss.toml"))
SLOTS = str(shared("calibration", "slots.csv"))

ENGLISH_WORDS = re.compile(
    r"\b(the|of|and|with|not|to|from|by|is|are|or|for|where|what|found|allowed|usage|options|arguments|show|exit"
    r"|file|setup|cut|teeth|number|see|one|missing|own|your)\b"
)
"""Words of any English help or refusal; none of them is a German word that the commands say."""

CODE = """
import contextlib, io, json, sys
from app.commands import main

told = []
for arguments in json.loads(sys.argv[1]):
    with contextlib.redirect_stdout(io.StringIO()) as out, contextlib.redirect_stderr(io.StringIO()) as err:
        status = main(arguments)
    told.append([status, out.getvalue() + err.getvalue()])
print(json.dumps(told))
"""

PARTS = ("list", "check", "worksheet", "compare", "motion")
HELPS = [["--help"], *([name, "--help"] for name in COMMANDS), *(["lesson", part, "--help"] for part in PARTS)]
HELPS.append(["x.toml", "--help"])


@pytest.fixture(autouse=True)
def _english_again() -> Iterator[None]:
    yield
    speak(ENGLISH.id)


def said(text: str) -> str:
    """A text without options, the names that they take, keys, files and the program's own name."""
    return re.sub(
        r"``?[^`]*``?|\{[^}]*\}|'[^']*'|--?[\w-]+|\S*[/.]\w+|\b\w+=\S+"
        r"|\b[a-z]+_\w+|\[\w+\]|python3 app(?: \w+)*|„[^“]*“"
        r"|\b(loop|chip|climb|conventional|straddling|worksheet|compare|check|list|motion|none)\b",
        " ",
        text,
    )


def test_every_help_is_german_in_a_process_of_its_own() -> None:
    asked = [["--language", "de", *words] for words in HELPS]
    done = subprocess.run(
        [sys.executable, "-c", CODE, json.dumps([*asked, ["report", "--no-such", "--language=de"]])],
        cwd=ROOT,
        env={**os.environ, "COLUMNS": "4000"},
        capture_output=True,
        text=True,
        timeout=HANGS_S,
    )
    assert done.returncode == 0, done.stderr
    *helps, (status, refused) = json.loads(done.stdout)
    assert status == 2 and refused.split(": ", 1)[1].startswith("unbekannte Argumente: --no-such; siehe ")
    for words, (status, text) in zip(HELPS, helps, strict=True):
        assert status == 0, words
        left = [line for line in text.splitlines() if ENGLISH_WORDS.search(said(line))]
        assert left == [], words
        assert "sagt mehr" in text if len(words) == 1 else text.startswith("Aufruf: "), words
        assert len(words) == 1 or "diese Hilfe zeigen und enden" in text, words


REFUSALS = [
    (["reprot"], "„reprot“, vielleicht gemeint: report; erlaubt: report, picture, calibrate, path, lesson oder ein"),
    (["frob"], "gefunden: „frob“; erlaubt: report, picture"),
    (["report"], "keine DATEI gefunden; erlaubt: ein oder mehrere Einrichtungsdokumente"),
    (["report", BOSS, "--units", "feet"], "Argument --units: gefunden: 'feet'; erlaubt: 'metric', 'inch'"),
    (["report", BOSS, "--json", "--text"], "nicht zusammen mit dem Argument --json"),
    (["report", BOSS, "--js"], "mehrdeutige Option: --js kann --json, --json-lines sein"),
    (["report", BOSS, "--json=3"], "nimmt keinen Wert, gefunden: '3'"),
    (["report", BOSS, "--csv"], "Argument --csv: ein Wert fehlt"),
    (["report", BOSS, "--csv", "x"], "kein --vary für die Tabelle gefunden"),
    (["report", BOSS, BOSS, "--vary", "teeth=2,3"], "gefunden: 2 Dateien neben --vary; erlaubt: eine"),
    (["report", BOSS, "--vary", "teeth=2,3"], "--vary: kein --csv DATEI gefunden"),
    (["report", "--keys", BOSS], "gefunden: DATEI neben --keys"),
    (["report", "-", "-"], "- mehr als einmal; erlaubt: die Standardeingabe"),
    (["picture", BOSS], "diese Argumente fehlen: --out"),
    (["picture", BOSS, "--out", "a.gif"], "gefunden: die Endung „.gif“; erlaubt: .png, .svg, .pdf"),
    (["picture", BOSS, "--out", "a.png", "--size", "9"], "Breite x Höhe von 640x560 bis 8000x8000"),
    (["picture", BOSS, "--out", "a.png", "--angle", "steil"], "gefunden: „steil“; erlaubt: eine Zahl"),
    (["picture", BOSS, "--out", "a.png", "--angle", "36000.5"], "gefunden: 36\N{NARROW NO-BREAK SPACE}000,5; "),
    (["picture", BOSS, "--out", "a.png", "--charts", "x"], "mit Kommas dazwischen, oder none"),
    (["calibrate", SLOTS], "--diameter: fehlt; erlaubt: ein Wert, oder ein Einrichtungsdokument"),
    (["calibrate", SLOTS, "--teeth", "vier"], "gefunden: „vier“; erlaubt: eine ganze Zahl"),
    (["calibrate", SLOTS, "--group", "P"], "ohne --material gefunden"),
    (["calibrate", SLOTS, "--material", "x"], "fehlt neben --material; erlaubt: P (Stahl)"),
    (["calibrate", SLOTS, "-"], "EINRICHTUNG: gefunden: „-“; erlaubt: der Name einer Datei"),
    (["path", "x", "--stock", "y", "--setup", "z", "--at", "a"], "erlaubt: Abstände in mm mit Kommas"),
    (
        ["path", "x", "--stock", "y", "--setup", "z", "--worst", "-1"],
        "Argument --worst: gefunden: -1; erlaubt: 0 oder",
    ),
    (["path", "x", "--stock", "y", "--setup", "z", "--at", "1", "--spacing", "1"], "erlaubt: eines davon"),
    (["lesson"], "diese Argumente fehlen: TEIL"),
    (["lesson", "frob"], "Argument TEIL: gefunden: 'frob'; erlaubt: 'list', 'check'"),
    (["lesson", "check"], "lesson check: diese Argumente fehlen: LEKTION; siehe "),
    (
        ["lesson", "worksheet", BOSS, "--out", "a.png"],
        "--out: gefunden: „a.png“; erlaubt: ein Name mit der Endung .pdf",
    ),
]


@pytest.mark.parametrize(
    ("arguments", "told"),
    REFUSALS,
    ids=[" ".join(words).replace(BOSS, "BOSS").replace(SLOTS, "SLOTS") for words, _ in REFUSALS],
)
def test_what_is_refused_is_refused_in_german(arguments: list[str], told: str) -> None:
    done = call(*arguments, "--language", "de")
    text = done.stderr.decode()
    assert (done.returncode, done.stdout) == (2, b"")
    assert told in text and len(text.splitlines()) == 1
    assert not ENGLISH_WORDS.search(said(text)), text


def test_rows_that_are_refused_are_counted_in_german() -> None:
    done = call("--language=de", "report", BOSS, "--vary", "radial_engagement_mm=5,20", "--csv", "-")
    assert done.returncode == 0
    assert done.stderr.decode() == "Standardausgabe: 1 von 2 Zeilen abgewiesen; die letzte Spalte sagt, warum\n"


NEVER_SAID = {
    "conflicting subparser: %s",
    "conflicting subparser alias: %s",
    'argument "-" with mode %r',
    "can't open '%(filename)s': %(error)s",
    "cannot merge actions - two groups are named %r",
    "'required' is an invalid argument for positionals",
    "invalid option string %(option)r: must start with a character %(prefix_chars)r",
    "dest= is required for options like %r",
    "invalid conflict_resolution value: %r",
    "mutually exclusive arguments must be optional",
    "cannot have multiple subparser arguments",
    "subcommands",
    "unexpected option string: %s",
    "%r is not callable",
    "invalid %(type)s value: %(value)r",
    "%(prog)s: error: %(message)s\n",
    ".__call__() not defined",
}
"""Of a mistake in the making of a reader, of files that it would open, of figures that are not read by ours."""


@pytest.mark.skipif(sys.version_info[:2] != (3, 11), reason="the sentences are those of Python 3.11")
def test_every_sentence_of_the_reader_of_arguments_is_known() -> None:
    calls = [node for node in ast.walk(ast.parse(inspect.getsource(argparse))) if isinstance(node, ast.Call)]
    texts = {
        ast.literal_eval(node.args[0])
        for node in calls
        if isinstance(node.func, ast.Name) and node.func.id == "_" and isinstance(node.args[0], ast.Constant)
    }
    assert texts - NEVER_SAID == set(own_words("en")["arguments"].values())


def test_without_a_language_commands_speak_english(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lesson", "check"]) == 2
    told = "lesson check: the following arguments are required: LESSON; see python3 app lesson check --help\n"
    assert capsys.readouterr().err.endswith(told)


@pytest.mark.usefixtures("window_app")
def test_an_example_that_is_named_by_its_file_is_titled_in_german(tmp_path: Path) -> None:
    file, own = tmp_path / "both.pdf", tmp_path / "own.toml"
    assert call("lesson", "compare", BOSS, "--out", file, "--language", "de").returncode == 0
    (page,) = papers(file)
    assert page.lines[0] == "Gleichlauf und Gegenlauf: Auge an einem Pumpenhalter"
    assert "Boss on" not in page.words
    own.write_bytes(Path(BOSS).read_bytes())
    titles = [
        call("report", name, "--brief", "--language", "de").stdout.decode().split("\n")[0] for name in (BOSS, own)
    ]
    assert titles == ["Auge an einem Pumpenhalter", "Boss on a pump bracket"]


def test_help_is_told_on_an_old_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    written = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(written, encoding="ascii"))
    assert main(["path", "--help", "--language", "de"]) == 0
    sys.stdout.flush()
    assert b"St?tzstellen" in written.getvalue()


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (["report", "--language", "de"], "report"),
        (["--language", "de", "report"], "report"),
        (["--language=de", "picture"], "picture"),
        (["--language"], ""),
        ([], ""),
    ],
)
def test_the_command_is_known_before_the_environment_is(arguments: list[str], word: str) -> None:
    assert first_word(arguments) == word
