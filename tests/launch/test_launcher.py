"""The launcher through real processes: makes, keeps, mends and shares the environment of a small checkout."""

from __future__ import annotations

import ast
import ensurepip
import os
import shlex
import subprocess
import sys
from importlib import metadata
from pathlib import Path

import pytest

from shared import launcher
from shared.launching import pip_from_wheel
from shared.launching.places import interpreter
from tests.launch.checkout import ROOT, Checkout

ASK_VERSION = "import sys; sys.stdout.write(sys.version)"


def candidates(root: str, checkout: Checkout) -> list[Path]:
    """Where its environment may lie, as its own process sees it."""
    code = "import sys; sys.path.insert(0, sys.argv[1]); from shared.launching.places import candidates\n"
    code += "print(chr(10).join(candidates(sys.argv[1])))"
    told = checkout.start(command=[checkout.command()[0], "-c", code, root])
    return [Path(line) for line in told.stdout.splitlines()]


def without_streams(checkout: Checkout) -> str:
    """The start for a shell, with all three standard streams closed."""
    return shlex.join(checkout.command()) + " <&- >&- 2>&-"


def test_second_start_says_nothing_and_asks_pip_nothing(checkout: Checkout) -> None:
    again = checkout.start(PIP_FIND_LINKS="/nowhere")
    assert (again.returncode, again.stderr) == (5, "")


@pytest.mark.skipif(sys.platform == "win32", reason="closes the streams with a POSIX shell")
def test_started_without_standard_streams(checkout: Checkout) -> None:
    done = subprocess.run(
        ["sh", "-c", without_streams(checkout)], cwd=checkout.elsewhere, env=checkout.env, timeout=600
    )
    assert done.returncode == 5


def test_its_pip_is_the_whole_of_the_one_that_python_brings(kept_pip: Path) -> None:
    [pip] = metadata.distributions(name="pip", path=[str(kept_pip)])
    assert pip.version == ensurepip.version()
    sizes = {str(file.locate()): file.size for file in pip.files or () if file.size is not None}
    assert len(sizes) > 300 and {name: os.stat(name).st_size for name in sizes} == sizes


def test_where_the_wheel_of_pip_is_not_found_ensurepip_is_asked(
    checkout: Checkout, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In a folder of the system, beside ensurepip, or nowhere."""
    beside = pip_from_wheel.wheel_of_pip()
    assert Path(beside).is_file()
    (checkout.elsewhere / Path(beside).name).touch()
    monkeypatch.setattr("sysconfig.get_config_var", lambda _: str(checkout.elsewhere))
    assert pip_from_wheel.wheel_of_pip() == str(checkout.elsewhere / Path(beside).name)
    asked: list[tuple[str, str]] = []
    monkeypatch.setattr("runpy.run_module", lambda name, run_name: asked.append((name, run_name)))
    monkeypatch.setattr(sys, "argv", ["pip_from_wheel.py"])
    monkeypatch.setattr(ensurepip, "version", lambda: "0")
    pip_from_wheel.main()
    assert asked == [("ensurepip", "__main__")] and sys.argv[1:] == ["--upgrade", "--default-pip"]


def test_extra_is_added_to_the_same_environment(checkout: Checkout) -> None:
    more = checkout.start_tests()
    assert "No module named pytest" in more.stderr and "tinyextra" in more.stderr
    assert "making" not in more.stderr
    assert checkout.start().stderr == "" and "fetching" not in checkout.start_tests().stderr


def test_other_pins_update_it(checkout: Checkout) -> None:
    checkout.pin("1.1" if checkout.pinned == "1.0" else "1.0")
    done = checkout.start()
    assert done.stdout.startswith(f"answer {checkout.pinned}"), done.stderr
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


@pytest.mark.skipif(sys.platform == "win32", reason="a name and a shell of a POSIX system")
def test_variables_and_settings_of_python_and_pip_do_not_get_in(tmp_path: Path, kept_pip: Path) -> None:
    """Nor do a colon in the checkout's name, closed streams, and what was left half made."""
    checkout = Checkout(tmp_path, "a:b, c")
    checkout.lend_pip(kept_pip)
    [half_made] = candidates(str(checkout.root), checkout)
    half_made.mkdir(parents=True)
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
    first = checkout.start(command=["sh", "-c", without_streams(checkout)], env=env)
    assert first.returncode == 5 and (half_made / "ready-app").exists() and not checkout.venv.exists()
    again = checkout.start("x", env=env)
    assert (again.returncode, again.stdout, again.stderr) == (5, "answer 1.0 ['report', 'x']\n", "")


def test_old_python_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 9, 2, "final", 0))
    with pytest.raises(launcher.CannotPrepare, match=r"needs Python 3\.11 or newer"):
        launcher.ensure(str(ROOT))


STARTED_BY_ANY_PYTHON = [
    *("app/__main__.py", "tests/__main__.py", "tests/pins.py", "shared/__init__.py", "shared/launcher.py"),
    *(path.relative_to(ROOT).as_posix() for path in sorted((ROOT / "shared" / "launching").glob("*.py"))),
]


@pytest.mark.parametrize("name", STARTED_BY_ANY_PYTHON)
def test_an_old_python_can_read_what_tells_it(name: str) -> None:
    tree = ast.parse((ROOT / name).read_text("utf-8"), feature_version=(3, 8))
    names = {n.module or "" for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)}
    names |= {alias.name for n in ast.walk(tree) if isinstance(n, ast.Import) for alias in n.names}
    assert {n.split(".")[0] for n in names} <= {"app", "shared"} | set(sys.stdlib_module_names)
