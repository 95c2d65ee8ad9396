"""`check` tells of what is done as well: sound, or damaged with what can be read."""

import contextlib
import datetime
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.chart.fileformat import read_chart
from stitchview.done.addresses import Addresses
from stitchview.done.change import Change, Selection
from stitchview.done.ids import Ids
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import change_to, noting
from stitchview.done.schema import connect, insert_rows, transaction
from stitchview.done.sittingnotes import ClothPhoto
from stitchview.done.strokes import MARK, Stroke, row_of


@pytest.fixture
def layer_path(harbour_path: Path) -> Path:
    """The harbour's layer with three strokes."""
    chart = read_chart(harbour_path)
    opened = open_layer(harbour_path, chart, harbour_path.parent / "elsewhere", "sofa")
    filled = np.flatnonzero(chart.squares.ravel())
    for at in range(3):
        change = change_to(opened.marks, Selection(filled[9 * at : 9 * at + 9]), 1)
        assert change is not None
        opened.marks.apply(change)
        opened.layer.put(opened.history.record(change))
    opened.layer.commit()
    opened.layer.close()
    return harbour_path.with_suffix(".svdone")


def test_a_sound_layer_is_told_with_strokes_and_sittings(
    say: Callable[..., Any], harbour_path: Path, layer_path: Path
) -> None:
    """A line for the chart and one for the layer; the layer by itself gives just its own."""
    told = say("check", harbour_path)
    assert told.code == 0
    assert told.lines[0] == "“harbour.svchart” is a sound chart."
    assert told.lines[1].startswith(
        "“harbour.svdone” is a sound layer: 3 strokes in 1 sitting, the last on 20"
    )
    datetime.date.fromisoformat(told.lines[1].removesuffix(".").split()[-1])
    assert say("check", layer_path).lines == told.lines[1:]


def test_a_damaged_layer_is_told_and_left_as_it_is(
    say: Callable[..., Any], harbour_path: Path, layer_path: Path
) -> None:
    """What can be read is counted; exit code 1; also beside a chart that is faulty itself."""
    content = b"not the header" + layer_path.read_bytes()[14:]
    layer_path.write_bytes(content)
    told = say("check", harbour_path)
    assert told.code == 1
    assert told.lines[1].startswith("“harbour.svdone” is damaged: 3 strokes in 1 sitting can be read")
    harbour_path.write_bytes(b"moths")
    assert say("check", harbour_path).lines[1] == told.lines[1]
    assert layer_path.read_bytes() == content
    assert sorted(path.name for path in harbour_path.parent.iterdir()) == [
        "harbour.svchart",
        "harbour.svdone",
    ]


@pytest.mark.parametrize("content", [b"", b"a shopping list"])
def test_what_is_no_layer_is_one_sentence(say: Callable[..., Any], tmp_path: Path, content: bytes) -> None:
    """Empty, or another file; and one that is not there."""
    path = tmp_path / "list.svdone"
    path.write_bytes(content)
    for asked in (path, tmp_path / "nowhere.svdone"):
        told = say("check", asked)
        assert (told.code, told.complaint, len(told.lines)) == (1, "", 1)
        assert told.out.startswith(f"“{asked.name}” ")


def test_a_stroke_that_makes_no_sense_is_told(
    say: Callable[..., Any], harbour_path: Path, layer_path: Path
) -> None:
    """Whole to its checksum, yet no list of notes: the layer is not called sound, and stays as it is."""
    chart = read_chart(harbour_path)
    with contextlib.closing(connect(layer_path)) as connection:
        stroke = Stroke(Ids().next(), None, 5, "sofa", MARK, change=Change(Area(0, 0, 0, 0)))
        row = row_of(stroke, Addresses(chart))
        blob = zlib.compress(b'{"no": "list"}')
        row = row._replace(notes=blob, notes_checksum=zlib.crc32(row.id + blob))
        with transaction(connection):
            insert_rows(connection, [row])
    content = layer_path.read_bytes()
    told = say("check", harbour_path)
    assert told.code == 1
    assert "3 strokes in 1 sitting can be read, and 1 more that make no sense" in told.lines[1]
    assert layer_path.read_bytes() == content


def test_a_photograph_that_is_gone_is_told(
    say: Callable[..., Any], harbour_path: Path, layer_path: Path
) -> None:
    """The notes tell of a photograph; nobody finds it beside the chart: said, and the exit code is 1."""
    opened = open_layer(harbour_path, read_chart(harbour_path), harbour_path.parent / "elsewhere", "sofa")
    notes = opened.marks.notes.putting(ClothPhoto("p", "0" * 32, "cloth.jpg", "ab" * 32, 5))
    assert notes is not None
    opened.layer.put(opened.history.record(noting(opened.marks.chart, notes)))
    opened.layer.commit()
    opened.layer.close()
    told = say("check", harbour_path)
    assert told.code == 1
    assert told.lines[-1] == "The photograph “cloth.jpg” is not there any more."
    folder = harbour_path.with_name("harbour photographs")
    folder.mkdir()
    (folder / "cloth.jpg").write_bytes(b"other")
    assert (
        say("check", harbour_path).lines[-1] == "The photograph “cloth.jpg” was altered since it was added."
    )
