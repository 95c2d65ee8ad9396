"""The tour of a chart leaves pictures and a record of every step, and her own marks as they were."""

import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from stitchview.chart.fileformat import read_chart, write_folder
from stitchview.done.change import DONE, Selection
from stitchview.done.layerfile import OpenedLayer, open_layer
from stitchview.done.marks import change_to
from stitchview.done.ownfolder import own_layers_folder
from stitchview.ui import tour


@pytest.fixture
def walk(qapp: QApplication, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> Callable[[Path, Path], int]:
    """The tour in the application of the tests, which rests after each step no longer than it must."""
    monkeypatch.setattr(tour, "make_app", lambda: qapp)
    monkeypatch.setattr(tour, "SETTLE_MS", 1)
    monkeypatch.setattr(tour, "SAID_MS", 1)
    return tour.run_tour


def marks_elsewhere(chart: Path) -> OpenedLayer:
    """The marks of a chart as they lie in the program's own folder, since nobody can write to /proc."""
    return open_layer(Path("/proc") / chart.name, read_chart(chart), own_layers_folder())


def test_a_tour_shows_every_step(walk: Callable[[Path, Path], int], harbour: Path, tmp_path: Path) -> None:
    """Each step has its picture, marks are made on the way, and the evening goes on where it stopped."""
    folder = tmp_path / "tour"
    steps = walk(harbour, folder)
    told = json.loads((folder / "tour.json").read_text("utf-8"))
    assert told["chart"] == harbour.name
    seen = {step["step"]: step for step in told["steps"]}
    assert len(seen) == steps == len(list(folder.glob("*.png")))
    assert not any(QImage(str(folder / step["picture"])).isNull() for step in told["steps"])
    assert seen["opened"]["done"] == 0
    assert {"paper-found", "paper-piles", "paper-doubts", "paper-check", "pencil"} <= set(seen)
    assert seen["paper-read"]["stitches"] > 0
    assert seen["swept"]["done"] > 0
    assert seen["rectangle"]["done"] > seen["swept"]["done"]
    assert seen["resumed"]["done"] == seen["night"]["done"]
    assert seen["resumed"]["pixels_a_square"] == seen["night"]["pixels_a_square"]
    assert seen["resumed"]["middle"] == pytest.approx(seen["night"]["middle"], abs=0.05)
    assert list(harbour.parent.iterdir()) == [harbour]


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="needs a folder that nobody can write to")
def test_a_tour_leaves_marks_that_lie_elsewhere(
    walk: Callable[[Path, Path], int], harbour: Path, tmp_path: Path
) -> None:
    """Marks of a chart in a folder nobody can write to lie in the program's own; a tour adds none to them."""
    hers = marks_elsewhere(harbour)
    change = change_to(hers.marks, Selection(np.flatnonzero(hers.marks.chart.squares)[:5]), DONE)
    assert change is not None
    hers.marks.apply(change)
    hers.layer.put(hers.history.record(change))
    hers.layer.commit()
    hers.layer.close()
    walk(harbour, tmp_path / "tour")
    again = marks_elsewhere(harbour)
    again.layer.close()
    assert again.layer.path == hers.layer.path
    assert again.tally.total().done == 5


def test_a_chart_kept_as_a_folder_is_toured_as_one(
    walk: Callable[[Path, Path], int], harbour: Path, tmp_path: Path
) -> None:
    """A chart typed by hand, in a folder of any name, goes through the evening too."""
    typed = tmp_path / "dusk.typed"
    write_folder(read_chart(harbour), typed)
    walk(typed / "chart.json", tmp_path / "tour")
    told = json.loads((tmp_path / "tour" / "tour.json").read_text("utf-8"))
    assert told["chart"] == "dusk.typed"
    seen = {step["step"]: step for step in told["steps"]}
    assert seen["alone"]["done"] > 0
