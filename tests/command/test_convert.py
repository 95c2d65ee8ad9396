"""`convert`: from form to form, saying what could not be carried, and never over something unasked."""

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from stitchview.chart.fileformat import read_chart


def test_there_and_back_again_the_chart_is_the_same(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """File to folder to file gives the same bytes."""
    assert say("convert", harbour_path, tmp_path / "folder").code == 0
    assert say("convert", tmp_path / "folder", tmp_path / "again.svchart").code == 0
    assert (tmp_path / "again.svchart").read_bytes() == harbour_path.read_bytes()


def test_tables_can_be_read_by_others(say: Callable[..., Any], harbour_path: Path, tmp_path: Path) -> None:
    """Python's csv module reads the squares as they are, and they come back by `convert`."""
    told = say("convert", harbour_path, tmp_path / "dusk.csv")
    assert told.code == 0
    assert "“dusk.csv” and “dusk-key.csv”" in told.lines[0]
    assert any("part stitches" in line for line in told.lines[1:])
    chart = read_chart(harbour_path)
    codes = np.array([".", *(entry.code for entry in chart.key)])
    with (tmp_path / "dusk.csv").open(encoding="utf-8", newline="") as file:
        cells = [
            [cell.removeprefix("'") if len(cell) > 1 else cell for cell in row] for row in csv.reader(file)
        ]
    assert np.array_equal(np.array(cells), codes[chart.squares])
    assert say("convert", tmp_path / "dusk.csv", tmp_path / "back.svchart").code == 0
    assert np.array_equal(read_chart(tmp_path / "back.svchart").squares, chart.squares)


def test_a_picture_can_be_seen_by_others(say: Callable[..., Any], harbour_path: Path, tmp_path: Path) -> None:
    """Pillow sees one pixel a square in the thread's colour, and it comes back by `convert`."""
    assert say("convert", harbour_path, tmp_path / "dusk.png").code == 0
    chart = read_chart(harbour_path)
    with Image.open(tmp_path / "dusk.png") as picture:
        pixels = np.asarray(picture.convert("RGBA"))
    parts = [(entry.colour.red, entry.colour.green, entry.colour.blue, 255) for entry in chart.key]
    stitched = chart.squares > 0
    assert np.array_equal(pixels[stitched], np.array([(0, 0, 0, 0), *parts])[chart.squares][stitched])
    assert (pixels[~stitched][:, 3] == 0).all()
    assert say("convert", tmp_path / "dusk.png", tmp_path / "back.svchart").code == 0
    back = read_chart(tmp_path / "back.svchart")
    assert np.array_equal(back.squares == 0, chart.squares == 0)
    assert back.title == "dusk"
    assert back.identity


@pytest.mark.parametrize("target", ["there.svchart", "there.csv", "there.png"])
def test_what_is_there_is_replaced_only_when_asked(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path, target: str
) -> None:
    """Without --replace nothing is written, with it the new one takes the place of the old."""
    path = tmp_path / target
    path.write_bytes(b"precious")
    told = say("convert", harbour_path, path)
    assert told.code == 1
    assert "--replace" in told.complaint
    assert path.read_bytes() == b"precious"
    assert say("convert", harbour_path, path, "--replace").code == 0
    assert path.read_bytes() != b"precious"


def test_the_key_of_another_table_is_not_replaced_unasked(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """The second file a table is made of counts as well."""
    (tmp_path / "dusk-key.csv").write_bytes(b"precious")
    told = say("convert", harbour_path, tmp_path / "dusk.csv")
    assert told.code == 1
    assert "“dusk-key.csv” is there already" in told.complaint
    assert not (tmp_path / "dusk.csv").exists()


def test_a_folder_with_other_things_is_never_taken(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """Not even with --replace; an empty folder is fine."""
    full, empty = tmp_path / "full", tmp_path / "empty"
    full.mkdir()
    empty.mkdir()
    (full / "letter.txt").write_text("dear", "utf-8")
    assert say("convert", harbour_path, full).code == 1
    assert say("convert", harbour_path, full, "--replace").code == 1
    assert [path.name for path in full.iterdir()] == ["letter.txt"]
    assert say("convert", harbour_path, empty).code == 0


@pytest.mark.parametrize(
    ("source", "target", "told"),
    [
        ("harbour.svchart", "x.pdf", "no form of a chart"),
        ("nowhere.svchart", "x.svchart", "not there"),
        ("nowhere.csv", "x.svchart", "not there"),
        ("nowhere.png", "x.svchart", "not there"),
        ("letter.png", "x.svchart", "not a PNG"),
        ("harbour.svchart", "nowhere/x.svchart", "does not exist"),
    ],
)
@pytest.mark.usefixtures("harbour_path")
def test_what_cannot_be_is_refused_in_a_sentence(
    say: Callable[..., Any], tmp_path: Path, source: str, target: str, told: str
) -> None:
    """Exit code 1, one line that says why, and nothing new on the disk."""
    (tmp_path / "letter.png").write_bytes(b"dear")
    before = sorted(tmp_path.rglob("*"))
    answer = say("convert", tmp_path / source, tmp_path / target)
    assert answer.code == 1
    assert answer.out == ""
    assert told in answer.complaint
    assert answer.complaint.count("\n") == 1
    assert sorted(tmp_path.rglob("*")) == before


def test_too_many_colours_for_a_picture(say: Callable[..., Any], tmp_path: Path) -> None:
    """A chart of more than 512 colours in use does not become a picture; the sentence says what does."""
    path = tmp_path / "rich.svchart"
    assert say("make-sample", path, "--columns", 150, "--rows", 110, "--threads", 900).code == 0
    told = say("convert", path, tmp_path / "rich.png")
    assert told.code == 1
    assert "table" in told.complaint


def test_a_picture_says_that_names_are_left_behind(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """Who keeps only the picture loses the names of the threads, and is told so before it is too late."""
    told = say("convert", harbour_path, tmp_path / "dusk.png")
    assert (
        "A picture does not hold the threads' names, numbers and symbols, only their colours." in told.lines
    )
