"""The laptop and the tablet share a folder: what the other device marked is offered, joined, and seen."""

import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from stitchview.chart.area import Area
from stitchview.chart.fileformat import read_chart
from stitchview.done.change import DONE
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.ui import copiesfound
from tests.journeys.sofa import Sofa


@pytest.fixture(autouse=True)
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The search begins at once, so that no test has to wait."""
    monkeypatch.setattr(copiesfound, "WAIT_MS", 0)


def marked_on_the_tablet(sofa: Sofa, harbour: Path) -> Path:
    """A copy of the layer with more strokes in it, as a sync service lays it beside the chart."""
    tablet = sofa.folder / "tablet"
    tablet.mkdir()
    chart = read_chart(harbour)
    shutil.copy(harbour.with_suffix(".svdone"), tablet / "harbour.svdone")
    opened = open_layer(tablet / "harbour.svchart", chart, tablet / "nowhere", "tablet")
    change = change_to(opened.marks, rectangle(chart, Area(30, 30, 12, 9), Takes()), DONE)
    assert change is not None
    opened.layer.put(opened.history.record(change))
    opened.layer.commit()
    opened.layer.close()
    copy = sofa.folder / "harbour (from the tablet).svdone"
    (tablet / "harbour.svdone").rename(copy)
    return copy


def test_marks_of_the_tablet_are_offered_and_joined(sofa: Sofa, harbour: Path) -> None:
    """One notice, one button: then both evenings are on the chart, and it is not offered again."""
    sofa.sit_down(harbour)
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    done = sofa.desk.tally.total().done
    assert sofa.get_up()
    copy = marked_on_the_tablet(sofa, harbour)
    sofa.sit_down(harbour)
    bar = sofa.window.panels.notices
    sofa.qtbot.waitUntil(lambda: bar.shown is not None, timeout=8000)
    assert bar.shown is not None
    assert f"“{copy.name}” beside the chart holds marks of it" in bar.shown.sentence
    assert bar.shown.button == "Join them"
    QTest.mouseClick(bar._button, Qt.MouseButton.LeftButton)
    assert sofa.desk.tally.total().done > done
    assert copy.exists()
    joined = sofa.desk.tally.total().done
    assert sofa.get_up()
    sofa.sit_down(harbour)
    sofa.qtbot.wait(300)
    assert bar.shown is None or "beside the chart" not in bar.shown.sentence
    assert sofa.desk.tally.total().done == joined


def test_a_chart_alone_is_offered_nothing(sofa: Sofa, harbour: Path) -> None:
    """No copies, no notice."""
    sofa.sit_down(harbour)
    sofa.qtbot.wait(300)
    assert sofa.window.panels.notices.shown is None
