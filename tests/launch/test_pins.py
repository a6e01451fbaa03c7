"""``python3 tests pins`` writes down every wheel that some computer may take, as the index lists it."""

from __future__ import annotations

from pathlib import Path

import pytest

from shared import launcher
from shared.launching.pin_hashes import hash_file, hashes_in
from tests.launch.checkout import Checkout, hash_of
from tests.pins import hashes_of, suits


def index_of(folder: Path, files: list[Path]) -> str:
    """The address of an index in a folder that lists those files, each with its hash."""
    pages: dict[str, str] = {}
    for file in files:
        link = f'<a href="{file.as_uri()}#{hash_of(file).replace(":", "=")}">{file.name}</a>\n'
        name = file.name.split("-")[0]
        pages[name] = pages.get(name, "") + link
    for name, links in pages.items():
        (folder / name).mkdir(parents=True)
        (folder / name / "index.html").write_text(f"<!DOCTYPE html><html><body>{links}</body></html>")
    return folder.as_uri()


def test_the_hashes_of_every_wheel_are_written_down(checkout: Checkout, tmp_path: Path) -> None:
    """Of the pinned version alone, no source, none for a Python too old."""
    checkout.pin("1.0")
    files = [tmp_path / name for name in ("tinypin-1.0-cp313-cp313-win_amd64.whl", "tinypin-1.0.tar.gz")]
    files += [tmp_path / "tinypin-1.0-cp310-cp310-win_amd64.whl"]
    for file in files:
        file.write_text(file.name)
    index = index_of(tmp_path / "simple", [*files, *sorted(checkout.wheels.iterdir())])
    program, tests = (hash_file(str(checkout.root), extra) for extra in ("", "tests"))
    for path in (program, tests):
        Path(path).write_text("")
    command = checkout.command("pins", part="tests")
    done = checkout.start(command=command, PIP_NO_INDEX="", PIP_FIND_LINKS="", PIP_INDEX_URL=index)
    assert (done.returncode, done.stderr) == (0, "")
    listed = {pin: [digest] for pin, digest in checkout.hashes.items()}
    assert hashes_in(program) == {"tinypin==1.0": sorted([*listed["tinypin==1.0"], hash_of(files[0])])}
    assert hashes_in(tests) == {"tinyextra==2.0": listed["tinyextra==2.0"]}


@pytest.mark.parametrize(
    ("wheel", "fits"),
    [
        ("a-1-py3-none-any.whl", True),
        ("a-1-py2.py3-none-any.whl", True),
        ("a-1-2-cp311-cp311-manylinux_2_17_x86_64.manylinux2014_x86_64.whl", True),
        ("a-1-cp39-abi3-macosx_10_14_universal2.whl", True),
        ("a-1-py3-none-win_arm64.whl", True),
        ("a-1-cp314-cp314t-musllinux_1_2_aarch64.whl", True),
        ("a-1-cp310-cp310-win_amd64.whl", False),
        ("a-1-py2-none-any.whl", False),
        ("a-1-pp311-pypy311_pp73-win_amd64.whl", False),
        ("a-1-cp313-cp313-ios_13_0_arm64_iphoneos.whl", False),
    ],
)
def test_a_wheel_counts_where_some_desktop_computer_takes_it(wheel: str, fits: bool) -> None:
    assert suits(wheel) is fits


def test_a_pin_that_the_index_does_not_list_is_told() -> None:
    listed = [["a_b-1.0-py3-none-any.whl", "sha256", "00"], ["a_b-1.1-py3-none-any.whl", "md5", "00"]]
    assert hashes_of(listed, "A.b==1.0") == ["sha256:00"]
    with pytest.raises(launcher.CannotPrepare, match=r"no wheel of A.b==1\.1 with a sha256"):
        hashes_of(listed, "A.b==1.1")
