"""Keys of the window that go on working in a dialog that stays open beside the chart."""

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QDialog, QWidget

UNDOING = ("undo", "redo")


def lend_keys(dialog: QDialog, board: QWidget, names: tuple[str, ...]) -> None:
    """Let a dialog answer to the keys of these actions of the board's window, as that window does.

    What can be done, and with which keys, stays the window's affair.
    """
    found = (board.window().findChild(QAction, name) for name in names)
    dialog.addActions([action for action in found if action is not None])
