"""What finishing a piece must come to: nothing forgotten, size noted, sheet written, others taught."""

from collections.abc import Iterator

import pypdfium2  # type: ignore[import-untyped]
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest

from stitchview.done.change import DONE
from stitchview.done.finishnotes import Finished
from stitchview.done.ownfolder import own_layers_folder
from stitchview.done.shapes import Takes, rectangle
from stitchview.plan.finishedpieces import FinishedPieces
from stitchview.ui.planning.finishdialog import FinishDialog
from stitchview.ui.planning.lessonsdialog import LessonsDialog
from tests.journeys.effects_of_last_things import all_but_a_few
from tests.journeys.effects_of_looking import Scene
from tests.journeys.sofa import Sofa


def finishes_the_piece(sofa: Sofa) -> Iterator[None]:
    """While something is left nothing can be noted; then day and size are, undone, and noted again."""
    all_but_a_few(sofa)
    yield
    dialog = sofa.window.findChild(FinishDialog)
    assert dialog is not None
    assert dialog.isVisible()
    assert dialog.told.text().startswith("Not finished: 3 stitches at 3 places are left.")
    assert not dialog.note.isEnabled()
    assert not dialog.save.isEnabled()
    QTest.mouseClick(dialog.last, Qt.MouseButton.LeftButton)
    last = sofa.works.cloth.last.dialog
    assert last is not None
    assert last.list.count() == 3
    last.close()
    sofa.desk.mark(rectangle(sofa.desk.chart, sofa.desk.chart.area, Takes()), DONE)
    sofa.qtbot.waitUntil(dialog.note.isEnabled, timeout=20_000)
    assert dialog.told.text() == "Ready to be called finished."
    dialog.wide.setValue(10.8)
    dialog.high.setValue(8.2)
    dialog.day.setDate(QDate(2026, 11, 24))
    QTest.mouseClick(dialog.note, Qt.MouseButton.LeftButton)
    assert list(sofa.desk.notes.finished) == [Finished("2026-11-24", 108.0, 82.0)]
    assert dialog.told.text() == "Finished 24 November 2026."
    assert "Measured 10.8 x 8.2 cm" in dialog.facts.words_of("Size")
    kept = FinishedPieces(own_layers_folder())
    assert [(each.day, each.taken) for each in kept.pieces()] == [("2026-11-24", True)]
    target = sofa.folder / "finished.pdf"
    assert dialog.write(target)
    document = pypdfium2.PdfDocument(target)
    assert "Finished 24 November 2026." in " ".join(document[0].get_textpage().get_text_range().split())
    document.close()
    refuses_it(sofa, dialog, kept)
    sofa.choose("undo")
    sofa.qtbot.waitUntil(lambda: dialog.told.text() == "Ready to be called finished.", timeout=20_000)
    assert not dialog.save.isEnabled()
    sofa.choose("redo")
    sofa.qtbot.waitUntil(dialog.save.isEnabled, timeout=20_000)
    dialog.carry.setChecked(False)
    QTest.mouseClick(dialog.note, Qt.MouseButton.LeftButton)
    assert kept.pieces() == ()
    dialog.close()


def refuses_it(sofa: Sofa, dialog: FinishDialog, kept: FinishedPieces) -> None:
    """She takes the tick off: no other piece learns from it."""
    QTest.mouseClick(dialog.lessons, Qt.MouseButton.LeftButton)
    lessons = dialog.findChild(LessonsDialog)
    assert lessons is not None
    lessons.list.item(0).setCheckState(Qt.CheckState.Unchecked)
    assert [each.taken for each in kept.pieces()] == [False]
    lessons.close()


FINISHING: dict[str, Scene] = {"finish": finishes_the_piece}
