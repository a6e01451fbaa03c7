"""The house keeps its rules: what lies at the top, what may import what, what must be explained."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterable
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "app", "core", "tests", "assets", "shared"}


@cache
def sources(folder: str) -> list[Path]:
    """All Python files below a folder of the checkout."""
    return sorted((ROOT / folder).rglob("*.py"))


def named(path: Path) -> str:
    """A source by its path from the top."""
    return path.relative_to(ROOT).as_posix()


@cache
def tree_of(path: Path) -> ast.Module:
    """A source file as read by Python; every rule looks at it."""
    return ast.parse(path.read_text("utf-8"))


@cache
def nodes_of(path: Path) -> tuple[ast.AST, ...]:
    """All that a source file is made of."""
    return tuple(ast.walk(tree_of(path)))


@cache
def imports_of(path: Path) -> tuple[ast.Import | ast.ImportFrom, ...]:
    """The imports anywhere in a source file."""
    return tuple(n for n in nodes_of(path) if isinstance(n, ast.Import | ast.ImportFrom))


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


# Each rule goes over all of its files in one test and names those that break it.


def test_core_knows_no_window() -> None:
    allowed = {"numpy", "shapely", "ezdxf"} | set(sys.stdlib_module_names)
    others = {named(path): imported(imports_of(path)) - allowed for path in sources("core")}
    assert {file: names for file, names in others.items() if names} == {}


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


def test_core_imports_go_down_only() -> None:
    broken = set()
    for path in (p for p in sources("core") if p.name != "__init__.py"):
        own = path.relative_to(ROOT).parts[1]
        for used in packages_used(path):
            package = used.split(".")[1]
            if package != own and floor_of(package, CORE_LAYERS) >= floor_of(own, CORE_LAYERS):
                broken.add((named(path), used))
    assert broken == set()


def test_core_asks_the_resolved_setup_and_no_catalogue() -> None:
    """Only documents know the project's own catalogue; a person's own materials come with the setup."""
    for path in sources("core"):
        if path.relative_to(ROOT).parts[1] != "documents":
            nodes = [n for n in imports_of(path) if isinstance(n, ast.ImportFrom)]
            names = {alias.name for node in nodes for alias in node.names}
            assert not names & {"catalogue", "material", "find"}, path


IN_APP = [p for p in sources("app") if p.name not in ("__init__.py", "__main__.py", "entry.py")]


def test_app_imports_go_down_only() -> None:
    broken = set()
    for path in IN_APP:
        own = path.relative_to(ROOT).parts[1]
        for used in packages_used(path):
            top, package = used.split(".")
            if top == "app" and package != own and floor_of(package, APP_LAYERS) >= floor_of(own, APP_LAYERS):
                broken.add((named(path), used))
    assert broken == set()


def test_a_page_imports_no_other_page() -> None:
    folders = {p.name for p in (ROOT / "app" / "pages").iterdir() if p.is_dir()}
    broken = set()
    for path in (p for p in IN_APP if "pages" in p.parts):
        pages, text = path.relative_to(ROOT / "app" / "pages").parts, path.read_text("utf-8")
        if len(pages) > 1:
            broken |= {(named(path), other) for other in folders - {pages[0]} if f"app.pages.{other}" in text}
    assert broken == set()


def test_the_kit_knows_neither_setup_nor_pages() -> None:
    own = {"app.kit", "core.base", "core.maths"}
    others = {named(path): packages_used(path) - own for path in sources("app/kit")}
    assert {file: names for file, names in others.items() if names} == {}


def test_scenes_are_without_the_window() -> None:
    scenes = [path for path in sources("app/pages") if path.stem.endswith("_scene")]
    assert scenes and [named(path) for path in scenes if "PySide6" in imported(imports_of(path))] == []


def test_only_the_kit_paints_ticks() -> None:
    kit = {"xy_chart.py", "readable_ranges.py"}
    assert [p.name for p in sources("app") if ".ticks()" in p.read_text("utf-8") and p.name not in kit] == []


def test_launcher_is_standard_library_only() -> None:
    allowed = {"shared"} | set(sys.stdlib_module_names)
    others = {named(path): imported(imports_of(path)) - allowed for path in sources("shared")}
    assert {file: names for file, names in others.items() if names} == {}


def test_app_never_imports_tests() -> None:
    assert [named(path) for path in sources("app") if "tests" in imported(imports_of(path))] == []


def test_commands_import_the_window_only_when_needed() -> None:
    loaded = {named(path): imported(tree_of(path).body) for path in sources("app/commands")}
    assert [file for file, names in loaded.items() if names & {"PySide6", "pyqtgraph"}] == []


def test_public_names_are_explained() -> None:
    bare = []
    for path in (*sources("core"), *sources("app")):
        tree = tree_of(path)
        if path.name != "__init__.py" and not ast.get_docstring(tree):
            bare.append((named(path), "the file itself"))
        for node in tree.body:
            if not isinstance(node, ast.FunctionDef | ast.ClassDef) or node.name.startswith("_"):
                continue
            if not ast.get_docstring(node):
                bare.append((named(path), node.name))
    assert bare == []
