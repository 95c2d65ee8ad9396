"""She brings back what was done last week, sees first what it costs, and takes it back again."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from stitchview.done import keeper, keptcopies
from stitchview.ui.copiesdialog import CopiesDialog
from tests.done.test_copyloss import full_disk
from tests.journeys.sofa import Sofa


@pytest.fixture(autouse=True)
def every_evening_is_a_sitting(monkeypatch: pytest.MonkeyPatch) -> None:
    """Evenings of a test are seconds apart; each keeps its copy all the same."""
    monkeypatch.setattr(keptcopies, "_same_sitting", lambda copy, ids: False)


def evening(sofa: Sofa, harbour: Path, *squares: tuple[int, int]) -> int:
    """Mark a rectangle, and close the window; gives how much was done."""
    sofa.sit_down(harbour)
    sofa.press("M", "3")
    sofa.drag(*squares)
    done = sofa.desk.tally.total().done
    assert sofa.get_up()
    return done


def press_notice(sofa: Sofa, words: str) -> None:
    bar = sofa.window.panels.notices
    assert bar.shown is not None
    assert bar.shown.button == words, bar.shown
    button = next(each for each in bar.findChildren(QPushButton) if each.text() == words)
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def test_a_copy_is_brought_back_and_taken_back(sofa: Sofa, harbour: Path) -> None:
    """What would be lost stands there first; one press brings it back, one more undoes that."""
    first = evening(sofa, harbour, (5, 5), (9, 9))
    both = evening(sofa, harbour, (20, 5), (29, 9))
    sofa.sit_down(harbour)
    sofa.press("M", "3")
    sofa.drag((5, 20), (9, 22))
    more = sofa.desk.tally.total().done
    assert first < both < more
    sofa.choose("copies")
    dialog = sofa.window.findChild(CopiesDialog)
    assert dialog is not None
    assert dialog.list.count() == 2
    dialog.list.setCurrentRow(1)
    assert f"{more - first} stitches fewer are done, {first} instead of {more}" in dialog.told.text()
    QTest.mouseClick(dialog.bring, Qt.MouseButton.LeftButton)
    assert not dialog.isVisible()
    assert sofa.desk.tally.total().done == first
    press_notice(sofa, "Undo")
    assert sofa.desk.tally.total().done == more
    assert sofa.get_up()
    sofa.sit_down(harbour)
    assert sofa.desk.tally.total().done == more


def test_marks_that_are_gone_are_offered(sofa: Sofa, harbour: Path) -> None:
    """Somebody tidied the folder: at the next opening the copy is offered, and one press brings it back."""
    done = evening(sofa, harbour, (5, 5), (9, 9))
    harbour.with_suffix(".svdone").unlink()
    sofa.sit_down(harbour)
    assert sofa.desk.tally.total().done == 0
    shown = sofa.window.panels.notices.shown
    assert shown is not None
    assert "are not beside it any more" in shown.sentence
    press_notice(sofa, "Bring them back")
    assert sofa.desk.tally.total().done == done


def test_a_copy_that_could_not_be_kept_is_said(
    sofa: Sofa, harbour: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With a full disk: said in the workbasket after closing, and after quitting at the next start."""
    sofa.sit_down(harbour)
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    with monkeypatch.context() as full:
        full.setattr(keeper, "keep_copy", full_disk)
        sofa.charts.put_away()
        shown = sofa.window.panels.notices.shown
        assert shown is not None
        assert "No dated copy of “harbour.svdone” could be kept (the disk is full)" in shown.sentence
        assert sofa.charts.open(harbour)
        sofa.press("M", "3")
        sofa.drag((15, 5), (19, 9))
        assert sofa.get_up()
    sofa.sit_down(harbour)
    shown = sofa.window.panels.notices.shown
    assert shown is not None
    assert "The marks themselves are safe." in shown.sentence
    assert sofa.get_up()
    sofa.sit_down(harbour)
    assert sofa.window.panels.notices.shown is None
