"""How much thread is needed, asked from the command line."""

import csv
import io
import json
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any
from uuid import UUID

import numpy as np
import pytest

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.change import DONE, Selection
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import change_to, noting
from stitchview.done.skeinnotes import LEFT, SkeinNote


@pytest.fixture
def row_path(tmp_path: Path) -> Path:
    """A hundred crosses of one thread in a row, and below it ten of another."""
    squares = np.ones((2, 100), np.uint16)
    squares[1] = 0
    squares[1, :10] = 2
    key = (
        KeyEntry("a", Symbol("a"), "Sample cotton 17, slate blue", "17"),
        KeyEntry("b", Symbol("b"), "Sample silk 4"),
    )
    path = tmp_path / "row.svchart"
    write_chart(Chart(squares, key, identity=str(UUID(int=3))), path)
    return path


def test_the_geometry_is_that_of_the_table(say: Callable[..., Any], row_path: Path) -> None:
    """A row of 100 out and back: 2√2·100 + 199 squares (checks.md, 2.2), tails for each length on top."""
    told = say("need", row_path, "--count", 14, "--json")
    assert told.code == 0
    first = json.loads(told.out)["threads"][0]
    pitch = 25.4 / 14
    by_table = (2 * math.sqrt(2) * 100 + 199) * pitch * 2
    # Two strands; the thread is begun anew every 370 mm, 80 mm of tails each time.
    starts = math.ceil(by_table / 2 / 370)
    assert first["all"]["reckoned_strand_mm"] == pytest.approx(by_table + 2 * 80 * starts, rel=0.08)
    assert first["all"]["reckoned_strand_mm"] > by_table


def test_strands_count_and_over_alter_it(say: Callable[..., Any], row_path: Path) -> None:
    """Three strands take half as much again as two; over two threads of twice the count is the same."""

    def reckoned(*arguments: object) -> float:
        told = say("need", row_path, *arguments, "--json")
        return float(json.loads(told.out)["threads"][0]["all"]["reckoned_strand_mm"])

    plain = reckoned("--count", 14)
    assert reckoned("--count", 14, "--strands", 3) == pytest.approx(1.5 * plain)
    assert reckoned("--count", 28, "--over", 2) == pytest.approx(plain)
    assert reckoned("--count", 14, "--count-down", 13) > plain


def test_what_is_done_is_taken_off_what_is_left(
    say: Callable[..., Any], row_path: Path, tmp_path: Path
) -> None:
    """Half of the row marked: half of it is left, and said."""
    opened = open_layer(row_path, read_chart(row_path), tmp_path / "elsewhere")
    change = change_to(opened.marks, Selection(squares=np.arange(50)), DONE)
    assert change is not None
    opened.marks.apply(change)
    opened.layer.put(opened.history.record(change))
    opened.layer.commit()
    opened.layer.close()
    told = say("need", row_path, "--json")
    first = json.loads(told.out)["threads"][0]
    assert (first["all"]["stitches"], first["done"]["stitches"], first["left"]["stitches"]) == (100, 50, 50)
    assert 0 < first["left"]["skeins"]["high"] < first["all"]["skeins"]["high"]
    assert "left 50, " in say("need", row_path).lines[0]


def test_what_was_noted_of_skeins_warns_of_the_end(
    say: Callable[..., Any], row_path: Path, tmp_path: Path
) -> None:
    """A fiftieth of a skein of thread 17 is left for all of its row: it will run short, and so it is told."""
    opened = open_layer(row_path, read_chart(row_path), tmp_path / "elsewhere")
    note = SkeinNote("id-1", "Sample cotton 17, slate blue", "17", LEFT, 0.005, "A12")
    put = opened.marks.notes.putting(note)
    assert put is not None
    change = noting(opened.marks.chart, put)
    opened.marks.apply(change)
    opened.layer.put(opened.history.record(change))
    opened.layer.commit()
    opened.layer.close()
    told = say("need", row_path)
    assert told.lines[-1].startswith("Sample cotton 17, slate blue will run short: ")
    assert "of lot A12, before the lot changes." in told.lines[-1]
    short = json.loads(say("need", row_path, "--json").out)["run_short"]
    assert [each["number"] for each in short] == ["17"]
    assert short[0]["sure"]
    assert 0 < short[0]["uncovered"]["low"] <= short[0]["uncovered"]["high"] <= 100


def test_it_reads_as_sentences(say: Callable[..., Any], row_path: Path) -> None:
    """A line for each thread, then what to buy in all, and how sure that is."""
    told = say("need", row_path, "--count", 14)
    assert told.code == 0
    assert told.lines[0].startswith("a Sample cotton 17, slate blue: 100 stitches, ")
    assert "have 1 skein for all of it" in told.lines[0]
    assert told.lines[2].startswith("In all: 2 skeins of 2 threads for the whole chart")
    assert "eight times in ten" in told.lines[3]


def test_a_table_is_written(say: Callable[..., Any], row_path: Path, tmp_path: Path) -> None:
    """CSV as RFC 4180 has it, once; a second time only if it may be replaced."""
    target = tmp_path / "need.csv"
    told = say("need", row_path, "--csv", target)
    assert told.code == 0
    rows = list(csv.DictReader(io.StringIO(target.read_bytes().decode("utf-8"), newline="")))
    assert [row["stitches"] for row in rows] == ["100", "10"]
    assert rows[0]["name"] == "Sample cotton 17, slate blue"
    assert (
        float(rows[0]["needle m low"]) < float(rows[0]["needle m likely"]) < float(rows[0]["needle m high"])
    )
    assert say("need", row_path, "--csv", target).code == 1
    assert say("need", row_path, "--csv", target, "--replace").code == 0
    assert say("need", row_path, "--csv", tmp_path / "nowhere" / "need.csv").code == 1


def test_a_chart_without_a_key_needs_nothing(say: Callable[..., Any], tmp_path: Path) -> None:
    """It says so, with exit code 0."""
    path = tmp_path / "bare.svchart"
    write_chart(Chart(np.zeros((3, 3), np.uint16), (), identity=str(UUID(int=4))), path)
    told = say("need", path)
    assert told.code == 0
    assert told.lines == ["The key has no threads."]


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (("--count", "0"), 1, "No cloth has 0 threads"),
        (("--strands", "0"), 1, "0 strands do not go into a needle."),
        (("--strands", "900"), 1, "900 strands do not go into a needle."),
        (("--strands", "two"), 2, "invalid int value"),
        (("--count", "1e9"), 2, "is not a number"),
    ],
)
def test_absurd_wishes_are_refused_in_a_sentence(
    say: Callable[..., Any], row_path: Path, arguments: tuple[str, ...], code: int, words: str
) -> None:
    """One line, nothing on the output."""
    told = say("need", row_path, *arguments)
    assert told.code == code
    assert told.out == ""
    assert words in told.complaint
    assert told.complaint.count("\n") == 1


def test_a_formula_in_a_name_is_no_formula_in_the_table(
    say: Callable[..., Any], row_path: Path, tmp_path: Path
) -> None:
    """A spreadsheet shows it as text (checks.md, section 9)."""
    chart = read_chart(row_path)
    path, target = tmp_path / "formula.svchart", tmp_path / "formula.csv"
    key = (replace(chart.key[0], name="=1+1"), chart.key[1])
    write_chart(replace(chart, key=key, identity=str(UUID(int=5))), path)
    assert say("need", path, "--csv", target).code == 0
    assert b"\r\n'=1+1," in target.read_bytes()
