"""`check` tells of what is done as well: sound, or damaged with what can be read."""

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from stitchview.chart.fileformat import read_chart
from stitchview.done.change import Selection
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import change_to


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
