"""The check list counts down to nothing as the chart is named, answered and compared with the paper."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart
from stitchview.sheets.checklist import Printed, printed_on
from stitchview.ui.reading.readingwindow import ReadingWindow
from stitchview.ui.theme import Theme, apply_theme
from tests.ui.reading.conftest import Shelf
from tests.ui.reading.letters import COLUMNS, PATH, ROWS, turn


def lines(review: ReadingWindow) -> list[str]:
    """The lines of the list."""
    return [review.check.list.item(row).text() for row in range(review.check.list.count())]


def test_typed_numbers_are_compared(review: ReadingWindow) -> None:
    """The last numbers of the paper, typed with real keys, are compared with the chart at once."""
    turn(review, 4)
    assert lines(review)[0].startswith("○")
    for field, value in ((review.check.columns, COLUMNS), (review.check.rows, ROWS)):
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, str(value))
    assert lines(review)[0].startswith("✓")
    assert "points are left" in review.check.said.text()


def test_typed_numbers_are_there_another_evening(review: ReadingWindow, shelf: Shelf, tmp_path: Path) -> None:
    """They go into the chart's file with the answers, undo leaves them, and another chart has its own."""
    turn(review, 4)
    before = review.book.chart
    assert before is not None
    for field, value in ((review.check.columns, COLUMNS), (review.check.rows, ROWS)):
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, str(value))
    review.book.say(np.array([3]), 2)
    review.book.undo()
    review.keep()
    ((kept, _),) = shelf.kept
    write_chart(replace(kept, identity=""), tmp_path / "kept.svchart")
    again = read_chart(tmp_path / "kept.svchart")
    review.review(before, PATH)
    assert (review.check.columns.value(), review.check.rows.value()) == (0, 0)
    review.review(again, PATH)
    assert (review.check.columns.value(), review.check.rows.value()) == (COLUMNS, ROWS)
    assert lines(review)[0].startswith("✓")
    assert not review.book.unkept


@pytest.mark.parametrize("told", [7, "40", {"columns": True}, {"columns": -3, "rows": 1e9}, None])
def test_nonsense_in_the_file_counts_as_not_typed(chart: Chart, told: object) -> None:
    """Another program may have written anything there."""
    assert printed_on(replace(chart, extra={"printed": told})) == Printed()


def test_a_line_goes_where_it_is_mended(review: ReadingWindow) -> None:
    """Enter on the line about names opens the piles, on the one about doubts the doubts."""
    for words, page in (("have no thread yet", 1), ("in doubt", 2)):
        turn(review, 4)
        row = next(at for at, line in enumerate(lines(review)) if words in line)
        review.check.list.setFocus()
        review.check.list.setCurrentRow(row)
        QTest.keyClick(review.check.list, Qt.Key.Key_Return)
        assert review.tabs.currentIndex() == page


def test_the_check_list_fits_a_small_screen_with_large_letters(
    review: ReadingWindow, qapp: QApplication
) -> None:
    """1024 x 600 with a bar and a frame leave 1000 x 540, also for letters 1.6 times as large."""
    apply_theme(qapp, Theme.LIGHT)
    usual = qapp.font()
    large = qapp.font()
    large.setPointSizeF(usual.pointSizeF() * 1.6)
    qapp.setFont(large)
    try:
        for page in range(1, 5):
            turn(review, page)
            QApplication.processEvents()
            assert review.minimumSizeHint().width() <= 1000
            assert review.minimumSizeHint().height() <= 540
    finally:
        qapp.setFont(usual)
