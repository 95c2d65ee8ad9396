"""Where nothing can be written beside the chart, the marks are kept elsewhere, and she is told."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done import berth, placing
from stitchview.done.change import DONE
from stitchview.done.keeper import Keeper
from stitchview.done.layerfile import OpenedLayer
from stitchview.done.marks import change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.errors import LayerError

if TYPE_CHECKING:
    from tests.done.conftest import Evening

TOP = Area(1, 1, 10, 2)
# /proc takes no new files from anybody, the administrator included.
NOBODYS_FOLDER = Path("/proc")
needs_nobodys_folder = pytest.mark.skipif(
    not (NOBODYS_FOLDER / "self").exists(), reason="needs a folder that nobody can write to"
)


def done(opened: OpenedLayer) -> int:
    return opened.tally.total().done


@pytest.fixture
def lock(evening: "Evening", monkeypatch: pytest.MonkeyPatch) -> Callable[[bool], None]:
    """Makes the charts' folder unwritable for the program, and writable again."""
    real_can_write, real_touch = placing.can_write, Path.touch
    locked = False

    def can_write(path: Path) -> bool:
        return not (locked and path.parent == evening.folder) and real_can_write(path)

    def touch(path: Path, mode: int = 0o666, exist_ok: bool = True) -> None:
        if locked and path.parent == evening.folder:
            raise PermissionError(13, "Permission denied", str(path))
        real_touch(path, mode, exist_ok)

    def turn(on: bool) -> None:
        nonlocal locked
        locked = on

    monkeypatch.setattr(berth, "can_write", can_write)
    monkeypatch.setattr(Path, "touch", touch)
    return turn


@needs_nobodys_folder
def test_the_layer_lies_in_the_other_folder(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """The marks of a chart in an unwritable folder are kept, and the window says where each time."""
    path = NOBODYS_FOLDER / "harbour.svchart"
    first = evening.open(small_chart(), path)
    assert first.layer.path is not None
    assert first.layer.path.parent == evening.elsewhere
    assert first.layer.keeps
    assert first.notices == (
        f"Nothing can be kept beside “harbour.svchart”, so its marks are kept in “{first.layer.path}”.",
    )
    evening.mark(first, TOP)
    evening.close(first)
    again = evening.open(small_chart(), path)
    assert done(again) > 0
    assert again.layer.path == first.layer.path
    assert again.notices == first.notices
    other = evening.open(replace(small_chart(), identity="another"), path)
    assert done(other) == 0
    assert other.layer.path != first.layer.path


@needs_nobodys_folder
def test_with_nowhere_to_write_nothing_is_said_to_be_kept(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """Marks live for the evening only, the window says so plainly, and undo works all the same."""
    evening.elsewhere = NOBODYS_FOLDER / "elsewhere"
    opened = evening.open(small_chart(), NOBODYS_FOLDER / "harbour.svchart")
    evening.open_now.remove(opened)
    assert not opened.layer.keeps
    assert "cannot be kept anywhere" in opened.notices[0]
    assert "not kept when the chart is closed" in opened.notices[0]
    kept: list[tuple[bytes, ...]] = []
    failed: list[LayerError] = []
    keeper = Keeper(opened, kept.append, failed.append)
    change = change_to(opened.marks, rectangle(opened.marks.chart, TOP, Takes()), DONE)
    assert change is not None
    opened.marks.apply(change)
    keeper.put(opened.history.record(change))
    assert keeper.flush()
    step = opened.history.undo()
    assert step is not None
    opened.marks.apply(step.change)
    assert done(opened) == 0
    assert keeper.close() is None
    assert kept == []
    assert failed == []


@needs_nobodys_folder
def test_a_file_where_the_other_folder_should_be_is_told(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """Something else by the name of the program's own folder costs her no chart, only a sentence."""
    evening.elsewhere.write_text("a shopping list")
    opened = evening.open(small_chart(), NOBODYS_FOLDER / "harbour.svchart")
    assert not opened.layer.keeps
    assert f"({evening.elsewhere} is no folder)" in opened.notices[0]
    assert evening.elsewhere.read_text() == "a shopping list"


@pytest.mark.parametrize("name", ["h" * 230, "h" * 247, "\u6e2f" * 80])
def test_marks_of_a_chart_with_a_long_name_are_kept(
    evening: "Evening", small_chart: Callable[[], Chart], name: str
) -> None:
    """However long a name the disk takes for a chart, her marks are kept and found again."""
    path = evening.folder / f"{name}.svchart"
    path.touch()
    first = evening.open(small_chart(), path)
    assert first.layer.keeps
    evening.mark(first, TOP)
    evening.close(first)
    again = evening.open(small_chart(), path)
    assert (again.layer.path, done(again)) == (first.layer.path, done(first))
    assert done(again) > 0


def test_marks_of_a_locked_folder_are_carried_over(
    evening: "Evening", small_chart: Callable[[], Chart], lock: Callable[[bool], None]
) -> None:
    """A layer that can be read but not written goes on in the other folder, with all its strokes."""
    first = evening.open(small_chart())
    first.layer.put_place({"zoom": 2})
    evening.mark(first, TOP)
    evening.close(first)
    content = evening.layer_path.read_bytes()
    lock(True)
    second = evening.open(small_chart())
    assert second.layer.path is not None
    assert second.layer.path.parent == evening.elsewhere
    assert done(second) == done(first)
    assert second.place == {"zoom": 2}
    assert "Nothing can be kept beside" in second.notices[0]
    evening.mark(second, Area(1, 4, 10, 2))
    evening.close(second)
    third = evening.open(small_chart())
    assert (third.layer.path, done(third)) == (second.layer.path, done(second))
    assert len(list(evening.elsewhere.iterdir())) == 1
    while evening.undo(third):
        pass
    assert done(third) == 0
    assert evening.layer_path.read_bytes() == content


def test_strokes_in_two_places_are_joined(
    evening: "Evening", small_chart: Callable[[], Chart], lock: Callable[[bool], None]
) -> None:
    """When the folder can be written again, no marks are lost, wherever they lie, and she is told."""
    lock(True)
    first = evening.open(small_chart())
    evening.mark(first, TOP)
    evening.close(first)
    lock(False)
    second = evening.open(small_chart())
    assert (second.layer.path, done(second)) == (first.layer.path, done(first))
    assert "begun when nothing could be kept beside it" in second.notices[0]
    evening.close(second)

    # A layer of its own is brought beside the chart, say from a backup, with other strokes.
    elsewhere, evening.elsewhere = evening.elsewhere, evening.folder / "nowhere"
    beside = evening.open(small_chart())
    assert beside.layer.path == evening.layer_path
    evening.close(beside)
    evening.elsewhere = elsewhere
    empty_beside = evening.open(small_chart())
    assert empty_beside.layer.path == first.layer.path  # the one beside has no strokes
    evening.close(empty_beside)
    evening.elsewhere = evening.folder / "nowhere"
    beside = evening.open(small_chart())
    evening.mark(beside, Area(1, 2, 5, 4))
    evening.close(beside)
    evening.elsewhere = elsewhere
    third = evening.open(small_chart())
    assert third.layer.path == evening.layer_path
    assert "in two places" in third.notices[0]
    assert str(first.layer.path) in third.notices[0]
    expected = (first.marks.squares == DONE) | (beside.marks.squares == DONE)
    assert np.array_equal(third.marks.squares == DONE, expected)
    # Undoing goes by what holds then, although neither layer knew of the other's strokes.
    evening.undo(third)
    assert np.array_equal(third.marks.squares, first.marks.squares)
    evening.redo(third)
    assert np.array_equal(third.marks.squares == DONE, expected)
    evening.close(third)
    fourth = evening.open(small_chart())
    assert fourth.notices == ()
    assert np.array_equal(fourth.marks.squares == DONE, expected)


def test_strokes_made_beside_reach_an_older_layer_elsewhere(
    evening: "Evening", small_chart: Callable[[], Chart], lock: Callable[[bool], None]
) -> None:
    """Locked, unlocked and locked again: the marks of all three evenings are there."""
    first = evening.open(small_chart())
    evening.mark(first, Area(1, 1, 10, 1))
    evening.close(first)
    lock(True)
    second = evening.open(small_chart())
    evening.close(second)  # carried over, nothing marked
    lock(False)
    third = evening.open(small_chart())
    assert third.layer.path == evening.layer_path
    assert third.notices == ()
    evening.mark(third, Area(1, 4, 10, 1))
    evening.close(third)
    lock(True)
    fourth = evening.open(small_chart())
    assert fourth.layer.path == second.layer.path
    assert done(fourth) == done(third)
    evening.mark(fourth, Area(1, 6, 10, 1))
    evening.close(fourth)
    assert done(evening.open(small_chart())) == done(fourth)
