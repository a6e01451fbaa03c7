"""The house keeps its rules: what lies at the top, what may import what, what must be explained."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "app", "core", "tests", "assets", "shared"}


def sources(folder: str) -> list[Path]:
    """All Python files below a folder of the checkout."""
    return sorted((ROOT / folder).rglob("*.py"))


def imported(tree: ast.AST) -> set[str]:
    """Top-level names that absolute imports anywhere in a file load."""
    names: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            names.add(node.module.split(".")[0])
    return names


def test_top_level_is_the_house_and_nothing_else() -> None:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True)
    if listed.returncode == 0 and listed.stdout:
        names = {line.split("/")[0] for line in listed.stdout.splitlines()}
    else:
        names = {p.name for p in ROOT.iterdir()}
    assert {n for n in names if not n.startswith(".")} == TOP


@pytest.mark.parametrize("path", sources("core"), ids=lambda p: p.name)
def test_core_knows_no_window(path: Path) -> None:
    found = imported(ast.parse(path.read_text("utf-8")))
    assert not found & {"app", "tests", "PySide6", "pyqtgraph", "core", "shared"}
    assert found <= {"numpy", "shapely"} | set(sys.stdlib_module_names)


def test_launcher_is_standard_library_only() -> None:
    found = imported(ast.parse((ROOT / "shared" / "launcher.py").read_text("utf-8")))
    assert found <= set(sys.stdlib_module_names)


@pytest.mark.parametrize("path", sources("app"), ids=lambda p: p.name)
def test_app_never_imports_tests(path: Path) -> None:
    assert "tests" not in imported(ast.parse(path.read_text("utf-8")))


@pytest.mark.parametrize("path", sources("app/commands"), ids=lambda p: p.name)
def test_commands_import_the_window_only_when_needed(path: Path) -> None:
    tree = ast.parse(path.read_text("utf-8"))
    top = ast.Module([n for n in tree.body if isinstance(n, ast.Import | ast.ImportFrom)], [])
    assert not imported(top) & {"PySide6", "pyqtgraph"}


def test_report_never_loads_the_window() -> None:
    code = (
        "import sys, io, json, contextlib\n"
        "from app.commands import main\n"
        "out = io.StringIO()\n"
        "with contextlib.redirect_stdout(out):\n"
        "    status = main(['report', 'shared/setups/boss.toml', '--json'])\n"
        "qt = ('PySide6', 'pyqtgraph', 'shiboken6')\n"
        "loaded = sorted(m for m in sys.modules if m.split('.')[0] in qt)\n"
        "print(json.dumps([status, loaded, json.loads(out.getvalue())['format']]))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert json.loads(done.stdout) == [0, [], "chiparc report"], done.stderr


@pytest.mark.parametrize("path", [*sources("core"), *sources("app")], ids=lambda p: str(p.relative_to(ROOT)))
def test_public_names_are_explained(path: Path) -> None:
    tree = ast.parse(path.read_text("utf-8"))
    bare = []
    assert path.name == "__init__.py" or ast.get_docstring(tree), "the file itself"
    for node in tree.body:
        if not isinstance(node, ast.FunctionDef | ast.ClassDef) or node.name.startswith("_"):
            continue
        if not ast.get_docstring(node):
            bare.append(node.name)
    assert not bare
