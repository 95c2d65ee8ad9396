"""The check list counts down to nothing as the chart is named, answered and compared with the paper."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from stitchview.ui.reading.readingwindow import ReadingWindow
from stitchview.ui.theme import Theme, apply_theme
from tests.ui.reading.letters import COLUMNS, ROWS, turn


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
