"""What the actions about the last things must come to: the list, the way through it, and the end."""

from collections.abc import Iterator
from functools import partial

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from stitchview.done.change import DONE, LATER, MISTAKE, OPEN, Selection
from stitchview.done.shapes import Takes, rectangle
from stitchview.ui.lastdialog import LastDialog
from stitchview.ui.lastwork import FINISHED, FINISHED_BUT
from tests.journeys.effects_of_looking import Scene
from tests.journeys.sofa import Sofa

HERE = (20, 20)


def all_but_a_few(sofa: Sofa) -> dict[str, tuple[int, int]]:
    """Everything is done but a hole far away, a square at the edge near by left for later, and a mistake."""
    desk = sofa.desk
    desk.mark(rectangle(desk.chart, desk.chart.area, Takes()), DONE)
    stitched = desk.chart.squares > 0
    inner = stitched.copy()
    inner[1:-1, 1:-1] &= stitched[:-2, 1:-1] & stitched[2:, 1:-1] & stitched[1:-1, :-2] & stitched[1:-1, 2:]
    inner[[0, -1]] = inner[:, [0, -1]] = False
    hole, wrong = np.argwhere(inner)[[0, -1]]
    edge = np.argwhere(stitched[:1])[0]
    for (row, column), state in ((hole, OPEN), (edge, OPEN), (edge, LATER), (wrong, MISTAKE)):
        desk.mark(Selection(np.array([row * desk.chart.columns + column])), state)
    places = {"hole": hole, "edge": edge, "wrong": wrong}
    return {name: (int(column), int(row)) for name, (row, column) in places.items()}


def lists_the_last_things(sofa: Sofa) -> Iterator[None]:
    """The mistake first, then the hole that hides, then what waits; all left out it is finished."""
    places = all_but_a_few(sofa)
    sofa.put_pointer(HERE)
    yield
    dialog = sofa.works.cloth.last.dialog
    assert dialog is not None
    assert dialog.isVisible()
    words = [dialog.list.item(row).text() for row in range(dialog.list.count())]
    assert [line.split(":")[0] for line in words] == ["Mistake to unpick", "Hidden hole", "Crosses"]
    assert "left for later" in words[2]
    assert dialog.told.text() == "3 stitches left at 3 places."
    dialog.list.setCurrentRow(1)
    QTest.mouseClick(dialog.go, Qt.MouseButton.LeftButton)
    assert sofa.canvas.showing.pointers.cursor == places["hole"]
    for left in (2, 1, 0):
        dialog.list.setCurrentRow(0)
        QTest.mouseClick(dialog.out, Qt.MouseButton.LeftButton)
        told = FINISHED_BUT if left == 0 else f"{left} stitch"
        sofa.qtbot.waitUntil(partial(begins, dialog, told), timeout=20000)
    assert dialog.list.count() == len({(each.sort, each.code) for each in sofa.desk.notes.left_out})
    dialog.list.setCurrentRow(0)
    QTest.mouseClick(dialog.up, Qt.MouseButton.LeftButton)
    sofa.qtbot.waitUntil(lambda: not dialog.told.text().startswith("Finished"), timeout=20000)
    sofa.choose("undo")
    sofa.qtbot.waitUntil(lambda: dialog.told.text() == FINISHED_BUT, timeout=20000)
    for _ in range(3):
        sofa.choose("undo")
    sofa.desk.mark(rectangle(sofa.desk.chart, sofa.desk.chart.area, Takes()), DONE)
    sofa.qtbot.waitUntil(lambda: dialog.told.text() == FINISHED, timeout=20000)
    assert dialog.list.count() == 0
    dialog.close()


def goes_through_the_last_things(sofa: Sofa) -> Iterator[None]:
    """From one to the next and round again; the nearest of a step first."""
    places = all_but_a_few(sofa)
    sofa.put_pointer(HERE)
    yield
    seen = [sofa.canvas.showing.pointers.cursor]
    for _ in range(3):
        sofa.press("Shift+N")
        seen.append(sofa.canvas.showing.pointers.cursor)
    assert seen == [places["wrong"], places["hole"], places["edge"], places["wrong"]]


def begins(dialog: LastDialog, told: str) -> bool:
    """Whether the dialog tells so far."""
    return dialog.told.text().startswith(told)


LAST_THINGS: dict[str, Scene] = {
    "last-things": lists_the_last_things,
    "next-last-thing": goes_through_the_last_things,
}
