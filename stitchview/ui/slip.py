"""A slip of paper over the chart with what is being measured or proposed; it stays until it is put away."""

from PySide6.QtWidgets import QWidget

from stitchview.ui.hint import MARGIN, Hint
from stitchview.ui.messages import announce


class Slip(Hint):
    """Stands high in the middle of its board; each subject has its own lines on it."""

    def __init__(self) -> None:
        super().__init__()
        self._lines: dict[str, str] = {}
        self.setAccessibleName("Slip")

    def write(self, subject: str, words: str, aloud: bool = False) -> None:
        """Put other words on the slip about a subject, none to take them off; read out if asked."""
        if words:
            self._lines[subject] = words
        else:
            self._lines.pop(subject, None)
        text = "\n".join(self._lines.values())
        if text != self.text():
            self.setText(text)
            self.setAccessibleDescription(text)
        if not text:
            self.hide()
            return
        self._place()
        self.show()
        self.raise_()
        if aloud:
            announce(self, words)

    def _top(self, board: QWidget, height: int) -> int:
        return MARGIN
