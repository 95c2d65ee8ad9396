"""A sound done layer, to be ruined in many ways."""

import contextlib
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.addresses import Addresses
from stitchview.done.change import Selection
from stitchview.done.layerfile import OpenedLayer, open_layer
from stitchview.done.marks import change_to
from stitchview.done.schema import connect, read_rows
from stitchview.done.shapes import Takes, rectangle
from stitchview.done.strokes import StrokeRow
from stitchview.done.timeline import Replay, timeline_of

STROKES = 260


@dataclass(frozen=True, eq=False)
class Ruin:
    """A sound layer's bytes and strokes, and the folder in which it is ruined in many ways."""

    chart: Chart
    folder: Path
    content: bytes
    rows: tuple[StrokeRow, ...]

    @property
    def path(self) -> Path:
        return self.folder / "harbour.svdone"

    def asides(self) -> list[Path]:
        return sorted(self.folder.glob("harbour.damaged-*.svdone"))

    @contextlib.contextmanager
    def opened(self, content: bytes | None = None) -> Iterator[OpenedLayer]:
        """The layer opened, holding `content`; other files from before are cleared away first."""
        if content is not None:
            for left in self.folder.iterdir():
                left.unlink()
            self.path.write_bytes(content)
        opened = open_layer(self.folder / "harbour.svchart", self.chart, self.folder / "elsewhere", "sofa")
        try:
            yield opened
        finally:
            opened.layer.close()

    def saved(self) -> list[StrokeRow]:
        with contextlib.closing(connect(self.path, read_only=True)) as connection:
            return list(read_rows(connection))

    def marks_of(self, rows: list[StrokeRow]) -> list[np.ndarray[tuple[int, ...], np.dtype[np.uint8]]]:
        live = set(timeline_of(rows).live)
        replay = Replay(self.chart, Addresses(self.chart))
        for row in rows:
            if row.id in live:
                replay.add(row)
        return list(replay.finish())

    def assert_saved(self, content: bytes, at_most_lost: int) -> None:
        """After damage: all bytes are kept aside, most strokes are there, and the window says how many."""
        with self.opened(content) as opened:
            saved = self.saved()
            assert [path.read_bytes() for path in self.asides()] == [content]
            aside = self.asides()[0].name
            assert len(opened.notices) == 1
            assert "“harbour.svdone” was damaged" in opened.notices[0]
            assert f"“{aside}”" in opened.notices[0]
            assert (f"{len(saved)} strokes could" if len(saved) > 1 else "stroke could be") in opened.notices[
                0
            ]
            assert {row.id for row in saved} <= {row.id for row in self.rows}
            assert len(saved) >= len(self.rows) - at_most_lost
            for mine, theirs in zip(self.marks_of(saved), opened.marks.families, strict=True):
                assert np.array_equal(mine, theirs)
        with self.opened() as again:
            assert again.notices == ()
            assert len(self.saved()) == len(saved)

    def assert_unharmed_or_saved(self, content: bytes, at_most_lost: int) -> bool:
        """Whether damage was noticed; if not, every stroke and every mark must be there all the same."""
        with self.opened(content) as opened:
            if opened.notices:
                noticed = True
            else:
                noticed = False
                assert {row.id for row in self.saved()} == {row.id for row in self.rows}
                for mine, theirs in zip(self.marks_of(list(self.rows)), opened.marks.families, strict=True):
                    assert np.array_equal(mine, theirs)
        if noticed:
            self.assert_saved(content, at_most_lost)
        return noticed

    def with_sql(self, *statements: str) -> bytes:
        """The sound layer after somebody's own SQL."""
        path = self.folder / "edited"
        path.write_bytes(self.content)
        with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as connection:
            for statement in statements:
                connection.execute(statement)
        content = path.read_bytes()
        path.unlink()
        return content


@pytest.fixture(scope="module")
def ruin(tmp_path_factory: pytest.TempPathFactory, random_chart: Callable[..., Chart]) -> Ruin:
    """A layer of many small strokes, some undone, and a few so big that they fill pages of their own."""
    folder, chart, random = (
        tmp_path_factory.mktemp("ruin"),
        random_chart(90, 70, 5, 3),
        np.random.default_rng(2),
    )
    opened = open_layer(folder / "harbour.svchart", chart, folder / "elsewhere", "sofa")
    for number in range(STROKES):
        if number % 11 == 5:
            step = opened.history.undo()
            assert step is not None
            opened.marks.apply(step.change)
            opened.layer.put(step.stroke)
            continue
        column, row = int(random.integers(88)), int(random.integers(68))
        selection = rectangle(chart, Area(column, row, 2, 2), Takes())
        if number % 60 == 0:
            selection = Selection(np.flatnonzero(random.random(chart.squares.size) < 0.4))
        change = change_to(opened.marks, selection, int(number % 4 != 3))
        if change is not None:
            opened.marks.apply(change)
            opened.layer.put(opened.history.record(change))
        if number % 20 == 0:
            opened.layer.commit()
    opened.layer.put_place({"zoom": 2})
    opened.layer.commit()
    opened.layer.keep_snapshot(opened.marks, opened.history.live)
    opened.layer.close()
    ruin = Ruin(chart, folder, (folder / "harbour.svdone").read_bytes(), ())
    rows = tuple(ruin.saved())
    assert any(len(row.squares or b"") > 1500 for row in rows)
    return Ruin(chart, folder, ruin.content, rows)
