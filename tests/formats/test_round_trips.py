"""What is saved comes back the same, through every form a chart can take."""

import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DataObject, SearchStrategy

from stitchview.chart.csvtables import key_path_for, read_csv, write_csv
from stitchview.chart.fileformat import read_chart, write_chart, write_folder
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.chart.pixelpng import read_png, write_png
from stitchview.chart.stitches import Lines, Parts, Points

Differences = Callable[[Chart, Chart], list[str]]


@contextmanager
def a_folder() -> Iterator[Path]:
    """A new folder for each chart that hypothesis draws."""
    with tempfile.TemporaryDirectory() as name:
        yield Path(name)


@settings(max_examples=150)
@given(data=st.data())
def test_a_chart_comes_back_from_its_file_with_everything(
    data: DataObject, any_chart: SearchStrategy[Chart], differences: Differences
) -> None:
    """She saves a chart and opens it again: nothing is lost, not even what a newer version wrote."""
    chart = data.draw(any_chart)
    with a_folder() as folder:
        write_chart(chart, folder / "dusk.svchart")
        assert differences(chart, read_chart(folder / "dusk.svchart")) == []


@settings(max_examples=75)
@given(data=st.data())
def test_a_chart_comes_back_from_a_folder_with_everything(
    data: DataObject, any_chart: SearchStrategy[Chart], differences: Differences
) -> None:
    """A chart kept as a folder opens as the same chart, and saves as the same file."""
    chart = data.draw(any_chart)
    with a_folder() as folder:
        write_chart(chart, folder / "dusk")
        back = read_chart(folder / "dusk")
        assert differences(chart, back) == []
        write_chart(chart, folder / "first.svchart")
        write_chart(back, folder / "second.svchart")
        assert (folder / "first.svchart").read_bytes() == (folder / "second.svchart").read_bytes()


@settings(max_examples=50)
@given(data=st.data())
def test_the_same_chart_gives_the_same_bytes(data: DataObject, any_chart: SearchStrategy[Chart]) -> None:
    """Saving what was just opened changes not one byte of the file, nor of the folder's entries."""
    chart = data.draw(any_chart)
    with a_folder() as folder:
        write_chart(chart, folder / "first.svchart")
        write_chart(read_chart(folder / "first.svchart"), folder / "second.svchart")
        assert (folder / "first.svchart").read_bytes() == (folder / "second.svchart").read_bytes()
        write_folder(chart, folder / "dusk")
        before = {path: path.read_bytes() for path in sorted((folder / "dusk").rglob("*")) if path.is_file()}
        write_folder(read_chart(folder / "dusk"), folder / "dusk")
        assert before == {
            path: path.read_bytes() for path in sorted((folder / "dusk").rglob("*")) if path.is_file()
        }


@settings(max_examples=100)
@given(data=st.data())
def test_squares_and_key_come_back_from_csv_tables(
    data: DataObject, any_chart: SearchStrategy[Chart]
) -> None:
    """The squares and the key she gives to a spreadsheet come back as they were."""
    chart = data.draw(any_chart)
    with a_folder() as folder:
        squares, key = folder / "dusk.csv", key_path_for(folder / "dusk.csv")
        write_csv(chart, squares, key)
        back = read_csv(squares, key).chart
    assert np.array_equal(back.squares, chart.squares)
    assert back.key == tuple(map(as_a_table_holds_it, chart.key))


def as_a_table_holds_it(entry: KeyEntry) -> KeyEntry:
    """The key entry without what no table can hold."""
    blend = tuple(replace(thread, extra={}) for thread in entry.blend)
    return replace(entry, symbol=Symbol(entry.symbol.text or entry.code), blend=blend, extra={})


@settings(max_examples=100)
@given(data=st.data())
def test_colours_come_back_from_a_picture(data: DataObject, any_chart: SearchStrategy[Chart]) -> None:
    """Every square of the picture has its thread's colour again, and empty squares are empty."""
    chart = data.draw(any_chart)
    with a_folder() as folder:
        write_png(chart, folder / "dusk.png")
        back = read_png(folder / "dusk.png").chart
    assert (back.rows, back.columns) == (chart.rows, chart.columns)
    for before, after in zip(chart.squares.ravel().tolist(), back.squares.ravel().tolist(), strict=True):
        assert bool(before) == bool(after)
        assert not before or chart.key[before - 1].colour == back.key[after - 1].colour


def test_notes_say_what_a_table_and_a_picture_leave_behind(sound_chart: Chart, tmp_path: Path) -> None:
    """She is told that back stitch, part stitches and the rest stay in the chart file only."""
    for notes in (
        write_csv(sound_chart, tmp_path / "a.csv", tmp_path / "b.csv"),
        write_png(sound_chart, tmp_path / "a.png"),
    ):
        told = " ".join(notes)
        for part in (
            "12 part stitches",
            "4 back and straight stitch lines",
            "3 knots and beads",
            "2 paper sheets",
        ):
            assert part in told
    bare = replace(sound_chart, parts=Parts(), lines=Lines(), points=Points(), sheets=(), title="")
    assert write_csv(bare, tmp_path / "a.csv", tmp_path / "b.csv") == ()


def test_saving_over_a_folder_keeps_other_files_and_drops_old_pictures(
    sound_chart: Chart, png: Callable[..., bytes], tmp_path: Path
) -> None:
    """A picture the chart no longer has goes, what she put there herself and hidden files stay."""
    folder = tmp_path / "dusk"
    write_folder(replace(sound_chart, attachments={"pictures/a/old.png": png()}), folder)
    (folder / ".gitignore").write_text("x")
    (folder / "README.txt").write_text("mine")
    write_folder(replace(sound_chart, attachments={"pictures/new.png": png()}), folder)
    names = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())
    assert names == [".gitignore", "README.txt", "chart.json", "pictures/new.png", "squares.txt"]
    assert sorted(read_chart(folder).attachments) == ["README.txt", "pictures/new.png"]


def test_a_file_keeps_its_mode_and_a_link_stays_a_link(sound_chart: Chart, tmp_path: Path) -> None:
    """Saving through a link changes the file it points to, and nobody else may read it than before."""
    target, link = tmp_path / "dusk.svchart", tmp_path / "link.svchart"
    write_chart(sound_chart, target)
    target.chmod(0o600)
    link.symlink_to(target)
    write_chart(replace(sound_chart, title="Later"), link)
    assert link.is_symlink()
    assert read_chart(target).title == "Later"
    assert os.stat(target).st_mode & 0o777 == 0o600
