"""The next evening begins with the picture of the last: the same to the pixel, and never an old one."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtGui import QImage

from stitchview.ui import rehearsal
from stitchview.ui.lastsight import read_sight, sight_file, still_holds
from stitchview.ui.opening import open_chart
from stitchview.ui.preferences import Preferences, keep_preferences
from stitchview.ui.program import Program
from stitchview.ui.recent import Recent
from stitchview.ui.rehearsal import leave_sight
from stitchview.ui.settings import open_settings
from stitchview.ui.theme import Theme
from tests.journeys.sofa import Sofa

# One evening as a process of its own: what is on the screen first, what it becomes, and what hands do.
EVENING = """
import json, sys, time
from PySide6.QtCore import QCoreApplication, QEvent, QPointF, Qt, QTimer
from PySide6.QtGui import QImage, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QApplication
from stitchview.ui.front import open_front

asked = json.loads(sys.argv[1])
front = open_front([asked["chart"]] if asked["chart"] else [])
told = {"shown": front.curtain.shows_chart, "numpy": "numpy" in sys.modules}
told["painted"] = front.curtain.painted

def screen():
    picture = front.window.screen().grabWindow(front.window.winId()).toImage()
    return picture.convertToFormat(QImage.Format.Format_RGB32)

first = screen()
told["ground"] = first.pixelColor(3, 3).name()

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.desk import Desk
from stitchview.done.change import DONE
from stitchview.ui import run

def hands():
    # As the window system delivers them: to the window, and in the order in which they were made.
    for kind in (QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonRelease):
        place, left = QPointF(*asked["click"]), Qt.MouseButton.LeftButton
        held = left if kind == QEvent.Type.MouseButtonPress else Qt.MouseButton.NoButton
        event = QMouseEvent(kind, place, place, left, held, Qt.KeyboardModifier.NoModifier)
        QCoreApplication.postEvent(front.window.windowHandle(), event)

if asked["click"]:
    hands()

def until(wanted):
    begun = time.monotonic()
    while not wanted() and time.monotonic() - begun < 20:
        front.app.processEvents()
    return wanted()

def evening(app):
    canvas, desk = front.window.findChild(ChartCanvas), app.findChild(Desk) or DESKS[-1]
    told["lifted"] = until(lambda: not front.curtain.isVisible())
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    for _ in range(5):
        app.processEvents()
    told["same"] = screen() == first
    told["marks"] = int((desk.marks.squares == DONE).sum())
    middle = canvas.mapTo(front.window, canvas.rect().center())
    told["middle"] = [middle.x(), middle.y()]
    told["size"] = [front.window.width(), front.window.height()]
    for key in asked["keys"]:
        for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
            text = key.lower() if len(key) == 1 else ""
            code = getattr(Qt.Key, "Key_" + key)
            QApplication.sendEvent(canvas, QKeyEvent(kind, code, Qt.KeyboardModifier.NoModifier, text))
    until(lambda: desk.flush())
    front.window.close()
    return 0

DESKS = []
making = Desk.__init__
def made(desk, *parts):
    making(desk, *parts)
    DESKS.append(desk)
Desk.__init__ = made
QApplication.exec = lambda *_: evening(front.app)
told["code"] = run.run_window(front)
print(json.dumps(told))
"""

Evening = Callable[..., dict[str, object]]


@pytest.fixture
def evening(harbour: Path, repository: Path) -> Evening:
    """Spends an evening with the harbour in a process of its own, and tells what was seen."""

    def spend(
        keys: tuple[str, ...] = (), chart: bool = True, click: object = None, **environment: str
    ) -> dict[str, object]:
        asked = {"chart": str(harbour) if chart else "", "keys": keys, "click": click}
        told = subprocess.run(
            [sys.executable, "-c", EVENING, json.dumps(asked)],
            env={**os.environ, "PYTHONPATH": str(repository), "QT_QPA_PLATFORM": "offscreen", **environment},
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )
        assert told.returncode == 0, told.stderr
        seen: dict[str, object] = json.loads(told.stdout.splitlines()[-1])
        assert seen["code"] == 0
        assert seen["lifted"]
        return seen

    return spend


# Marks with the sweep, a band, zooms, a thread in hand: whatever an evening may leave behind.
BUSY = ("B", "Plus", "Plus", "Down", "M", "Space", "W")


@pytest.mark.parametrize(
    ("theme", "scale"), [(Theme.LIGHT, "1"), (Theme.DARK, "1.25"), (Theme.LIGHT, "1.5"), (Theme.DARK, "2")]
)
def test_the_first_picture_is_what_follows(evening: Evening, theme: Theme, scale: str) -> None:
    """What is on the screen before anything is loaded is, pixel for pixel, what is there when all is."""
    keep_preferences(open_settings(), Preferences(theme=theme))
    begun = evening(BUSY, QT_SCALE_FACTOR=scale)
    assert not begun["shown"]
    again = evening(QT_SCALE_FACTOR=scale)
    assert again["shown"]
    assert again["painted"]
    assert not again["numpy"], "the heavy parts were loaded before the first picture"
    assert again["same"]
    assert evening(chart=False, QT_SCALE_FACTOR=scale)["shown"], "not so without a chart named"


@pytest.mark.parametrize("theme", [Theme.LIGHT, Theme.DARK])
def test_without_a_picture_a_page_says_what_is_opened(evening: Evening, theme: Theme) -> None:
    """The first time the window is in the colours of the theme at once, and never black."""
    keep_preferences(open_settings(), Preferences(theme=theme))
    seen = evening()
    assert not seen["shown"]
    assert not seen["numpy"]
    assert seen["ground"] == {Theme.LIGHT: "#ebe7e0", Theme.DARK: "#1f1f22"}[theme]


def test_a_click_at_the_picture_is_for_the_chart(evening: Evening) -> None:
    """Hands that are quicker than the program mark what they saw; at a page of words they mark nothing."""
    place = evening(("M",))["middle"]
    assert evening(click=place)["marks"] == 1
    sight_file().unlink()
    assert evening(click=place)["marks"] == 1


IMPATIENT = """
import sys
from PySide6.QtCore import QTimer
from stitchview.ui.front import open_front
from stitchview.ui.run import run_window
front = open_front([sys.argv[1]])
QTimer.singleShot(0, front.window.close)
print(run_window(front))
"""


def test_a_window_closed_before_the_chart_is_there_ends_the_program(harbour: Path, repository: Path) -> None:
    """Who closes the window at the page of words does not leave a program behind that nobody can see."""
    told = subprocess.run(
        [sys.executable, "-c", IMPATIENT, str(harbour)],
        env={**os.environ, "PYTHONPATH": str(repository), "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert told.stdout == "0\n", told.stderr
    assert harbour.with_suffix(".svdone").exists()


def test_another_scale_or_size_shows_no_old_picture(evening: Evening) -> None:
    """On a screen of other scaling, or in a window of another size, the window is drawn anew."""
    evening()
    assert not evening(QT_SCALE_FACTOR="1.5")["shown"]
    evening()
    assert evening()["shown"]
    settings: QSettings = open_settings()
    settings.remove("window/geometry")
    settings.sync()
    assert not evening()["shown"]


def test_a_mark_made_elsewhere_shows_no_old_picture(evening: Evening, harbour: Path) -> None:
    """Where the marks have come from another computer meanwhile, the old picture is not shown."""
    evening(("M",))
    layer = harbour.with_suffix(".svdone")
    kept, sight = layer.read_bytes(), sight_file().read_bytes()
    place = evening()["middle"]
    assert evening(click=place)["marks"] == 1
    marked = layer.read_bytes()
    layer.write_bytes(kept)
    evening()
    layer.write_bytes(marked)
    assert not evening()["shown"]
    sight_file().write_bytes(sight)
    assert not evening()["shown"]


def test_a_damaged_picture_is_passed_over(evening: Evening) -> None:
    """A picture that is damaged on the disk costs nothing but the quick start."""
    evening()
    whole = sight_file().read_bytes()
    sight_file().write_bytes(whole[:-100])
    assert not evening()["shown"]
    assert evening()["shown"]


def test_the_rehearsal_leaves_everything_as_it_was(sofa: Sofa, harbour: Path) -> None:
    """What is rehearsed out of sight alters neither the settings nor the marks, and is open nowhere after."""
    window = sofa.sit_down(harbour).window
    sofa.press("B", "M", "+", "Down")
    sofa.click((5, 5))
    assert sofa.get_up()
    settings = open_settings()
    files = [Path(settings.fileName()), harbour, harbour.with_suffix(".svdone")]
    before = [file.read_bytes() for file in files]
    leave_sight(sofa.app, settings, window)
    assert [file.read_bytes() for file in files] == before
    sight = read_sight(sight_file())
    assert sight is not None
    assert sight.chart == str(harbour)
    assert sight.title == "60 x 50"
    assert still_holds(sight, sofa.app, settings)
    sofa.sit_down(harbour)
    assert not still_holds(sight, sofa.app, settings), "it is open in another window now"
    assert sofa.window.panels.notices.shown is None


def test_who_comes_back_during_the_rehearsal_is_not_told_of_it(sofa: Sofa, harbour: Path) -> None:
    """A chart that is only rehearsed is not open in another window."""
    rehearsed = open_chart(harbour, signed=False)
    sofa.sit_down(harbour)
    assert sofa.window.panels.notices.shown is None
    rehearsed.layer.layer.close()


def test_a_mark_made_during_the_rehearsal_leaves_no_picture(
    sofa: Sofa, harbour: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the marks are written while the picture is drawn, it may be the older one, and is not kept."""
    window = sofa.sit_down(harbour).window
    assert sofa.get_up()
    drawn = rehearsal._picture

    def drawn_while_marked(program: Program) -> QImage | None:
        layer = harbour.with_suffix(".svdone")
        layer.write_bytes(layer.read_bytes())
        return drawn(program)

    monkeypatch.setattr(rehearsal, "_picture", drawn_while_marked)
    leave_sight(sofa.app, open_settings(), window)
    assert not sight_file().exists()
    monkeypatch.setattr(rehearsal, "_picture", drawn)
    leave_sight(sofa.app, open_settings(), window)
    assert sight_file().exists()


def test_a_chart_put_away_leaves_no_picture(sofa: Sofa, harbour: Path) -> None:
    """Where the next start opens no chart, no picture of one is kept; nor of a chart that has gone."""
    window = sofa.sit_down(harbour).window
    assert sofa.get_up()
    leave_sight(sofa.app, open_settings(), window)
    assert sight_file().exists()
    harbour.unlink()
    leave_sight(sofa.app, open_settings(), window)
    assert not sight_file().exists()
    Recent(open_settings()).closed()
    leave_sight(sofa.app, open_settings(), window)
    assert not sight_file().exists()
