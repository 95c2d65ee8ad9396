"""Work beside the window ends in every case: what nobody foresaw is told, and leaves nothing busy."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from stitchview.chart.model import Chart
from stitchview.sheets.reading import Wishes
from stitchview.ui.reading import chartjob, looksjob
from stitchview.ui.reading.besidewindow import UNFORESEEN
from stitchview.ui.reading.chartjob import Asked, ChartJob
from stitchview.ui.reading.looksjob import LooksJob

LONG_MS = 60_000


class Unforeseen(Exception):
    """A fault that no code expects."""


def fault(*_: object) -> None:
    """Fail as nobody foresaw."""
    raise Unforeseen


def test_an_unforeseen_fault_ends_the_looking(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, small_chart: Callable[[], Chart]
) -> None:
    """It comes to light in the window's thread, answers teach nothing then, and work can begin anew."""
    parent = QObject()
    told: list[object] = []
    job = LooksJob(parent)
    job.done.connect(told.append)
    monkeypatch.setattr(looksjob, "looks_of", fault)
    for times in (1, 2):
        with qtbot.captureExceptions() as raised:
            job.start(small_chart())
            qtbot.waitUntil(lambda: not job.busy, timeout=LONG_MS)
        assert told == [None] * times
        assert [each[0] for each in raised] == [Unforeseen]


def test_an_unforeseen_fault_ends_the_reading_with_a_sentence(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The foot of the table says that nothing was lost; what was stopped before is not heard of."""
    parent = QObject()
    told: list[str] = []
    job = ChartJob(parent)
    job.failed.connect(told.append)
    monkeypatch.setattr(chartjob, "chart_from", fault)
    asked = Asked([], Wishes())
    job.start(asked)
    job.stop()
    with qtbot.captureExceptions() as raised:
        job.start(asked)
        qtbot.waitUntil(lambda: not job.busy, timeout=LONG_MS)
    assert told == [UNFORESEEN]
    assert [each[0] for each in raised] == [Unforeseen]
