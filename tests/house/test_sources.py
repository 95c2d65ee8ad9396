"""Every source file keeps to the house: its first sentence, its size, its name, and what it must not do."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

MOST_MODULE_LINES = 300
MOST_FUNCTION_LINES = 50
FORBIDDEN_NAMES = {"utils", "util", "helpers", "helper", "misc", "common"}

# A module or function longer than the house allows stands here by name, with its reason.
LONG_MODULES: dict[str, str] = {
    "tests/done/test_keeper.py": "one hand and one faulty disk serve every test",
}
LONG_FUNCTIONS: dict[str, str] = {}

# Only here a fault of any kind is caught, so that a person gets a sentence and not a traceback.
THE_TOP = {"stitchview/__main__.py"}

BROAD = {"Exception", "BaseException"}


@pytest.fixture(scope="module")
def sources(repository: Path) -> dict[str, str]:
    """The text of every module of the program and of its tests, by its path from the top."""
    return {
        file.relative_to(repository).as_posix(): file.read_text("utf-8")
        for top in ("stitchview", "tests")
        for file in sorted((repository / top).rglob("*.py"))
    }


@pytest.fixture(scope="module")
def program(sources: dict[str, str]) -> dict[str, ast.Module]:
    """The program's own modules, parsed."""
    return {name: ast.parse(text) for name, text in sources.items() if name.startswith("stitchview/")}


def first_line_fault(text: str) -> str:
    """What is wrong with a module's first line; empty if it is a docstring of one sentence."""
    first = text.split("\n", 1)[0]
    if not first.startswith('"""'):
        return "the first line is not the docstring"
    sentence = first.removeprefix('"""').removesuffix('"""').strip()
    if not sentence.endswith("."):
        return "the first line does not end as a sentence does"
    return "the first line is more than one sentence" if re.search(r"[.!?] +[A-Z]", sentence) else ""


def broad_excepts(tree: ast.Module) -> Iterator[int]:
    """Lines where any fault at all is caught and not raised again."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ExceptHandler):
            ends_in_raise = isinstance(node.body[-1], ast.Raise) and node.body[-1].exc is None
            broad = node.type is None or BROAD & names_in(node.type)
            if broad and not ends_in_raise:
                yield node.lineno
        elif isinstance(node, ast.Call):
            suppressed = [argument for argument in node.args if "suppress" in names_in(node.func)]
            if any(BROAD & names_in(argument) for argument in suppressed):
                yield node.lineno


def names_in(tree: ast.AST) -> set[str]:
    """Every name and attribute used in a piece of code."""
    nodes = list(ast.walk(tree))
    return {node.id for node in nodes if isinstance(node, ast.Name)} | {
        node.attr for node in nodes if isinstance(node, ast.Attribute)
    }


def connected_lambdas(tree: ast.Module) -> Iterator[int]:
    """Lines where a lambda is connected to a signal."""
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr == "connect"
        ):
            given = (*node.args, *(keyword.value for keyword in node.keywords))
            if any(isinstance(part, ast.Lambda) for value in given for part in ast.walk(value)):
                yield node.lineno


def long_functions(name: str, tree: ast.Module) -> Iterator[str]:
    """Functions longer than the house allows and not named among the waivers."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and node.end_lineno is not None:
            lines = node.end_lineno - node.lineno + 1
            if lines > MOST_FUNCTION_LINES and f"{name}:{node.name}" not in LONG_FUNCTIONS:
                yield f"{name}:{node.name} has {lines} lines"


def test_every_module_begins_with_one_sentence(sources: dict[str, str]) -> None:
    """The first line of every file says what it is for."""
    faults = [f"{name}: {fault}" for name, text in sources.items() if (fault := first_line_fault(text))]
    assert not faults, "\n".join(faults)


def test_no_module_is_longer_than_one_can_read(sources: dict[str, str]) -> None:
    """A module has one subject and at most 300 lines, or a reason."""
    long = [
        f"{name} has {text.count(chr(10))} lines"
        for name, text in sources.items()
        if text.count("\n") > MOST_MODULE_LINES and name not in LONG_MODULES
    ]
    assert not long, "\n".join(long)


def test_no_function_is_longer_than_a_screen(sources: dict[str, str]) -> None:
    """A function has at most 50 lines, or a reason."""
    long = [fault for name, text in sources.items() for fault in long_functions(name, ast.parse(text))]
    assert not long, "\n".join(long)


def test_waivers_are_needed_and_have_a_reason(sources: dict[str, str]) -> None:
    """A waiver for a module that has become short again is taken away."""
    for name, reason in LONG_MODULES.items():
        assert reason.strip()
        assert sources[name].count("\n") > MOST_MODULE_LINES, name
    for waived, reason in LONG_FUNCTIONS.items():
        name, _, function = waived.partition(":")
        assert reason.strip()
        assert any(
            isinstance(node, ast.FunctionDef) and node.name == function
            for node in ast.walk(ast.parse(sources[name]))
        ), waived


def test_nothing_is_called_by_a_name_that_says_nothing(sources: dict[str, str]) -> None:
    """No folder or module is a drawer for odds and ends."""
    drawers = [name for name in sources if FORBIDDEN_NAMES & set(Path(name).with_suffix("").parts)]
    assert not drawers


def test_faults_are_caught_by_name(program: dict[str, ast.Module]) -> None:
    """Below the top no fault is swallowed that nobody thought of."""
    broad = [
        f"{name}:{line}"
        for name, tree in program.items()
        if name not in THE_TOP
        for line in broad_excepts(tree)
    ]
    assert not broad


def test_no_signal_is_blocked(program: dict[str, ast.Module]) -> None:
    """Signals are not hushed; what would echo is not sent."""
    blocked = [name for name, tree in program.items() if {"blockSignals", "QSignalBlocker"} & names_in(tree)]
    assert not blocked


def test_no_lambda_is_connected(program: dict[str, ast.Module]) -> None:
    """Qt drops a bound method when its widget goes; a lambda would call a dead one."""
    lambdas = [f"{name}:{line}" for name, tree in program.items() for line in connected_lambdas(tree)]
    assert not lambdas


@pytest.mark.parametrize(
    ("code", "lines"),
    [
        ("try:\n    f()\nexcept Exception:\n    pass", [3]),
        ("try:\n    f()\nexcept:\n    pass", [3]),
        ("try:\n    f()\nexcept (OSError, BaseException) as e:\n    g(e)", [3]),
        ("with contextlib.suppress(Exception):\n    f()", [1]),
        ("try:\n    f()\nexcept BaseException:\n    undo()\n    raise", []),
        ("try:\n    f()\nexcept OSError:\n    pass", []),
    ],
)
def test_the_search_for_broad_excepts_finds_them(code: str, lines: list[int]) -> None:
    """The search itself is tried on good and bad code."""
    assert list(broad_excepts(ast.parse(code))) == lines


@pytest.mark.parametrize(
    ("code", "found"),
    [
        ("a.clicked.connect(lambda: b())", [1]),
        ("a.clicked.connect(partial(b, lambda: c()))", [1]),
        ("a.clicked.connect(self.b)", []),
    ],
)
def test_the_search_for_lambdas_finds_them(code: str, found: list[int]) -> None:
    """The search itself is tried on good and bad code."""
    assert list(connected_lambdas(ast.parse(code))) == found


@pytest.mark.parametrize(
    ("text", "good"),
    [
        ('"""Read a chart from a file."""\n', True),
        ('"""Read a chart from a file.\n\nMore about it.\n"""\n', True),
        ('# a mode line\n"""Read a chart."""\n', False),
        ('"""Read a chart"""\n', False),
        ('"""Read a chart. Write it."""\n', False),
        ('"""\nRead a chart."""\n', False),
    ],
)
def test_the_look_at_first_lines_tells_good_from_bad(text: str, good: bool) -> None:
    """The look itself is tried on good and bad modules."""
    assert (first_line_fault(text) == "") == good
