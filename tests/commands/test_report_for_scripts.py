"""``report`` for scripts: JSON lines, refusals by file, the keys, tables over a figure."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import jsonschema
import pytest

from core.base.places import shared
from core.documents.setup_document import load_setup
from core.report.report import report
from core.report.schema import report_keys, schema
from tests.commands.calling import call
from tests.commands.test_report_command import BOSS, LEFT

SCHEMA = jsonschema.Draft202012Validator(schema())


def bad_file(folder: Path) -> Path:
    """A document with three faults."""
    bad = folder / "bad.toml"
    text = BOSS.read_text("utf-8").replace("teeth = 4", "teeth = 4.5").replace("feed_per_tooth_mm", "feed_mm")
    bad.write_text(text, "utf-8")
    return bad


def test_json_lines_are_an_object_a_line_for_each_file(tmp_path: Path) -> None:
    bad = bad_file(tmp_path)
    done = call("report", str(BOSS), str(bad), str(LEFT), "--json-lines")
    assert done.returncode == 2 and str(bad) in done.stderr.decode()
    found = [json.loads(line) for line in done.stdout.decode().splitlines()]
    assert [entry["file"] for entry in found] == [str(BOSS), str(bad), str(LEFT)]
    for entry in found:
        SCHEMA.validate(entry)
    keys = [fault["key"] for fault in found[1]["error"]]
    assert "cutter.teeth" in keys and "cut.feed_mm" in keys and all(fault["line"] for fault in found[1]["error"])
    assert "setup" in found[0] and b"\n " not in done.stdout


def test_all_documents_in_one_array_keep_to_the_schema_and_are_found_by_name(tmp_path: Path) -> None:
    files = sorted(str(f) for f in shared("setups").glob("*.toml"))
    done = call("report", *files[:4], str(bad_file(tmp_path)), *files[4:], "--json")
    found = json.loads(done.stdout)
    SCHEMA.validate(found)
    assert done.returncode == 2 and [e["file"] for e in found if "error" in e] == [str(tmp_path / "bad.toml")]
    assert [e["file"] for e in found if "error" not in e] == files


def test_a_single_refused_file_alone_is_told_on_a_line_too(tmp_path: Path) -> None:
    done = call("report", str(bad_file(tmp_path)), "--json-lines")
    assert done.returncode == 2 and len(json.loads(done.stdout)["error"]) >= 2


def test_the_keys_are_listed_for_a_reader_and_as_data() -> None:
    page, data = call("report", "--keys"), call("report", "--keys", "--json")
    assert (page.returncode, page.stderr, data.returncode) == (0, b"", 0)
    assert "wall.error_mm  [mm]" in page.stdout.decode()
    assert [entry["key"] for entry in json.loads(data.stdout)] == list(report_keys())


def table(text: str) -> list[dict[str, str]]:
    """The rows of a CSV text by their heads."""
    return list(csv.DictReader(io.StringIO(text)))


def test_a_table_goes_to_a_file_or_to_standard_output(tmp_path: Path) -> None:
    out = tmp_path / "widths.csv"
    asked = ("report", str(BOSS), "--vary", "radial_engagement_mm=0.5:6:0.5")
    done = call(*asked, "--csv", str(out))
    assert (done.returncode, done.stdout, done.stderr) == (0, b"", b"")
    rows = table(out.read_text("utf-8"))
    assert [float(r["cut.radial_engagement_mm"]) for r in rows] == [0.5 * i for i in range(1, 13)]
    third = report(load_setup(str(BOSS)).with_values(cut__radial_engagement_mm=1.5))
    assert float(rows[2]["force.power_kw"]) == pytest.approx(third["force"]["power_kw"], rel=1e-6)
    assert float(rows[2]["engagement.entry_deg"]) == pytest.approx(third["engagement"]["entry_deg"], rel=1e-8)
    shown = call(*asked, "--csv", "-")
    assert shown.stdout.decode() == out.read_text("utf-8")


def test_a_table_over_two_figures_with_chosen_columns_and_refused_rows() -> None:
    done = call(
        *("report", str(BOSS), "--vary", "radial_engagement_mm=11:13:1", "--vary", "cutter.teeth=2,4"),
        *("--columns", "wall.error_mm,engagement.entry_clock", "--csv", "-"),
    )
    rows = table(done.stdout.decode())
    assert done.returncode == 0 and "refused 4 of 6 rows" in done.stderr.decode()
    heads = ["cut.radial_engagement_mm", "cutter.teeth", "wall.error_mm", "engagement.entry_clock", "refused"]
    assert list(rows[0]) == heads and rows[0]["engagement.entry_clock"] and rows[0]["refused"] == ""
    assert rows[5]["wall.error_mm"] == "" and "allowed" in rows[5]["refused"]
    every = call("report", str(BOSS), "--vary", "radial_engagement_mm=20,30", "--csv", "-")
    assert every.returncode == 2 and len(table(every.stdout.decode())) == 2


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ((), "no FILE"),
        ((str(BOSS), "--keys"), "beside --keys"),
        ((str(BOSS), "--csv", "-"), "no --vary"),
        ((str(BOSS), "--vary", "teeth=2"), "--csv FILE"),
        ((str(BOSS), str(LEFT), "--vary", "teeth=2", "--csv", "-"), "2 files beside --vary"),
        ((str(BOSS), "--vary", "teth=2", "--csv", "-"), "perhaps teeth"),
        ((str(BOSS), "--vary", "teeth=2", "--columns", "chip.thining", "--csv", "-"), "perhaps chip.thinning"),
        ((str(BOSS), *("--vary", "teeth=2") * 3, "--csv", "-"), "found 3 figures"),
        ((str(BOSS), "--vary", "teeth=2", "--csv", "/nowhere/at/all.csv"), "all.csv"),
    ],
)
def test_what_cannot_be_asked_is_one_line(arguments: tuple[str, ...], told: str) -> None:
    done = call("report", *arguments)
    assert (done.returncode, done.stdout) == (2, b"")
    assert told in done.stderr.decode() and b"Traceback" not in done.stderr
