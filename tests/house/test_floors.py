"""The floors of the house: who may import whom, and that the lower floors stand without a screen."""

import ast
import subprocess
import sys
from collections.abc import Iterator, Mapping
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

# Everything from here up may use Qt; `plan` and what stands below it may not.
FLOORS_WITH_QT = {"canvas", "ui", "command", "cli", "__main__"}


@pytest.fixture(scope="module")
def modules(repository: Path) -> dict[str, ast.Module]:
    """Every module of the program by its dotted name."""
    return {
        module_name(file.relative_to(repository)): ast.parse(file.read_text("utf-8"), str(file))
        for file in sorted((repository / "stitchview").rglob("*.py"))
    }


def module_name(file: Path) -> str:
    """The dotted name of a module from its path below the top of the project."""
    parts = file.with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imported(tree: ast.Module, known: Mapping[str, ast.Module]) -> Iterator[str]:
    """Modules of the program that `tree` imports anywhere: at the top, inside functions, for types only."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name in known)
        elif isinstance(node, ast.ImportFrom) and node.module and node.module in known:
            names = [f"{node.module}.{alias.name}" for alias in node.names]
            yield from (name if name in known else node.module for name in names)


def circle(modules: Mapping[str, ast.Module]) -> list[str]:
    """The names of one import circle, or an empty list if there is none."""
    sorter = TopologicalSorter({name: set(imported(tree, modules)) for name, tree in modules.items()})
    try:
        sorter.prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def test_each_floor_imports_only_what_stands_below_it(repository: Path) -> None:
    """The contracts in pyproject.toml hold, checked by import-linter."""
    command = "from importlinter.cli import lint_imports_command as check; check()"
    ran = subprocess.run(
        [sys.executable, "-c", command, "--no-cache"],
        cwd=repository,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr


def test_the_floors_below_the_canvas_start_without_qt(
    repository: Path, modules: dict[str, ast.Module]
) -> None:
    """Charts, marks, bands and plans can be used where Qt cannot even be imported."""
    lower = [name for name in modules if not FLOORS_WITH_QT & set(name.split(".")[1:2])]
    command = (
        "import importlib, sys\n"
        "for name in ('PySide6', 'shiboken6'): sys.modules[name] = None\n"
        "for name in sys.argv[1:]: importlib.import_module(name)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", command, *lower], cwd=repository, capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stderr
    assert {"stitchview.errors", "stitchview.chart.model", "stitchview.follow.band"} <= set(lower)


def test_no_modules_import_each_other_in_a_circle(modules: dict[str, ast.Module]) -> None:
    """Imports inside functions and imports for types alone count as well."""
    found = circle(modules)
    assert not found, " imports ".join(found)


def test_the_search_for_circles_sees_hidden_imports() -> None:
    """A circle through an import inside a function and one for types only is found."""
    hidden = {
        "top.a": ast.parse("def f():\n    from top import b"),
        "top.b": ast.parse("from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import top.a"),
        "top": ast.parse(""),
    }
    assert set(circle(hidden)) == {"top.a", "top.b"}


def test_nothing_is_imported_by_a_relative_name(modules: dict[str, ast.Module]) -> None:
    """Every import says the whole name, so a moved module is found by searching."""
    relative = [
        f"{name}:{node.lineno}"
        for name, tree in modules.items()
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.level
    ]
    assert not relative


def test_packages_hand_nothing_on(repository: Path) -> None:
    """A folder's `__init__` holds its sentence and nothing else; the topmost one also the version."""
    for file in (repository / "stitchview").rglob("__init__.py"):
        statements = ast.parse(file.read_text("utf-8")).body[1:]
        targets = [
            target.id
            for node in statements
            if isinstance(node, ast.Assign)
            for target in node.targets
            if isinstance(target, ast.Name)
        ]
        expected = ["__version__"] if file.parent.name == "stitchview" else []
        assert targets == expected, file
        assert len(statements) == len(expected), file
