"""Open the window: the application, its theme and last resort, the chart asked for, and the event loop."""

import contextlib
import gc
import os
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

from PySide6.QtCore import QEvent, QMessageLogContext, QtMsgType, Signal, qInstallMessageHandler
from PySide6.QtGui import QFileOpenEvent
from PySide6.QtWidgets import QApplication

from stitchview.errors import CommandError
from stitchview.ui.icons import icon
from stitchview.ui.messages import install_last_resort
from stitchview.ui.preferences import open_settings
from stitchview.ui.program import Program

NO_DISPLAY = "There is no display;"
NO_USABLE_DISPLAY = "The display cannot be used;"
NO_DISPLAY_REMEDY = "`stitchview tour CHART OUTDIR` works without one."
ONE_AT_A_TIME = "A window shows one chart at a time; open the others from the menu."


def run_window(paths: list[str]) -> int:
    """Open the window with the first of `paths`, and stay until it is closed; gives the exit code.

    Raises `CommandError` where there is no display.
    """
    check_display(os.environ, sys.platform)
    with one_last_word():
        app = make_app()
    program = Program(app, open_settings())
    app.file_asked.connect(program.open_named)
    program.window.stay_within(app.primaryScreen().availableSize())
    program.window.show()
    program.begin(Path(paths[0]) if paths else None)
    if len(paths) > 1:
        program.window.panels.notices.say(ONE_AT_A_TIME)
    # From now on rubbish is looked for, but not in what was loaded before.
    gc.freeze()
    gc.enable()
    return app.exec()


def check_display(environment: Mapping[str, str], platform: str) -> None:
    """Raise `CommandError` where no window can be opened; Qt itself would end the process without a word."""
    if not platform.startswith(("linux", "freebsd", "openbsd")):
        return
    if not any(environment.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")):
        raise CommandError(NO_DISPLAY, NO_DISPLAY_REMEDY)


@contextlib.contextmanager
def one_last_word() -> Iterator[None]:
    """Say in one sentence why no window can be opened, where Qt ends the process in the block.

    That is so where a display is named but is not there, or where libraries it needs are missing.
    """
    held: list[str] = []

    def take(kind: QtMsgType, _: QMessageLogContext, message: str) -> None:
        if kind is QtMsgType.QtFatalMsg:
            sys.stderr.write(f"stitchview: {NO_USABLE_DISPLAY} {NO_DISPLAY_REMEDY}\n")
            sys.stderr.flush()
            os._exit(1)
        held.append(message)

    before = qInstallMessageHandler(take)
    try:
        yield
    finally:
        qInstallMessageHandler(before)
        for message in held:
            sys.stderr.write(f"{message}\n")


def make_app() -> "Application":
    """The application with its name, its icon and its last resort."""
    app = Application(sys.argv[:1])
    app.setApplicationName("stitchview")
    app.setApplicationDisplayName("stitchview")
    app.setDesktopFileName("stitchview")
    app.setWindowIcon(icon("stitchview", app.palette()))
    install_last_resort(app)
    return app


class Application(QApplication):
    """The application; it hears of charts that the file manager hands to a running program (macOS)."""

    file_asked = Signal(str)

    def event(self, event: QEvent) -> bool:
        """Pass the name of the file on."""
        if isinstance(event, QFileOpenEvent) and event.file():
            self.file_asked.emit(event.file())
            return True
        return super().event(event)
