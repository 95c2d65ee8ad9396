"""Rehearse the next start once the window has closed, out of sight, and keep a picture of it."""

import contextlib
import os
import time
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QSettings, Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from stitchview.done.ownfolder import own_layers_folder
from stitchview.done.schema import ENDING
from stitchview.done.shelf import shelves_of
from stitchview.errors import StitchviewError
from stitchview.safefile import replacing_all
from stitchview.ui.lastsight import Sight, facts_of, sight_file, to_bytes
from stitchview.ui.opening import Opened, open_chart
from stitchview.ui.program import Program
from stitchview.ui.recent import Recent
from stitchview.ui.window import Window

# The overview of the largest chart is drawn within this time; longer nobody is kept waiting.
MOST_SECONDS = 20.0


def leave_sight(app: QApplication, settings: QSettings, closed: Window) -> None:
    """Keep a picture of the window as the next start will show it, or take away the old one.

    It is not drawn from the window that was `closed`, where the pointer and what is open differ from
    a new evening, but from another one that starts just as the next will, and is never on the screen.
    """
    last = Recent(settings).last
    content = None if last is None else _rehearsed(app, settings, closed, last)
    # A picture is no more than a quicker start: where it cannot be kept, the next start does without.
    with contextlib.suppress(OSError, StitchviewError):
        if content is None:
            sight_file().unlink(missing_ok=True)
        else:
            replacing_all({sight_file(): content})


def _rehearsed(app: QApplication, settings: QSettings, closed: Window, path: Path) -> bytes | None:
    begun = time.time_ns()
    try:
        # Without a sign: she may come back while this is going on.
        opened = open_chart(path, signed=False)
    except StitchviewError:
        return None
    window = Window()
    window.setAttribute(Qt.WidgetAttribute.WA_DontShowOnScreen)
    window.setScreen(closed.screen())
    program = Program(app, settings, window)
    window.resize(closed.size())
    window.show()
    program.charts.show(opened)
    try:
        picture = _picture(program)
        title = program.charts.sitting.title if program.charts.sitting is not None else ""
    finally:
        program.charts.close()
        # Hidden, not closed: closing would keep its place on the screen as hers.
        window.hide()
        window.deleteLater()
    files = _files_of(opened)
    if picture is None or opened.notices or any(_written_since(file, begun) for file in files):
        return None
    settings.sync()
    facts = facts_of(files, app, settings)
    return to_bytes(Sight(os.path.abspath(opened.path), title, files, facts, picture))


def _written_since(file: str, begun: int) -> bool:
    """Whether somebody else was at work meanwhile, so that the picture may be older than the file."""
    try:
        return os.stat(file).st_mtime_ns > begun
    except OSError:
        return False


def _picture(program: Program) -> QImage | None:
    """Give the window once all of it is drawn; None if that takes too long or it says something."""
    begun = time.monotonic()
    while not program.settled:
        if time.monotonic() - begun > MOST_SECONDS:
            return None
        QCoreApplication.processEvents()
        time.sleep(0.001)
    return None if program.window.panels.notices.shown else program.window.grab().toImage()


def _files_of(opened: Opened) -> tuple[str, ...]:
    """Name the files whose change makes the window start otherwise.

    That is the chart with all its entries, every done layer that might be taken for
    it, and the sign that it is open elsewhere.
    """
    chart = opened.path
    inside = sorted(chart.rglob("*")) if chart.is_dir() else []
    shelves = shelves_of(chart, opened.layer.marks.chart, own_layers_folder())
    layers = [layer for shelf in shelves for layer in shelf.taken_places()]
    named = [chart, *inside, *layers, opened.sign_path]
    named += [shelf.folder / f"*{ENDING}" for shelf in shelves]
    named += [layer.with_name(f"{layer.name}-journal") for layer in layers]
    if chart.is_dir():
        named.append(chart / "*")
    return tuple(str(each) for each in named)
