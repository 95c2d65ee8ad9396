"""What bringing a copy back would lose is told before; closing says what it could not keep."""

import contextlib
import errno
import os
import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done import keeper as keepers
from stitchview.done import keptcopies
from stitchview.done.copyloss import loss_of
from stitchview.done.joining import Piece
from stitchview.done.keeper import Keeper
from stitchview.done.looking import look_into
from stitchview.done.marks import change_to, noting
from stitchview.done.notes import Pin
from stitchview.done.restoring import copies_kept_of, restore
from stitchview.done.shapes import Takes, rectangle
from stitchview.errors import LayerError

if TYPE_CHECKING:
    from tests.done.conftest import Evening


def an_evening(evening: "Evening", chart: Chart, area: Area, *pins: Pin) -> str:
    """Mark an area, close, and give what closing had to say."""
    opened = evening.open(chart)
    keeper = Keeper(opened, lambda _: None, lambda _: None)
    change = change_to(opened.marks, rectangle(chart, area, Takes()), 1)
    assert change is not None
    notes = opened.marks.notes.putting(*pins)
    change = change if notes is None else noting(chart, notes, change)
    opened.marks.apply(change)
    keeper.put(opened.history.record(change))
    assert keeper.close() is None
    evening.open_now.remove(opened)
    return keeper.copy_trouble


@pytest.fixture
def piece(evening: "Evening", small_chart: Callable[[], Chart], monkeypatch: pytest.MonkeyPatch) -> Piece:
    """Two evenings that count as two sittings, with a copy each."""
    monkeypatch.setattr(keptcopies, "_same_sitting", lambda copy, ids: False)
    chart = small_chart()
    assert an_evening(evening, chart, Area(0, 0, 3, 3)) == ""
    assert an_evening(evening, chart, Area(4, 4, 5, 5), Pin("p", 1, 1, "Mast")) == ""
    return Piece(evening.chart_path, chart, evening.elsewhere)


def test_what_would_be_lost_is_what_is_lost(evening: "Evening", piece: Piece) -> None:
    """Strokes, stitches and notes told before differ afterwards; nothing is altered by asking."""
    content = evening.layer_path.read_bytes()
    loss = loss_of(piece, 1)
    assert evening.layer_path.read_bytes() == content
    assert (loss.going, loss.coming, loss.now.notes, loss.then.notes) == (1, 0, 1, 0)
    before = evening.open(piece.chart, look_only=True).tally.total()
    restored = restore(piece, 1)
    after = evening.open(piece.chart, look_only=True).tally.total()
    assert (loss.now.progress, loss.then.progress) == (before, after)
    fewer = before.done - after.done
    assert f"{fewer} stitches fewer are done, {after.done} instead of {before.done}" in loss.words
    assert "1 stroke made since would be lost" in loss.words
    assert "Notes: 0 instead of 1" in loss.words
    # Just what was there was the newest copy already, so the way back is that one.
    assert restored.kept is None
    back = loss_of(piece, 2)
    assert (back.going, back.coming) == (0, 1)
    assert "Nothing would be lost" in back.words
    assert "1 stroke would come back" in back.words


def test_the_same_is_told_as_the_same(piece: Piece) -> None:
    """A copy of just what is there gives no reason to bring it back; a number nobody kept is refused."""
    assert loss_of(piece, 2).words.endswith("It holds just what is there now.")
    with pytest.raises(LayerError, match="There is no copy 9"):
        loss_of(piece, 9)


def test_of_a_layer_that_is_gone_all_comes_back(evening: "Evening", piece: Piece) -> None:
    """With no layer there nothing is lost, and every stroke of the copy comes back."""
    evening.layer_path.unlink()
    loss = loss_of(piece, 2)
    assert (loss.going, loss.coming, loss.now.progress.done) == (0, 2, 0)


def test_a_copy_that_gives_nothing_is_refused(piece: Piece) -> None:
    """One sentence; nothing is altered."""
    copies_kept_of(piece)[0].path.write_bytes(b"a shopping list")
    with pytest.raises(LayerError):
        loss_of(piece, 2)


def full_disk(*_: Any, **__: Any) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def full_database(*_: Any, **__: Any) -> None:
    """SQLite itself says that there is no more room."""
    with contextlib.closing(sqlite3.connect(":memory:")) as small:
        small.execute("PRAGMA max_page_count=1")
        small.execute("CREATE TABLE room (x)")


def locked(*_: Any, **__: Any) -> None:
    raise OSError(errno.EROFS, os.strerror(errno.EROFS))


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        (full_disk, "(the disk is full)"),
        (full_database, "(the disk is full)"),
        (locked, "(your data folder cannot be written)"),
    ],
)
def test_a_closing_copy_that_cannot_be_kept_is_said(
    evening: "Evening", piece: Piece, monkeypatch: pytest.MonkeyPatch, fault: Callable[..., None], words: str
) -> None:
    """One clear word: which, why, that the marks are safe, and what to do; and they are safe."""
    copies = copies_kept_of(piece)
    monkeypatch.setattr(keepers, "keep_copy", fault)
    told = an_evening(evening, piece.chart, Area(0, 8, 9, 1))
    assert told.startswith("No dated copy of “harbour.svdone” could be kept")
    assert words in told
    assert "The marks themselves are safe." in told
    assert copies_kept_of(piece) == copies
    assert len(look_into(evening.layer_path).rows) == 3


def test_a_data_folder_that_is_a_file_is_said_too(
    evening: "Evening", small_chart: Callable[[], Chart], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No injected fault: the folder for copies really cannot be made."""
    (tmp_path / "data").write_text("no folder")
    monkeypatch.setattr(keptcopies, "own_layers_folder", lambda: tmp_path / "data")
    told = an_evening(evening, small_chart(), Area(0, 0, 3, 3))
    assert "could be kept" in told
    assert "safe" in told
