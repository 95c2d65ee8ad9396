"""`copies`: the dated copies of what is done, listed and brought back from the command line."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from stitchview.chart.fileformat import read_chart
from stitchview.done.change import Selection
from stitchview.done.keeper import Keeper
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import change_to


def an_evening(chart_path: Path, squares: slice) -> None:
    """Marks some squares and closes as the window does."""
    chart = read_chart(chart_path)
    opened = open_layer(chart_path, chart, chart_path.parent / "elsewhere", "sofa")
    keeper = Keeper(opened, lambda _: None, lambda _: None)
    change = change_to(opened.marks, Selection(np.flatnonzero(chart.squares.ravel())[squares]), 1)
    assert change is not None
    opened.marks.apply(change)
    keeper.put(opened.history.record(change))
    assert keeper.close() is None


def test_copies_are_listed_and_brought_back(say: Callable[..., Any], harbour_path: Path) -> None:
    """None at first; one after an evening; a layer that was deleted since is there again."""
    told = say("copies", harbour_path)
    assert told.out == "No copy of the marks of “harbour.svchart” is kept yet.\n"
    an_evening(harbour_path, slice(0, 40))
    an_evening(harbour_path, slice(40, 50))
    (copy,) = json.loads(say("copies", harbour_path, "--json").out)["copies"]
    assert (copy["number"], copy["strokes"]) == (2, 2)
    assert say("copies", harbour_path).out.endswith("  2 strokes\n")
    harbour_path.with_suffix(".svdone").unlink()
    told = say("copies", harbour_path, "--restore", 2)
    assert told.out == "“harbour.svdone” holds 2 strokes again, those of copy 2.\n"
    done = json.loads(say("facts", harbour_path, "--json").out)["done"]["done"]
    assert done == 50


def test_a_copy_that_is_not_there_is_one_sentence(say: Callable[..., Any], harbour_path: Path) -> None:
    """Nothing is begun by asking for it."""
    told = say("copies", harbour_path, "--restore", 3)
    assert (told.code, told.complaint) == (
        1,
        "stitchview: There is no copy 3. Choose one of those that are listed.\n",
    )
    assert not harbour_path.with_suffix(".svdone").exists()
