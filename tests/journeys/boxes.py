"""Boxes and notices that come up in front of her: reading them, and pressing what she would."""

from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMessageBox

from tests.journeys.sofa import Sofa


class Answers:
    """Presses buttons of message boxes that stop everything, one after the other, as they come up."""

    def __init__(self, *buttons: str) -> None:
        self.buttons, self.said = list(buttons), list[str]()
        self._look = QTimer()
        self._look.timeout.connect(self.answer)
        self._look.start(0)

    def answer(self) -> None:
        """Press the next button if a box is there to be answered."""
        box = QApplication.activeModalWidget()
        if isinstance(box, QMessageBox) and box.isVisible():
            self.said.append(f"{box.text()} {box.informativeText()}")
            wanted = self.buttons.pop(0)
            if not self.buttons:
                self._look.stop()
            next(each for each in box.buttons() if each.text().replace("&", "") == wanted).click()


def shown_error(sofa: Sofa) -> str:
    """The sentence of the dialog that is shown, which is closed."""
    box = sofa.window.findChild(QMessageBox)
    assert box is not None
    said = f"{box.text()} {box.informativeText()}"
    box.close()
    sofa.app.processEvents()
    return said


def notices(sofa: Sofa) -> list[str]:
    """All notices over the chart, each closed in its turn."""
    bar, said = sofa.window.panels.notices, []
    for _ in range(10):
        if bar.shown is None:
            break
        said.append(bar.shown.sentence)
        QTest.keyClick(bar, Qt.Key.Key_Escape)
    return said
