"""A chart goes from form to form, and each form says what it cannot carry."""

import uuid
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from stitchview.chart.converting import Form, form_of, places_written, read_any, write_any
from stitchview.chart.harbour.making import make_harbour
from stitchview.chart.model import Chart
from stitchview.errors import ChartError


@pytest.fixture(scope="module")
def harbour() -> Chart:
    """A small harbour with some of every stitch."""
    return make_harbour(60, 45, 30, 2)


@pytest.mark.parametrize(
    ("name", "form"),
    [
        ("a.svchart", Form.CHART),
        ("A.SVCHART", Form.CHART),
        ("a", Form.FOLDER),
        ("a.csv", Form.TABLES),
        ("a.Png", Form.PICTURE),
    ],
)
def test_the_ending_of_a_name_tells_the_form(name: str, form: Form) -> None:
    """Capitals do not matter, and no ending means a folder."""
    assert form_of(Path(name)) is form


def test_a_folder_is_a_folder_whatever_its_name(tmp_path: Path) -> None:
    """A folder called a.csv is read as a chart folder."""
    (tmp_path / "a.csv").mkdir()
    assert form_of(tmp_path / "a.csv") is Form.FOLDER


@pytest.mark.parametrize("name", ["a.pdf", "a.json", "a.svdone", "a.svchart.gz"])
def test_endings_of_no_form_are_refused(name: str) -> None:
    """The refusal says which endings there are."""
    with pytest.raises(ChartError, match="no form") as refusal:
        form_of(Path(name))
    assert ".svchart, .csv, .png" in refusal.value.remedy


@pytest.mark.parametrize("name", ["other.svchart", "folder"])
def test_chart_and_folder_carry_everything(
    harbour: Chart, tmp_path: Path, name: str, differences: Callable[[Chart, Chart], list[str]]
) -> None:
    """Nothing is left behind, and nothing differs afterwards."""
    assert write_any(harbour, tmp_path / name) == ()
    imported = read_any(tmp_path / name)
    assert imported.notes == ()
    assert differences(harbour, imported.chart) == []


def test_tables_carry_squares_and_key(harbour: Chart, tmp_path: Path) -> None:
    """Written as CSV and read again, squares and key are the same; the rest is named as left behind."""
    left = write_any(harbour, tmp_path / "dusk.csv")
    assert any("part stitches" in sentence for sentence in left)
    assert any("lines" in sentence for sentence in left)
    chart = read_any(tmp_path / "dusk.csv").chart
    assert np.array_equal(chart.squares, harbour.squares)
    assert chart.key == harbour.key


def test_a_picture_carries_the_colours(harbour: Chart, tmp_path: Path) -> None:
    """Written as PNG and read again, each square has its colour, and bare cloth is bare."""
    assert write_any(harbour, tmp_path / "dusk.png")
    chart = read_any(tmp_path / "dusk.png").chart
    before = np.array(["", *(entry.colour.hex for entry in harbour.key)])[harbour.squares]
    after = np.array(["", *(entry.colour.hex for entry in chart.key)])[chart.squares]
    assert np.array_equal(before, after)


def test_a_chart_from_a_plainer_form_begins_its_life(harbour: Chart, tmp_path: Path) -> None:
    """It gets an identity of its own each time it is read, and its file's name as title."""
    write_any(harbour, tmp_path / "Dusk at home.png")
    one, two = (read_any(tmp_path / "Dusk at home.png").chart for _ in range(2))
    assert one.title == "Dusk at home"
    assert uuid.UUID(one.identity) != uuid.UUID(two.identity)


def test_a_table_without_a_key_beside_it_still_opens(tmp_path: Path) -> None:
    """Every different text becomes a thread, and the note says so."""
    (tmp_path / "plain.csv").write_text("a,a,b\n.,b,b\n", "utf-8")
    imported = read_any(tmp_path / "plain.csv")
    assert imported.chart.squares.tolist() == [[1, 1, 2], [0, 2, 2]]
    assert imported.notes


def test_tables_are_two_files(tmp_path: Path) -> None:
    """What is written is said beforehand, so that nothing is replaced unseen."""
    assert [path.name for path in places_written(tmp_path / "a.csv")] == ["a.csv", "a-key.csv"]
    assert places_written(tmp_path / "a.svchart") == (tmp_path / "a.svchart",)
