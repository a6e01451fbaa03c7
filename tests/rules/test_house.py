"""The house keeps its rules: what lies at the top, what may import what, what must be explained."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "app", "core", "tests", "assets", "shared"}


def sources(folder: str) -> list[Path]:
    """All Python files below a folder of the checkout."""
    return sorted((ROOT / folder).rglob("*.py"))


@cache
def tree_of(path: Path) -> ast.Module:
    """A source file as read by Python; every rule looks at it."""
    return ast.parse(path.read_text("utf-8"))


@cache
def imports_of(path: Path) -> tuple[ast.Import | ast.ImportFrom, ...]:
    """The imports anywhere in a source file."""
    return tuple(n for n in ast.walk(tree_of(path)) if isinstance(n, ast.Import | ast.ImportFrom))


def imported(imports: Iterable[ast.stmt]) -> set[str]:
    """Top-level names that absolute imports load."""
    names: set[str] = set()
    for node in imports:
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
    found = imported(imports_of(path))
    assert not found & {"app", "tests", "PySide6", "pyqtgraph", "core", "shared"}
    assert found <= {"numpy", "shapely", "ezdxf"} | set(sys.stdlib_module_names)


CORE_LAYERS = (
    "maths",
    "base",
    "setup",
    "documents",
    "cut",
    "force",
    "effects",
    ("chatter", "path"),
    "strips",
    "advice",
    "report",
    ("calibration", "lesson"),
)
"""The packages of core from the ground up; those in one pair know nothing of each other."""

APP_LAYERS = ("kit", "state", "controls", ("pages", "calibration"), "shell", "commands")
"""The packages of app from the ground up."""


def floor_of(package: str, layers: tuple[str | tuple[str, ...], ...]) -> int:
    """How high a package stands."""
    return next(i for i, layer in enumerate(layers) if package == layer or (package in layer and layer != package))


def packages_used(path: Path) -> set[str]:
    """Packages of core or app, such as ``core.cut``, that a file imports from, its own included."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    used = set()
    for node in imports_of(path):
        if isinstance(node, ast.ImportFrom):
            base = list(parts[: -node.level]) if node.level else []
            full = [*base, *(node.module.split(".") if node.module else [])]
            if len(full) == 1 and full[0] in ("core", "app"):
                full.append(node.names[0].name)
            if full and full[0] in ("core", "app"):
                used.add(".".join(full[:2]))
    return used


@pytest.mark.parametrize("path", [p for p in sources("core") if p.name != "__init__.py"], ids=lambda p: p.stem)
def test_core_imports_go_down_only(path: Path) -> None:
    own = path.relative_to(ROOT).parts[1]
    for used in packages_used(path):
        package = used.split(".")[1]
        assert package == own or floor_of(package, CORE_LAYERS) < floor_of(own, CORE_LAYERS), used


def test_core_asks_the_resolved_setup_and_no_catalogue() -> None:
    """Only documents know the project's own catalogue; a person's own materials come with the setup."""
    for path in sources("core"):
        if path.relative_to(ROOT).parts[1] != "documents":
            nodes = [n for n in imports_of(path) if isinstance(n, ast.ImportFrom)]
            names = {alias.name for node in nodes for alias in node.names}
            assert not names & {"catalogue", "material", "find"}, path


IN_APP = [p for p in sources("app") if p.name not in ("__init__.py", "__main__.py", "entry.py")]


@pytest.mark.parametrize("path", IN_APP, ids=lambda p: p.stem)
def test_app_imports_go_down_only(path: Path) -> None:
    own = path.relative_to(ROOT).parts[1]
    for used in packages_used(path):
        top, package = used.split(".")
        if top == "app":
            assert package == own or floor_of(package, APP_LAYERS) < floor_of(own, APP_LAYERS), used


@pytest.mark.parametrize("path", [p for p in IN_APP if "pages" in p.parts], ids=lambda p: p.stem)
def test_a_page_imports_no_other_page(path: Path) -> None:
    pages = path.relative_to(ROOT / "app" / "pages").parts
    text = path.read_text("utf-8")
    for other in {p.name for p in (ROOT / "app" / "pages").iterdir() if p.is_dir()} - {pages[0]}:
        assert len(pages) == 1 or f"app.pages.{other}" not in text


@pytest.mark.parametrize("path", sources("app/kit"), ids=lambda p: p.stem)
def test_the_kit_knows_neither_setup_nor_pages(path: Path) -> None:
    assert packages_used(path) <= {"app.kit", "core.base", "core.maths"}


@pytest.mark.parametrize("path", sources("app/pages"), ids=lambda p: p.stem)
def test_scenes_are_without_the_window(path: Path) -> None:
    if path.stem.endswith("_scene"):
        assert "PySide6" not in imported(imports_of(path))


def test_only_the_kit_paints_ticks() -> None:
    kit = {"xy_chart.py", "readable_ranges.py"}
    assert [p.name for p in sources("app") if ".ticks()" in p.read_text("utf-8") and p.name not in kit] == []


@pytest.mark.parametrize("path", sources("shared"), ids=lambda p: p.name)
def test_launcher_is_standard_library_only(path: Path) -> None:
    found = imported(imports_of(path))
    assert found <= {"shared"} | set(sys.stdlib_module_names)


@pytest.mark.parametrize("path", sources("app"), ids=lambda p: p.name)
def test_app_never_imports_tests(path: Path) -> None:
    assert "tests" not in imported(imports_of(path))


@pytest.mark.parametrize("path", sources("app/commands"), ids=lambda p: p.name)
def test_commands_import_the_window_only_when_needed(path: Path) -> None:
    assert not imported(tree_of(path).body) & {"PySide6", "pyqtgraph"}


@pytest.mark.parametrize("path", [*sources("core"), *sources("app")], ids=lambda p: str(p.relative_to(ROOT)))
def test_public_names_are_explained(path: Path) -> None:
    tree = tree_of(path)
    bare = []
    assert path.name == "__init__.py" or ast.get_docstring(tree), "the file itself"
    for node in tree.body:
        if not isinstance(node, ast.FunctionDef | ast.ClassDef) or node.name.startswith("_"):
            continue
        if not ast.get_docstring(node):
            bare.append(node.name)
    assert not bare
