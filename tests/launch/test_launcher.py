"""The launcher through real processes: makes, keeps, mends and shares the environment of a small checkout."""

from __future__ import annotations

import ast
import os
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from shared import launcher
from shared.launching.places import interpreter
from tests.launch.checkout import ROOT, Checkout

ASK_VERSION = "import sys; sys.stdout.write(sys.version)"


def pair_of_starts(checkout: Checkout) -> list[subprocess.Popen[str]]:
    """Two starts in the same instant."""
    return [
        subprocess.Popen(
            checkout.command("one", "two words"),
            cwd=checkout.elsewhere,
            env=checkout.env,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _ in range(2)
    ]


@pytest.fixture(scope="module")
def checkout(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Checkout]:
    """Made by two starts at once, one of which makes it while the other waits."""
    made = Checkout(tmp_path_factory.mktemp("launch"))
    pair = pair_of_starts(made)
    said = [p.communicate(timeout=240) for p in pair]
    assert [p.returncode for p in pair] == [5, 5], said
    assert [out for out, _ in said] == ["answer 1.0 ['report', 'one', 'two words']\n"] * 2
    assert sum("making its environment in .venv" in err and "tinypin" in err for _, err in said) == 1
    yield made


def test_second_start_says_nothing_and_asks_pip_nothing(checkout: Checkout) -> None:
    again = checkout.start(PIP_FIND_LINKS="/nowhere")
    assert (again.returncode, again.stderr) == (5, "")


@pytest.mark.skipif(sys.platform == "win32", reason="closes the streams with a POSIX shell")
def test_started_without_standard_streams(checkout: Checkout) -> None:
    """Made before, and where it was left half made."""
    command = shlex.join(checkout.command()) + " <&- >&- 2>&-"
    for made in (True, False):
        if not made:
            shutil.rmtree(checkout.venv)
            checkout.venv.mkdir()
        done = subprocess.run(["sh", "-c", command], cwd=checkout.elsewhere, env=checkout.env, timeout=240)
        assert done.returncode == 5


def test_extra_is_added_to_the_same_environment(checkout: Checkout) -> None:
    more = checkout.start_tests()
    assert "No module named pytest" in more.stderr and "tinyextra" in more.stderr
    assert "making" not in more.stderr
    assert checkout.start().stderr == "" and "fetching" not in checkout.start_tests().stderr


def test_other_pins_update_it(checkout: Checkout) -> None:
    checkout.pin("1.1")
    done = checkout.start()
    assert done.stdout.startswith("answer 1.1"), done.stderr
    assert "bringing .venv up to today's list" in done.stderr


def test_a_damaged_package_is_told_and_made_anew(checkout: Checkout) -> None:
    """Nobody must know that deleting .venv helps."""
    next(checkout.venv.rglob("tinypin.py")).write_bytes(b"")
    done = checkout.start()
    assert done.returncode == 5 and done.stdout.startswith("answer"), done.stderr
    assert "its environment is damaged (tinypin.py of tinypin is damaged)" in done.stderr
    assert "Traceback" not in done.stderr and done.stderr.count("making its environment") == 1
    assert checkout.start().stderr == ""


@pytest.mark.skipif(sys.platform == "win32", reason="puts a POSIX shell's script in the interpreter's place")
def test_an_interpreter_that_leads_elsewhere_does_not_go_round_for_ever(checkout: Checkout) -> None:
    python = Path(interpreter(str(checkout.venv)))
    python.unlink()
    python.write_text(f'#!/bin/sh\nexec "{checkout.command()[0]}" "$@"\n')
    python.chmod(0o755)
    done = checkout.start()
    assert done.returncode == 5 and done.stdout.startswith("answer"), done.stderr
    assert "is damaged (its interpreter does not find its packages)" in done.stderr
    assert done.stderr.count("making its environment") == 1


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("tinypin_native.so", "tinypin_native.so is damaged"),
        ("pyvenv.cfg", "pyvenv.cfg is missing"),
        ("python", "is missing"),
        ("ready-app", ""),
    ],
)
def test_damage_that_would_end_the_process_is_seen_before_it(
    checkout: Checkout, monkeypatch: pytest.MonkeyPatch, name: str, told: str
) -> None:
    """A compiled library cut short, a configuration or an interpreter that is gone, a stamp that is no stamp."""
    root, folder = str(checkout.root), str(checkout.venv)
    monkeypatch.setattr(sys, "version", subprocess.check_output([interpreter(folder), "-c", ASK_VERSION], text=True))
    assert launcher._readiness(root, folder, ()) == (True, "")
    place = Path(interpreter(folder)) if name == "python" else next(checkout.venv.rglob(name))
    aside = checkout.elsewhere / "aside"
    os.replace(place, aside)
    try:
        if name in ("tinypin_native.so", "ready-app"):
            place.write_text("null")
        ready, damage = launcher._readiness(root, folder, ())
        assert not ready and told in damage
    finally:
        os.replace(aside, place)
    assert launcher._readiness(root, folder, ())[0]


def test_a_fault_of_the_program_is_not_taken_for_damage(checkout: Checkout) -> None:
    commands = checkout.root / "app" / "commands" / "__init__.py"
    kept = commands.read_text()
    commands.write_text("import no_such_module_of_ours\n")
    try:
        done = checkout.start()
    finally:
        commands.write_text(kept)
    assert done.returncode == 1 and "no_such_module_of_ours" in done.stderr
    assert "damaged" not in done.stderr and "making" not in done.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
@pytest.mark.parametrize("target", ["app", "."])
def test_started_through_a_link(checkout: Checkout, tmp_path: Path, target: str) -> None:
    link = tmp_path / "chip"
    link.symlink_to(checkout.root / target)
    # What lies beside the link is not ours.
    (tmp_path / "shared").mkdir()
    (tmp_path / "shared" / "__init__.py").write_text("raise RuntimeError('a stranger')\n")
    command = [checkout.command()[0], str(link if target == "app" else link / "app"), "report"]
    done = checkout.start(command=command)
    assert (done.returncode, done.stderr) == (5, ""), done.stderr


def test_variables_and_settings_of_python_and_pip_do_not_get_in(checkout: Checkout, tmp_path: Path) -> None:
    shutil.rmtree(checkout.venv)
    # Whatever the tests before it have left: they may have run elsewhere.
    checkout.pin("1.1")
    strange = tmp_path / "strange"
    for package in ("shared", "tinypin", "pip", "core"):
        (strange / package).mkdir(parents=True)
        (strange / package / "__init__.py").write_text(f"raise RuntimeError('a stranger: {package}')\n")
    (strange / "startup.py").write_text("raise RuntimeError('a stranger: startup')\n")
    (strange / "limits.txt").write_text("tinypin==0.1\n")
    (strange / "pip.conf").write_text(f"[install]\ntarget = {strange}\n[global]\nfind-links = {checkout.wheels}\n")
    env = {
        "PYTHONPATH": str(strange),
        "PYTHONHOME": sys.base_prefix,
        "PYTHONSTARTUP": str(strange / "startup.py"),
        "PYTHONINSPECT": "",
        "PIP_CONFIG_FILE": str(strange / "pip.conf"),
        "PIP_CONSTRAINT": str(strange / "limits.txt"),
        "PIP_USER": "1",
        "PIP_REQUIRE_HASHES": "1",
        "PIP_DRY_RUN": "1",
        "PIP_NO_INDEX": "1",
    }
    del checkout.env["PIP_FIND_LINKS"]
    try:
        done = checkout.start(env=env)
        assert done.returncode == 5 and done.stdout.startswith("answer 1.1"), done.stderr
        assert checkout.start(env=env).stderr == ""
    finally:
        checkout.env["PIP_FIND_LINKS"] = str(checkout.wheels)


def test_old_python_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 9, 2, "final", 0))
    with pytest.raises(launcher.CannotPrepare, match=r"needs Python 3\.11 or newer"):
        launcher.ensure(str(ROOT))


STARTED_BY_ANY_PYTHON = ["app/__main__.py", "tests/__main__.py", "shared/__init__.py", "shared/launcher.py"] + [
    path.relative_to(ROOT).as_posix() for path in sorted((ROOT / "shared" / "launching").glob("*.py"))
]


@pytest.mark.parametrize("name", STARTED_BY_ANY_PYTHON)
def test_an_old_python_can_read_what_tells_it(name: str) -> None:
    tree = ast.parse((ROOT / name).read_text("utf-8"), feature_version=(3, 8))
    names = {n.module or "" for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)}
    names |= {alias.name for n in ast.walk(tree) if isinstance(n, ast.Import) for alias in n.names}
    assert {n.split(".")[0] for n in names} <= {"app", "shared"} | set(sys.stdlib_module_names)
