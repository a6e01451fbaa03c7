"""Every refusal of setups, materials, exponents of tool life, measured forces, lists and files.

A good document of each kind is spoilt at all of its statements in the same ways, and what other tests spoilt by hand
is taken along: together they call forth each sentence that the readers of documents have.
"""

from __future__ import annotations

import os
import re
import socket
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from core.base.file_bytes import load_bytes
from core.base.places import shared
from core.calibration.calibrated_blocks import NewMaterial, check_sense
from core.calibration.calibration import MeanForces, calibrate
from core.calibration.calibration_file import read_mean_forces
from core.documents.document_text import decoded
from core.documents.materials import load_materials, material, read_materials
from core.documents.setup_reading import read_setup
from core.documents.show_list import load_show_list, read_show_list
from core.documents.tool_life_tables import life_tables, read_life_tables
from core.force.many_cuts import many_cuts
from core.setup.setup import Machine
from core.setup.setup_limits import check_setup
from tests.core.advice.test_tool_life import FILE as LIFE_TABLES
from tests.core.calibration.test_calibration_file import REFUSED as REFUSED_FORCES
from tests.core.documents.test_all_faults import MATERIALS
from tests.core.documents.test_materials import FULL

from .refused_case import Refused
from .setups import ALL, GOOD

EVERY_KEY = re.sub(r"(?m) *#.*$", "", shared("every_key.toml").read_text("utf-8"))
"""A setup with every key, without its comments."""


VALUES = (
    *("-1e9", "1e400", "nan", '"x y"', "''", "true", "[1, [2]]", "['x']", "[{ a = 1 }]", "{ a = 1 }", "1979-05-27"),
    *("0.5", "{ value = 1e9, source = 'none', range = [2, 1] }", "{ value = 'x y', range = [1] }"),
)
"""What stands in place of every value: beyond its range, or of another type."""

_KEPT = r"(?!format\b|version\b|model\b)"
_STATEMENT = re.compile(rf"(?m)^{_KEPT}(\w+) = .*$")
_HEADER = re.compile(r"(?m)^(\[+)([\w.]+)(\]+)$")


def spoilt(text: str) -> Iterator[str]:
    """A good document with all of its values exchanged; its keys and tables misspelt, left out or of another form."""
    for value in VALUES:
        yield _STATEMENT.sub(lambda found, value=value: f"{found[1]} = {value}", text)  # type: ignore[misc]
    yield _STATEMENT.sub(lambda found: f"{found[1]}x = 1", text)
    yield _STATEMENT.sub(lambda found: f"{found[1][::-1]} = 1", text)
    yield _STATEMENT.sub("", text)
    for found in _HEADER.finditer(text):
        before, name, behind = text[: found.start()], found[2], text[found.end() :]
        other = f"[{name}]" if found[1] == "[[" else f"[[{name}]]"
        for header in (other, f"[{name}x]", f"[{name}\n", f"{name.split('.')[0]} = 1"):
            yield before + header + behind


def _read(kind: str, texts: Iterator[str], read: Callable[[str, str], Any]) -> Iterator[Refused]:
    for i, text in enumerate(texts):
        yield Refused(f"{kind} {i}", text, partial(read, text, "job.toml"))


def _setups() -> Iterator[Refused]:
    for case in ALL:
        text = case.text if isinstance(case.text, str) else case.text.decode("latin-1")
        yield Refused(f"setup {case.name}", text, partial(read_setup, case.text, "job.toml"))
    yield from _read("every key", spoilt(EVERY_KEY), read_setup)
    hand = (
        GOOD.replace("[work.force]", '[work]\nmaterial = " "\n[work.force]'),
        GOOD.replace("version = 1", "version = 9"),
        GOOD.replace("version = 1", "version = 0"),
        GOOD.replace('"chiparc setup"', '"chiparc lesson"'),
        GOOD.replace("[cut]", "[advice]\noff = ['pull', 'pull']\norder = [1]\n[cut]"),
        GOOD.replace("teeth = 4", "teeth = 4\ncorner_radius_mm = 1"),
        GOOD.replace("[work.force]", "[work.force]\nktc.a = 1\n[work.force.ktc]"),
        GOOD.replace('"Boss', '"' + 300 * "B"),
        *(GOOD.replace("= 12.0", f"= {value}") for value in ("\r5", "@", "2026-02-31", "'a\x01'")),
        *(GOOD.replace("teeth = 4", line) for line in ("= 4", "teeth. = 4", "a = { b = 1", "teeth = 4 5", "# a\rb")),
        f"dynamics = [0x{'f' * 9000}]\n" + GOOD[: GOOD.index("[[dynamics]]")],
    )
    yield from _read("by hand", iter(hand), read_setup)


def _tables() -> Iterator[Refused]:
    yield from _read("materials", spoilt(FULL), read_materials)
    hand = (
        MATERIALS,
        FULL + FULL[FULL.index("[[material]]") :],
        FULL[: FULL.index("condition")],
        FULL.replace("version = 1", "version = 2"),
        FULL.replace("value = false", "value = 0"),
        FULL.replace('"carbon steel"', '"karbon"'),
        FULL.replace("[0.05, 0.4]", "[0.4, 0.05]"),
        FULL.replace("value = 1425.0", f"value = 0x{'f' * 9000}"),
        FULL.replace("range = [0.05, 0.4]", "range = [0.05]"),
        FULL.replace('name = "C45E"', 'name = "C45E"\nalso = 5'),
    )
    yield from _read("materials by hand", iter(hand), read_materials)
    life = (
        LIFE_TABLES.replace("value = 3.2, range = [2.0, 5.0]", "value = 5.2, range = [2.0, 5.0]"),
        LIFE_TABLES.replace("value = 3.2, range = [2.0, 5.0]", "value = 3.2"),
        LIFE_TABLES.replace('edge = "carbide"', 'edge = "glass"', 1),
        LIFE_TABLES.replace('group = "K"', 'group = "P"', 1),
    )
    yield from _read("tool life", iter(life), read_life_tables)
    yield Refused("our exponents", "", life_tables)
    for name in ("Kaugummi", "42CrMi4", "X40CrMoV5-1"):
        yield Refused(f"material {name}", name, partial(material, name))


def _forces() -> Iterator[Refused]:
    marks = "feed_per_tooth_mm;mean_fx_n;mean_fy_n\n0.1;1;2\n0,2;3;4\n"
    yield Refused("forces with two marks", marks, partial(read_mean_forces, marks, "bad.csv"))
    for name, data, *_ in REFUSED_FORCES:
        text = data if isinstance(data, str) else data.decode("latin-1")
        # A heading is read in small letters, and its cells are told with blanks between.
        quoted = text + text.lower().replace(",", ", ")
        yield Refused(f"forces {name}", quoted, partial(read_mean_forces, data, "bad.csv", most_feed_mm=6.0))
    feed, setup = np.array([0.05, 0.1]), read_setup(GOOD, "job.toml")
    fit = calibrate(MeanForces(feed, np.outer(feed, [900.0, 900.0, 0.0])), setup)
    yield Refused("forces that pull", "", partial(check_sense, fit, "bad.csv"))
    for new in (("a\nb", "P", "k"), ("a", "Q", "k"), ("a", "P", " ")):
        yield Refused(f"new material {new}", "\n".join(new), partial(NewMaterial, *new))


def _figures() -> Iterator[Refused]:
    setup = read_setup(GOOD, "job.toml")
    for curve in ((), ((0.0, 1.0),), ((0.0, 1.0), (0.0, 2.0)), ((0.0, 1.0), (9.0, -1.0))):
        other = replace(setup, machine=Machine(speed_curve=curve))
        yield Refused(f"curve {curve}", "", partial(check_setup, other))
    yield Refused("many cuts", "", partial(many_cuts, setup, {"cutter.hand": 3.0}))
    for direction in ("climb", "conventional"):
        wrong = setup.with_keys({"cut.direction": direction, "cut.centre_offset_mm": 1.5})
        yield Refused(f"offset {direction}", "", partial(check_setup, wrong))
    yield Refused("no list", "", partial(check_setup, setup.with_keys({"show.strips": "chip"})))


def _files(folder: Path) -> Iterator[Refused]:
    os.mkfifo(folder / "pipe")
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind(str(folder / "socket"))
    (folder / "locked").touch(0o000)
    (folder / "large").write_bytes(b"#" * 2_500_001)
    long = "x" * 300
    quoted = f"{folder} {long}"
    for name in (".", "none", "a\0b", "pipe", "socket", "large", "/dev/null", "locked", long):
        yield Refused(f"file {name[:9]}", quoted, partial(load_bytes, str(folder / name), 2_500_000))
    for data in (b"a = 1\n\xff\xfe", b"\xff\xfea\0", b"a = 1\n\0", "a = 1\n\ud800", b"#" * 1_000_001):
        yield Refused(f"bytes {data[:9]!r}", "", partial(decoded, data, "job.toml"))
    (folder / "own.toml").write_bytes(b"a = 1\n\0")
    yield Refused("file of materials", "", partial(load_materials, folder / "own.toml"))
    (folder / "bad.toml").write_text(GOOD.replace("teeth = 4", "teeth = 0"), "utf-8")
    (folder / "big.toml").write_bytes(b"#" * 1_000_001)
    for text in ("boss\nbos\nbad.toml\nbig.toml\n", "# nothing\n"):
        (folder / "today.txt").write_text(text, "utf-8")
        yield Refused(f"list {text[:4]}", text, partial(read_show_list, text, folder / "today.txt"))
    yield Refused("list in a file", text, partial(load_show_list, folder / "today.txt"))


def setup_refusals(folder: Path) -> Iterator[Refused]:
    """All of them; ``folder`` is empty, and takes files that cannot be read."""
    for refusals in (_setups(), _tables(), _forces(), _figures(), _files(folder)):
        yield from refusals
