"""`facts`: what a chart holds and what is done of it, without touching anything."""

import json
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import numpy as np
import pytest

from stitchview.chart.fileformat import read_chart
from stitchview.done.change import Selection
from stitchview.done.differences import NotWorked
from stitchview.done.differing import recording
from stitchview.done.ids import new_name
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import change_to


def mark(path: Path, elsewhere: Path, first: int) -> None:
    """Mark the first so many squares of the chart and keep that in its layer."""
    chart = read_chart(path)
    opened = open_layer(path, chart, elsewhere)
    stitched = np.flatnonzero(chart.squares)[:first]
    change = change_to(opened.marks, Selection.of(squares=stitched), 1)
    assert change is not None
    opened.marks.apply(change)
    opened.layer.put(opened.history.record(change))
    opened.layer.commit()
    opened.layer.close()


def folder_of(path: Path) -> dict[str, bytes]:
    """All files beside the chart and what they hold."""
    return {entry.name: entry.read_bytes() for entry in sorted(path.parent.iterdir()) if entry.is_file()}


def test_json_agrees_with_the_file_itself(say: Callable[..., Any], harbour_path: Path) -> None:
    """Counts agree with the letters and the lists in the file, read by zipfile, json and Counter."""
    with ZipFile(harbour_path) as container:
        text = container.read("squares.txt").decode("utf-8")
        described = json.loads(container.read("chart.json"))
    letters = Counter(text.replace("\n", "").replace(".", ""))
    told = say("facts", harbour_path, "--json")
    assert told.code == 0
    members = json.loads(told.out)
    assert (members["columns"], members["rows"]) == (60, 45)
    assert members["stitches"]["crosses"] == letters.total()
    found = {entry["code"]: entry["stitches"]["crosses"] for entry in members["key"]}
    assert {code: count for code, count in found.items() if count} == letters
    kinds = Counter(line["stitch"] for line in described["lines"])
    kinds += Counter(part["stitch"] for part in described["part_stitches"])
    kinds += Counter(point["stitch"] for point in described["points"])
    names = {"back": "back_lines", "straight": "straight_lines", "knot": "knots", "bead": "beads"}
    names |= {"half": "halves", "quarter": "quarters", "three-quarter": "three_quarters"}
    assert {names[kind]: count for kind, count in kinds.items()} == {
        name: count for name, count in members["stitches"].items() if count and name != "crosses"
    }


def test_done_counts_come_from_the_layer_beside_the_chart(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """After 120 marks, 120 are done; and reading the facts alters no file and makes none."""
    mark(harbour_path, tmp_path / "elsewhere", 120)
    before = folder_of(harbour_path)
    members = json.loads(say("facts", harbour_path, "--json").out)
    assert members["done"]["done"] == 120
    assert members["done"]["left"] == members["done"]["stitches"] - 120
    assert sum(entry["done"] for entry in members["key"]) == 120
    assert any("120 done" in line for line in say("facts", harbour_path).lines)
    assert folder_of(harbour_path) == before


def test_a_chart_never_begun_gets_no_layer(say: Callable[..., Any], harbour_path: Path) -> None:
    """Asking for the facts does not begin a done layer."""
    before = folder_of(harbour_path)
    assert json.loads(say("facts", harbour_path, "--json").out)["done"]["done"] == 0
    assert folder_of(harbour_path) == before


def test_a_damaged_layer_is_spoken_of_and_left_alone(say: Callable[..., Any], harbour_path: Path) -> None:
    """The chart's facts are told all the same, with a sentence about the layer, and no file changes."""
    harbour_path.with_suffix(".svdone").write_bytes(b"this is no layer" * 100)
    before = folder_of(harbour_path)
    told = say("facts", harbour_path)
    assert told.code == 0
    assert "60 x 45 squares" in told.out
    assert "harbour.svdone" in told.complaint
    assert json.loads(say("facts", harbour_path, "--json").out)["notices"]
    assert folder_of(harbour_path) == before


def test_the_typed_folder_has_facts_too(say: Callable[..., Any], repository: Path) -> None:
    """A chart folder is counted like a file."""
    told = say("facts", repository / "samples" / "every-stitch")
    assert told.code == 0
    assert told.lines[:2] == ["Every stitch", "24 x 20 squares, 12 threads in the key"]


@pytest.mark.parametrize("content", [b"", b"hello", b"PK\x03\x04 and no more"])
def test_what_is_no_chart_is_refused_in_a_sentence(
    say: Callable[..., Any], tmp_path: Path, content: bytes
) -> None:
    """One sentence on the error output, exit code 1, and nothing else."""
    path = tmp_path / "letter.svchart"
    path.write_bytes(content)
    told = say("facts", path)
    assert told.code == 1
    assert told.out == ""
    assert told.complaint.startswith("stitchview: “letter.svchart”")
    assert told.complaint.count("\n") == 1


def test_facts_count_what_stands_on_the_cloth(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path, clean_home: Path
) -> None:
    """Stitches left out on the cloth are not counted, and it is said where the cloth differs."""
    chart = read_chart(harbour_path)
    before = json.loads(say("facts", harbour_path, "--json").out)["stitches"]["crosses"]
    opened = open_layer(harbour_path, chart, tmp_path)
    told = NotWorked(new_name(), 10, 10, 5, 5, "crosses", "")
    opened.layer.put(opened.history.record(recording(opened.marks, told)))
    opened.layer.commit()
    opened.layer.close()
    members = json.loads(say("facts", harbour_path, "--json").out)
    lost = int(np.count_nonzero(chart.squares[10:15, 10:15]))
    assert members["stitches"]["crosses"] == before - lost
    assert members["differences"] == ["Stitches left out, crosses only (columns 11 to 15, rows 11 to 15)"]
    assert "On the cloth it differs" in say("facts", harbour_path).out
