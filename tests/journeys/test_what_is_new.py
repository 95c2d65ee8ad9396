"""She looks at the chart for what is new, marks on, and takes the wash off with Escape."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from stitchview.canvas.newsign import new_squares
from stitchview.ui.diary.diarywindow import DiaryWindow
from tests.journeys.sofa import Sofa


def test_what_is_new_is_washed_over_the_chart(sofa: Sofa, harbour: Path) -> None:
    """Since the last sitting began; what is marked meanwhile is washed too; Escape takes it off."""
    sofa.sit_down(harbour)
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    done = sofa.desk.tally.total().done
    sofa.choose("diary")
    diary = sofa.window.findChild(DiaryWindow)
    assert diary is not None
    sofa.qtbot.waitUntil(lambda: diary.settled and diary.new.shot is not None, timeout=20_000)
    QTest.mouseClick(diary.new.chart, Qt.MouseButton.LeftButton)
    diary.close()
    sign = sofa.canvas.showing.signs.new
    assert sign is not None
    assert new_squares(sign, sofa.desk.chart.area).sum() == done
    sofa.window.activateWindow()
    sofa.qtbot.waitUntil(sofa.window.isActiveWindow)
    sofa.canvas.setFocus()
    sofa.drag((12, 5), (14, 9))
    assert new_squares(sign, sofa.desk.chart.area).sum() == sofa.desk.tally.total().done > done
    sofa.press("Escape")
    assert sofa.canvas.showing.signs.new is None
