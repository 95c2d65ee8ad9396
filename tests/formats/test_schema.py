"""The schema for people and our own reader give the same verdict; the schema is checked by jsonschema."""

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DataObject, SearchStrategy
from jsonschema import Draft202012Validator

from stitchview.chart.entries.encoding import encode
from stitchview.chart.fileformat import find_problems
from stitchview.chart.model import Chart
from stitchview.chart.problems import Findings
from stitchview.chart.shipped import shipped

Document = dict[str, Any]
Change = Callable[[Document], object]


@pytest.fixture(scope="module")
def schema() -> Draft202012Validator:
    """The shipped schema, ready to judge."""
    return Draft202012Validator(json.loads(shipped("resources/chart.schema.json").read_text("utf-8")))


@pytest.fixture
def document(sound_chart: Chart) -> Document:
    """The description of a sound chart, free to be spoilt."""
    loaded: Document = json.loads(encode(sound_chart, Findings("sound"))["chart.json"])
    return copy.deepcopy(loaded)


@pytest.fixture
def ours(sound_chart: Chart, tmp_path: Path) -> Callable[[Document], list[str]]:
    """Our reader's verdict on a description, laid in a folder with the sound chart's squares."""

    def verdict(changed: Document) -> list[str]:
        (tmp_path / "squares.txt").write_bytes(encode(sound_chart, Findings("sound"))["squares.txt"])
        (tmp_path / "chart.json").write_text(json.dumps(changed), "utf-8")
        return [str(problem) for problem in find_problems(tmp_path)]

    return verdict


def put(*path: Any) -> Change:
    """A change that sets the member at a path, the last of `path` being its new value."""

    def change(changed: Any) -> None:
        for step in path[:-2]:
            changed = changed[step]
        changed[path[-2]] = path[-1]

    return change


def drop(*path: Any) -> Change:
    """A change that takes the member at a path away."""

    def change(changed: Any) -> None:
        for step in path[:-1]:
            changed = changed[step]
        del changed[path[-1]]

    return change


def each(path: list[str | int], values: list[Any]) -> list[Change]:
    """Changes that set the member at a path to one value after another."""
    return [put(*path, value) for value in values]


DOUBT = {"at": [0, 6], "chance": 0.5}
BOX = {"what": "squares", "from": [0, 6], "to": [2, 8]}
HALF = {"at": [-3, 5], "stitch": "half", "lean": "rising", "code": "a"}

BOTH_REFUSE: tuple[Change, ...] = (
    *(drop(name) for name in ("format", "version", "columns", "rows", "key")),
    *each(["format"], ["other chart", None, 1]),
    *each(["version"], ["2.0", "1", "1.0.0", "v1.0", 1.0, "1.00", "0.9", None]),
    *each(["identity"], ["small", 7, None]),
    *each(["title"], [7, None, "x" * 501, "a\nb"]),
    *each(["notes"], [True, "x" * 100_001, "a\0b"]),
    *each(["columns"], [0, -1, 4097, "12", True, 12.5, None, [12], 10**15]),
    *each(["rows"], [0, 4097, False, 1e300]),
    *each(["origin"], [[0], [0, 0, 0], [0.5, 0], ["0", 0], [True, 0], 0, [2_000_000, 0]]),
    put("cloth", []),
    *each(["cloth"], [{"count": 0}, {"count": -1}, {"count": "14"}, {"count": True}, {"count": 1001}]),
    put("cloth", {"count_unit": "inch"}),
    *each(["cloth"], [{"over": 0}, {"over": 17}, {"over": 1.5}]),
    put("cloth", {"colour": "cream"}),
    put("key", {}),
    put("key", 0, "a"),
    *(drop("key", 0, name) for name in ("code", "name")),
    *each(["key", 3, "code"], ["", "ab", ".", 1]),
    *each(["key", 0, "symbol"], ["", "   ", "x" * 9, 1, None, [], {}, {"picture": 1}, "\x07"]),
    put("key", 0, "symbol", {"picture": "elsewhere/x.png"}),
    *each(["key", 0, "name"], ["", " ", 1, "x" * 201]),
    *each(["key", 0, "number"], [17, None]),
    *each(["key", 0, "colour"], ["#12345", "#12345G", "red", 0, "#1234567"]),
    *each(["key", 0, "strands"], [2, {"cross": 0}, {"back": 51}, {"cross": "2"}]),
    *each(["key", 0, "blend"], [{}, [1], [{"name": "x"}], [{"name": "x"}] * 9, [{}, {}]]),
    put("key", 0, "blend", [{"name": "x", "strands": 0}, {"name": "y"}]),
    *each(["key", 0, "held_back"], ["yes", 1, None]),
    put("part_stitches", {}),
    put("part_stitches", 0, 1),
    *(drop("part_stitches", 0, name) for name in ("at", "stitch", "lean", "code")),
    *each(["part_stitches", 0, "at"], [[0], [0, 0, 0], [0.5, 5], ["0", 5], [True, 5], {}]),
    *each(["part_stitches", 0, "stitch"], ["whole", 1, None, "quarter", ["half"]]),
    *each(["part_stitches", 0, "lean"], ["up", None, 1]),
    put("part_stitches", 0, "corner", "top-left"),
    put("part_stitches", 2, "lean", "rising"),
    put("part_stitches", 2, "corner", "middle"),
    *each(["part_stitches", 0, "code"], ["", ".", "ab", 1, ["a"]]),
    *(drop("lines", 0, name) for name in ("from", "to", "stitch", "code")),
    *each(["lines", 0, "from"], [[0.25, 5], [0], None, [False, 5], "0,5", [[0], 5]]),
    put("lines", 0, "stitch", "cross"),
    *(drop("points", 0, name) for name in ("at", "stitch", "code")),
    put("points", 0, "stitch", "button"),
    put("points", 0, "at", [0.3, 5]),
    *(drop("sheets", 0, name) for name in ("name", "at", "columns", "rows")),
    put("sheets", 0, "columns", 0),
    put("sheets", 0, "at", [0.5, 5]),
    *each(["sheets", 0, "picture"], ["", "a.png", 1]),
    put("sheets", 7),
    *each(["sheets", 0, "read"], [0, "no", None]),
    *each(["sheets", 0, "doubts"], [{}, [1], [""], ["x" * 201], ["x"] * 101]),
    *each(["doubts"], [{}, [1], [{"at": [0, 5]}], [{"chance": 0.5}], [{"at": [0.5, 5], "chance": 0.5}]]),
    *each(["doubts"], [[DOUBT | {"chance": chance}] for chance in (0, -1, 1.5, "0.5", True)]),
    *each(["doubts"], [[DOUBT | {"second": second}] for second in ("", "ab", 1, None)]),
    put("doubts", [DOUBT | {"why": "weather"}]),
    *each(["by_hand"], [{}, [1], [{"what": "lines", "from": [0, 5]}], [BOX | {"what": "all"}]]),
    put("by_hand", [BOX | {"to": [0.25, 6]}]),
)

CROWD = [
    {"at": [2, 10], "stitch": "quarter", "corner": corner, "code": "a"}
    for corner in ("top-right", "bottom-left", "bottom-right")
]


def crowd(changed: Document) -> None:
    """Three more part stitches in a square that has two."""
    changed["part_stitches"] += CROWD


OURS_ALONE_REFUSES: tuple[tuple[Change, str], ...] = (
    (put("columns", 13), "row 1 has 12 squares, the chart has 13 columns"),
    (put("rows", 11), "it has 10 rows, the chart has 11"),
    (put("key", 3, "code", "a"), "key entries 1 and 4 have the same code “a”"),
    (put("key", 3, "code", "\u0301"), "can be seen by itself"),
    (put("key", 3, "code", " "), "“code” must"),
    (put("key", 3, "code", "א"), "from right to left"),
    (put("key", 3, "code", "\u212b"), "second spelling"),
    (drop("key", 0), "row 2, square 2: “a” is no code of the key"),
    (
        put("part_stitches", 0, "at", [9, 5]),
        "part stitch 1 lies at column 9, row 5, which is not on the chart",
    ),
    (put("part_stitches", 0, "at", [1e300, 5]), "is not on the chart"),
    (put("part_stitches", 0, "at", [-2, 6]), "square [-2, 6], which has a full cross"),
    (
        put("part_stitches", 1, HALF | {"at": [-1, 7]}),
        "part stitch 2 has the square and shape of part stitch 1",
    ),
    (crowd, "square [2, 10], which has more than 4"),
    (put("part_stitches", 0, "code", "z"), "needs a “code” that is in the key"),
    (put("lines", 0, "to", [-2, 6]), "stitch line 1 ends where it begins"),
    (put("lines", 0, "to", [9.5, 6]), "stitch line 1 lies at column 9.5, row 6"),
    (
        put("lines", 3, {"stitch": "back", "from": [8, 6], "to": [-2, 6], "code": "d"}),
        "same as stitch line 1",
    ),
    (put("points", 1, {"stitch": "knot", "at": [2.5, 11], "code": "d"}), "is the same as knot or bead 1"),
    (put("sheets", 0, "columns", 13), "its squares reach beyond the chart"),
    (put("sheets", 0, "picture", "pictures/none.png"), "is not among the chart's files"),
    (put("doubts", [DOUBT | {"at": [9, 6]}]), "doubt 1 lies at column 9, row 6, which is not on the chart"),
    (put("doubts", [DOUBT, DOUBT]), "doubt 2 is about the square of doubt 1"),
    (put("doubts", [DOUBT | {"second": "z"}]), "needs “second” to be a code that is in the key"),
    (put("by_hand", [BOX | {"to": [2, 99]}]), "decision by hand 1 lies at column 2, row 99"),
    (put("by_hand", [BOX | {"to": [2.5, 8]}]), "squares on whole numbers"),
    (put("by_hand", [BOX | {"to": [-1, 8]}]), "goes “from” its top left “to” its bottom right"),
    (put("by_hand", [BOX | {"what": "lines", "to": [0, 6]}]), "decision by hand 1 goes “from”"),
)


def test_the_schema_is_a_schema_and_its_examples_fit(schema: Draft202012Validator) -> None:
    """The schema keeps to JSON Schema 2020-12, and every example it gives is right by itself."""
    Draft202012Validator.check_schema(schema.schema)
    whole: Document = dict(schema.schema)  # type: ignore[arg-type]
    for name, part in {**whole["properties"], **whole["$defs"]}.items():
        own = Draft202012Validator({"$defs": whole["$defs"], **part})
        for example in part.get("examples", ()):
            assert own.is_valid(example), name


def test_a_sound_chart_passes_both(schema: Draft202012Validator, document: Document, ours: Any) -> None:
    """A chart with every kind of stitch is sound for the schema and for us."""
    assert list(schema.iter_errors(document)) == []
    assert ours(document) == []


@settings(max_examples=60)
@given(data=st.data())
def test_every_chart_we_write_is_valid(
    data: DataObject, any_chart: SearchStrategy[Chart], schema: Draft202012Validator
) -> None:
    """What we save, strangers can check by the schema."""
    text = encode(data.draw(any_chart), Findings("drawn"))["chart.json"]
    assert list(schema.iter_errors(json.loads(text))) == []


@pytest.mark.parametrize("number", range(len(BOTH_REFUSE)))
def test_both_refuse_what_breaks_the_schema(
    number: int, schema: Draft202012Validator, document: Document, ours: Any
) -> None:
    """A wrong description is refused by the schema and, in a sentence, by us."""
    BOTH_REFUSE[number](document)
    assert not schema.is_valid(document)
    assert ours(document)


@pytest.mark.parametrize(("change", "sentence"), OURS_ALONE_REFUSES)
def test_we_alone_see_what_no_schema_can_say(
    change: Change, sentence: str, schema: Draft202012Validator, document: Document, ours: Any
) -> None:
    """Rules between several members are ours, and each refusal names the place."""
    change(document)
    assert schema.is_valid(document)
    assert any(sentence in problem for problem in ours(document)), ours(document)


@pytest.mark.parametrize(
    "change",
    [
        put("x-mood", {"deep": [1, 2]}),
        put("version", "1.7"),
        put("columns", 12.0),
        put("identity", "0B8F4A52-6D0E-4C1B-9A37-5F2C8D1E6B90"),
        put("key", 0, "kind", "moonlight"),
        put("key", 0, "blend", []),
        drop("key", 0, "symbol"),
        drop("key", 0, "strands"),
        drop("origin"),
        put("part_stitches", 0, "x-worked", "twice"),
        put("doubts", [DOUBT, DOUBT | {"at": [1, 6], "second": ".", "why": "sheets", "x-seen": 1}]),
        put("by_hand", [BOX, {"what": "lines", "from": [2, 6], "to": [0.5, 6]}]),
        put("by_hand", [{"what": "points", "from": [2.5, 6], "to": [2.5, 6]}]),
        put("cloth", {}),
        put("printed", {"columns": 240, "rows": 0}),
        put("printed", "smudged"),
    ],
)
def test_both_accept_what_may_be(
    change: Change, schema: Draft202012Validator, document: Document, ours: Any
) -> None:
    """Unknown members, newer minor versions and members left out stop nobody."""
    change(document)
    if "origin" not in document:
        for name in ("part_stitches", "lines", "points", "sheets"):
            del document[name]
    assert schema.is_valid(document)
    assert ours(document) == []
