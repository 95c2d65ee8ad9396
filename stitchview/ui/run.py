"""Fill the window that is on the screen, run the program until it is closed, and leave its picture behind."""

import gc

from PySide6.QtWidgets import QApplication

from stitchview.ui import front as fronts
from stitchview.ui.front import Front
from stitchview.ui.icons import icon
from stitchview.ui.messages import install_last_resort
from stitchview.ui.program import Program
from stitchview.ui.rehearsal import leave_sight
from stitchview.ui.rubbish import Rubbish
from stitchview.ui.unveiling import Unveiling, let_hands_pass, lift

ONE_AT_A_TIME = "A window shows one chart at a time; open the others from the menu."


def run_window(front: Front, several: bool = False) -> int:
    """Bring the program up behind `front`, and stay until it is closed; gives the exit code.

    With `several` charts asked for she is told that only the first is shown.
    """
    app, window = front.app, front.window
    _dress(app)
    program = Program(app, front.settings, window)
    app.file_asked.connect(program.open_named)
    program.begin(front.chart)
    if app.file_named:
        program.open_named(app.file_named)
    if several:
        window.panels.notices.say(ONE_AT_A_TIME)
    _hand_over(front, program)
    # From now on rubbish is looked for, but not in what was loaded before.
    gc.freeze()
    Rubbish(app)
    # Closed while it was still coming up, it would wait for an end that has been.
    code = app.exec() if window.isVisible() else 0
    leave_sight(app, front.settings, window)
    return code


def make_app() -> QApplication:
    """The application with its name, its icon and its last resort."""
    app = fronts.make_app()
    _dress(app)
    return app


def _dress(app: QApplication) -> None:
    app.setWindowIcon(icon("stitchview", app.palette()))
    install_last_resort(app)


def _hand_over(front: Front, program: Program) -> None:
    """Give the window to her hands; what they did while a page of words was there is dropped."""
    front.curtain.raise_()
    if front.curtain.shows_chart and program.window.board is not None:
        Unveiling(front.app, front.curtain, program)
        return
    let_hands_pass(front.app)
    lift(front.curtain)
