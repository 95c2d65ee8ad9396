"""What is next of a thread, asked from the command line."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any
from uuid import UUID

import numpy as np
import pytest

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, Selection
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import change_to


def mark(path: Path, elsewhere: Path, selection: Selection) -> None:
    """Mark stitches and keep that in the chart's layer."""
    opened = open_layer(path, read_chart(path), elsewhere)
    change = change_to(opened.marks, selection, DONE)
    assert change is not None
    opened.marks.apply(change)
    opened.layer.put(opened.history.record(change))
    opened.layer.commit()
    opened.layer.close()


@pytest.fixture
def small_path(tmp_path: Path, small_chart: Callable[[], Chart]) -> Path:
    """The small harbour on the disk."""
    path = tmp_path / "small.svchart"
    write_chart(replace(small_chart(), identity=str(UUID(int=1))), path)
    return path


def test_the_nearest_agrees_with_a_look_at_every_square(say: Callable[..., Any], harbour_path: Path) -> None:
    """Nearest and left agree with distances to all squares of the thread, by numpy alone."""
    chart = read_chart(harbour_path)
    number = int(chart.squares[20, 30])
    spots = np.argwhere(chart.squares == number) + 1
    told = say("next", harbour_path, "--thread", chart.key[number - 1].code, "--from", "7,9", "--json")
    members = json.loads(told.out)
    assert told.code == 0
    assert members["left"]["crosses"] == len(spots)
    away = ((spots - [9, 7]) ** 2).sum(axis=1)
    near = members["nearest"]
    assert (near["column"] - 7) ** 2 + (near["row"] - 9) ** 2 == away.min()
    row = chart.squares[near["row"] - 1]
    runs = [run for run in members["runs"] if run["part_stitch"] is None]
    taken = [run["column"] - 1 + at for run in runs for at in range(run["length"])]
    begins = taken[0]
    assert taken == [column for column in range(begins, chart.columns) if row[column] == number]


def test_it_goes_on_from_the_marks_made_last(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """Without a place asked for, it begins where she stopped; what is done is not told again."""
    chart = read_chart(harbour_path)
    number = int(chart.squares[20, 30])
    mark(harbour_path, tmp_path / "elsewhere", Selection.of(squares=np.array([20 * chart.columns + 30])))
    members = json.loads(say("next", harbour_path, "--thread", chart.key[number - 1].code, "--json").out)
    assert members["from"] == {"column": 31, "row": 21}
    assert members["left"]["crosses"] == int((chart.squares == number).sum()) - 1
    assert (members["nearest"]["column"], members["nearest"]["row"]) != (31, 21)


def test_it_reads_as_sentences(say: Callable[..., Any], small_path: Path) -> None:
    """Three lines: what is left, where the nearest is, and its row as one stitches it."""
    told = say("next", small_path, "--thread", "b", "--from", "2,2")
    assert told.code == 0
    assert told.lines[0].startswith("Sample cotton 2, shade 2, number 2: ")
    assert told.lines[1] == "Nearest to column 2, row 2: column 4, row 2, 3.6 mm away."
    assert told.lines[2] == "Row 2, from column 4: 2 shade 2, skip 4, 2 shade 2."


def test_a_finished_thread_is_a_sentence(say: Callable[..., Any], harbour_path: Path, tmp_path: Path) -> None:
    """Nothing is left, which is no fault."""
    chart = read_chart(harbour_path)
    number = int(chart.squares[20, 30])
    keys = (chart.squares.ravel(), chart.parts.keys, chart.lines.keys, chart.points.keys)
    mark(harbour_path, tmp_path / "elsewhere", Selection(*(np.flatnonzero(each == number) for each in keys)))
    code = chart.key[number - 1].code
    told = say("next", harbour_path, "--thread", code)
    assert told.code == 0
    assert len(told.lines) == 1
    assert told.out.endswith(": all of it is done.\n")
    members = json.loads(say("next", harbour_path, "--thread", code, "--json").out)
    assert members["nearest"] is None
    assert members["runs"] == []


def test_a_thread_of_lines_only_is_found_at_its_line(
    say: Callable[..., Any], small_path: Path, tmp_path: Path, small_chart: Callable[[], Chart]
) -> None:
    """Thread 4 has back stitch and a knot and no squares, so there is a place and no run."""
    whole = small_chart()
    parts = replace(whole.parts, keys=np.where(whole.parts.keys == 4, 1, whole.parts.keys).astype(np.uint16))
    path = tmp_path / "lines.svchart"
    write_chart(replace(whole, parts=parts, identity=str(UUID(int=2))), path)
    members = json.loads(say("next", path, "--thread", whole.key[3].code, "--json").out)
    assert members["left"]["crosses"] == 0
    assert members["left"]["lines"] == 3
    assert members["nearest"]["stitch"] in ("line", "knot or bead")
    assert members["runs"] == []
    assert "(line)" in say("next", path, "--thread", whole.key[3].code, "--from", "1,1").out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--thread", "?"), "No thread has the code “?”."),
        (("--thread", "a", "--from", "13,1"), "Column 13, row 1 is not on the chart."),
        (("--thread", "a", "--from", "0,1"), "is not on the chart."),
    ],
)
def test_what_is_not_there_is_refused_in_a_sentence(
    say: Callable[..., Any], small_path: Path, arguments: tuple[str, ...], words: str
) -> None:
    """Exit code 1, one line, nothing on the output."""
    told = say("next", small_path, *arguments)
    assert told.code == 1
    assert told.out == ""
    assert words in told.complaint
    assert told.complaint.count("\n") == 1


@pytest.mark.parametrize("place", ["7", "a,b", "1,2,3", ""])
def test_a_place_that_is_none_is_refused(say: Callable[..., Any], small_path: Path, place: str) -> None:
    """A place is two whole numbers with a comma."""
    told = say("next", small_path, "--thread", "a", "--from", place)
    assert told.code == 2
    assert "two whole numbers" in told.complaint
