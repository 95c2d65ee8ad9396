"""What is first on the screen: the application, its window where it stood, and what it shows meanwhile."""

import contextlib
import os
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import (
    QEvent,
    QEventLoop,
    QMessageLogContext,
    QSettings,
    QtMsgType,
    Signal,
    qInstallMessageHandler,
)
from PySide6.QtGui import QFileOpenEvent
from PySide6.QtWidgets import QApplication

from stitchview.errors import CommandError
from stitchview.ui.curtain import Curtain
from stitchview.ui.lastsight import Sight, read_sight, sight_file, still_holds, wants_night
from stitchview.ui.recent import Recent
from stitchview.ui.settings import open_settings, theme_kept
from stitchview.ui.theme import DARK, LIGHT
from stitchview.ui.window import Window, titled

# Loaded before anything is on the screen: neither this module nor what it imports may bring numpy along.

NO_DISPLAY = "There is no display;"
NO_USABLE_DISPLAY = "The display cannot be used;"
NO_DISPLAY_REMEDY = "`stitchview tour CHART OUTDIR` works without one."
# A window that the system does not show at all must not be waited for.
MOST_TURNS = 20
WITHOUT_HANDS = QEventLoop.ProcessEventsFlag.ExcludeUserInputEvents


class Front(NamedTuple):
    """A window on the screen with nothing behind it yet, and the chart that is to come, if one is known."""

    app: "Application"
    settings: QSettings
    window: Window
    curtain: Curtain
    chart: Path | None


def open_front(paths: list[str]) -> Front:
    """Put the window on the screen: as it will look in a moment, or with a word of what is being opened.

    Keys and clicks wait from now on, until an event loop takes them. Raises `CommandError` where
    there is no display.
    """
    check_display(os.environ, sys.platform)
    with one_last_word():
        app = make_app()
    settings = open_settings()
    recent, theme = Recent(settings), theme_kept(settings)
    chart = Path(paths[0]) if paths else recent.last
    window = Window()
    window.restore_place(settings)
    window.stay_within(app.primaryScreen().availableSize())
    sight = None if chart is None or len(paths) > 1 else _sight_of(chart, app, settings)
    shades = DARK if wants_night(app, theme) else LIGHT
    begins = chart is None and not recent.charts
    curtain = Curtain(window, sight and sight.picture, _words(chart, begins), shades)
    if sight is not None:
        window.setWindowTitle(titled(sight.title))
    curtain.make_ready()
    window.show()
    for _ in range(MOST_TURNS):
        app.processEvents(WITHOUT_HANDS)
        if curtain.painted:
            break
    return Front(app, settings, window, curtain, chart)


def _sight_of(chart: Path, app: QApplication, settings: QSettings) -> Sight | None:
    sight = read_sight(sight_file())
    if sight is None or sight.chart != os.path.abspath(chart) or not still_holds(sight, app, settings):
        return None
    return sight


def _words(chart: Path | None, begins: bool) -> str:
    if chart is not None:
        return f"Opening “{chart.stem or chart}” …"
    return "Opening a sample chart …" if begins else ""


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
    """The application with its name."""
    app = Application(sys.argv[:1])
    app.setApplicationName("stitchview")
    app.setDesktopFileName("stitchview")
    return app


class Application(QApplication):
    """The application; it hears of charts that the file manager hands to a running program (macOS)."""

    file_asked = Signal(str)
    file_named = ""
    """The chart handed over last; it may come before anybody listens."""

    def event(self, event: QEvent) -> bool:
        """Pass the name of the file on."""
        if isinstance(event, QFileOpenEvent) and event.file():
            self.file_named = event.file()
            self.file_asked.emit(event.file())
            return True
        return super().event(event)
