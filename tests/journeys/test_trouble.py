"""When something is wrong: a damaged chart or layer, a folder nobody may write to, a layer taken away."""

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from stitchview.canvas.desk import Keeping
from stitchview.chart.fileformat import read_chart
from stitchview.done.change import DONE
from stitchview.done.layerfile import open_layer
from stitchview.ui.placeline import PlaceLine
from tests.journeys.boxes import Answers, notices, shown_error
from tests.journeys.sofa import Sofa


def test_a_damaged_layer_is_set_aside_and_what_can_be_read_is_shown(sofa: Sofa, harbour: Path) -> None:
    """The window says so, the damaged file is kept, and marking goes on."""
    sofa.sit_down(harbour)
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    sofa.drag((20, 20), (25, 25))
    assert sofa.get_up()
    layer = sofa.folder / "harbour.svdone"
    content = bytearray(layer.read_bytes())
    content[:16] = b"no layer at all."
    layer.write_bytes(content)

    sofa.sit_down()
    said = notices(sofa)
    assert any("was damaged" in each for each in said)
    before = sofa.desk.tally.total().done
    sofa.press("M", "3")
    sofa.drag((30, 30), (33, 33))
    assert sofa.desk.tally.total().done > before
    assert sofa.get_up()
    asides = [each for each in sofa.folder.iterdir() if each not in (layer, harbour)]
    assert [bytes(content)] == [each.read_bytes() for each in asides]
    with closing(sqlite3.connect(layer)) as whole:
        assert whole.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_a_photograph_opened_as_a_chart_says_where_it_belongs(sofa: Sofa, harbour: Path) -> None:
    """However large it is, and whatever is in it; the open chart stays."""
    sofa.sit_down(harbour)
    photograph = sofa.folder / "Sheet 1.JPG"
    with photograph.open("wb") as file:
        file.truncate(300_000_000)
    sofa.charts.open(photograph)
    said = shown_error(sofa)
    assert "is a picture, not a chart" in said
    assert "reading table (Ctrl+R)" in said
    assert sofa.sitting.path == harbour


def test_a_damaged_chart_is_refused_in_a_sentence_and_the_open_one_stays(sofa: Sofa, harbour: Path) -> None:
    """What cannot be opened names its fault; the chart on the window is still there, and so is the file."""
    sofa.sit_down(harbour)
    broken = sofa.folder / "broken.svchart"
    broken.write_bytes(harbour.read_bytes()[:-300])
    assert not sofa.charts.open(broken)
    said = shown_error(sofa)
    assert "broken.svchart" in said
    assert "Traceback" not in said
    assert sofa.sitting.path == harbour
    assert broken.read_bytes() == harbour.read_bytes()[:-300]
    assert sorted(each.name for each in sofa.folder.iterdir()) == [
        "broken.svchart",
        "harbour.svchart",
        "harbour.svdone",
    ]


def test_a_chart_that_has_gone_is_told_and_leaves_the_list(sofa: Sofa, harbour: Path) -> None:
    """The chart of last week was moved: the window says so, and does not ask for it again."""
    sofa.sit_down(harbour)
    assert sofa.get_up()
    harbour.rename(sofa.folder / "elsewhere.svchart")
    program = sofa.sit_down()
    assert "is not there" in shown_error(sofa)
    assert program.charts.sitting is None
    assert program.charts.recent.charts == ()
    assert program.window.empty.isVisible()
    (face,) = program.window.empty.model.faces
    assert not face.there
    assert "Not there now" in face.waits


def test_a_chart_on_a_stick_that_is_not_there_stays_in_the_list(sofa: Sofa, harbour: Path) -> None:
    """The folder is missing with the chart: she hears of it, and finds the chart when the stick is back."""
    stick = sofa.folder / "stick"
    stick.mkdir()
    on_stick = stick / "harbour.svchart"
    harbour.rename(on_stick)
    sofa.sit_down(on_stick)
    assert sofa.get_up()
    stick.rename(sofa.folder / "in the drawer")
    program = sofa.sit_down()
    assert "is not there" in shown_error(sofa)
    assert program.charts.recent.charts == (on_stick,)
    (sofa.folder / "in the drawer").rename(stick)
    assert program.charts.open(on_stick)


def test_marks_that_cannot_be_kept_are_asked_about_before_closing(sofa: Sofa, harbour: Path) -> None:
    """The layer's place was taken by something else: the line says so, and nothing is lost unasked."""
    sofa.sit_down(harbour)
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    sofa.qtbot.waitUntil(lambda: sofa.desk.keeping.waiting == 0)
    layer = sofa.folder / "harbour.svdone"
    layer.rename(sofa.folder / "taken away")
    layer.mkdir()
    sofa.drag((20, 20), (25, 25))
    done = sofa.desk.tally.total().done
    sofa.qtbot.waitUntil(lambda: bool(sofa.desk.keeping.trouble), timeout=8000)
    assert "Not kept" in sofa.window.panels.line.kept.text
    answers = Answers("Stay here")
    assert not sofa.get_up()
    assert "Some marks are not kept yet." in answers.said[0]
    assert sofa.window.isVisible()
    layer.rmdir()
    (sofa.folder / "taken away").rename(layer)
    assert sofa.get_up()
    opened = open_layer(harbour, read_chart(harbour), sofa.folder / "nowhere", look_only=True)
    opened.layer.close()
    assert opened.tally.total().done == done


def test_she_may_close_and_lose_what_cannot_be_kept(sofa: Sofa, harbour: Path) -> None:
    """Tried again in vain, she may let the last strokes go; those kept before are safe."""
    sofa.sit_down(harbour)
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    sofa.qtbot.waitUntil(lambda: sofa.desk.keeping.waiting == 0)
    done = sofa.desk.tally.total().done
    layer = sofa.folder / "harbour.svdone"
    layer.rename(sofa.folder / "taken away")
    layer.mkdir()
    sofa.drag((20, 20), (25, 25))
    answers = Answers("Try again", "Close and lose them")
    assert sofa.get_up()
    assert len(answers.said) == 2
    layer.rmdir()
    (sofa.folder / "taken away").rename(layer)
    sofa.sit_down()
    assert sofa.desk.tally.total().done == done


def test_a_chart_open_in_another_window_is_told(sofa: Sofa, harbour: Path) -> None:
    """Two windows on one chart: the second says so, and both keep what is marked."""
    sofa.sit_down(harbour)
    first = sofa.charts
    sofa.sit_down(harbour)
    assert any("open in another window" in each for each in notices(sofa))
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    done = sofa.desk.tally.total().done
    assert sofa.get_up()
    assert first.close()
    sofa.sit_down(harbour)
    assert not any("another window" in each for each in notices(sofa))
    assert sofa.desk.tally.total().done == done


def test_a_chart_open_elsewhere_by_another_name_is_told(sofa: Sofa, harbour: Path) -> None:
    """A link to the chart is the same chart: the second window says that it is open already."""
    sofa.sit_down(harbour)
    first = sofa.charts
    link = sofa.folder / "link to the harbour.svchart"
    link.symlink_to(harbour)
    sofa.sit_down(link)
    assert any("open in another window" in each for each in notices(sofa))
    assert first.close()


@pytest.fixture
def public() -> Iterator[Path]:
    """A folder that every person of this machine may look into; pytest's own are closed to others."""
    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o755)
        yield Path(folder)


# The whole evening of a person who may not write in the folder of her charts; prints what is to be seen.
LOCKED_EVENING = """
import os, sys
from pathlib import Path
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from stitchview.ui.settings import open_settings
from stitchview.ui.program import Program
app = QApplication([])
# Only now, because the interpreter itself may lie where the other person cannot read.
person = int(sys.argv[2])
if person:
    os.setuid(person)
for evening in range(2):
    program = Program(app, open_settings())
    program.window.show()
    program.begin(Path(sys.argv[1]))
    app.processEvents()
    notice = program.window.panels.notices.shown
    print(notice.sentence if notice else "no notice")
    sitting = program.charts.sitting
    print(sitting.desk.tally.total().done)
    canvas = program.window.board.canvas
    if not evening:
        for key in (Qt.Key.Key_5, Qt.Key.Key_Return, Qt.Key.Key_Return):
            QTest.keyClick(canvas, key)
        print(sitting.desk.tally.total().done)
    program.window.close()
"""


@pytest.mark.skipif(os.name != "posix", reason="there are no such folders and persons elsewhere")
def test_a_folder_nobody_may_write_to_is_told_and_marks_are_kept_elsewhere(
    harbour: Path, public: Path, repository: Path
) -> None:
    """The marks go to her own data folder, the window says where, and the next evening they are there."""
    home, folder = public / "home", public / "charts"
    home.mkdir()
    folder.mkdir()
    chart = Path(shutil.copy(harbour, folder))
    home.chmod(0o777)
    folder.chmod(0o555)
    # Root may write anywhere, so where the tests run as root another person sits down.
    person = 65534 if os.geteuid() == 0 else 0
    told = subprocess.run(
        [sys.executable, "-B", "-c", LOCKED_EVENING, str(chart), str(person)],
        env={
            **os.environ,
            "HOME": str(home),
            "PYTHONPATH": str(repository),
            "QT_QPA_PLATFORM": "offscreen",
            **{f"XDG_{name}_HOME": str(home / name) for name in ("CONFIG", "DATA", "CACHE", "STATE")},
        },
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    folder.chmod(0o755)
    assert told.returncode == 0, told.stderr
    first_notice, none_yet, done, second_notice, found_again = told.stdout.splitlines()
    assert "beside “harbour.svchart”" in first_notice
    assert str(home / "DATA" / "stitchview") in first_notice
    assert "harbour.svchart" in second_notice
    assert (none_yet, found_again) == ("0", done)
    assert int(done) > 0
    assert [each.name for each in folder.iterdir()] == ["harbour.svchart"]
    assert chart.read_bytes() == harbour.read_bytes()
    assert len(list((home / "DATA" / "stitchview").glob("*.svdone"))) == 1


def test_a_chart_marked_while_the_disk_is_slow_says_that_it_keeps(sofa: Sofa, harbour: Path) -> None:
    """The place line never says “kept” before it is: while a stroke waits it says so."""
    sofa.sit_down(harbour)
    said: list[str] = []
    line = sofa.window.panels.line
    watch = Watch(said, line)
    sofa.desk.tell_keeping(watch.note)
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    sofa.qtbot.waitUntil(lambda: line.kept.text == "Kept")
    assert "Keeping 1 stroke…" in said
    assert (sofa.desk.marks.squares == DONE).any()


class Watch:
    """Notes what the place line says whenever the desk speaks of keeping."""

    def __init__(self, said: list[str], line: PlaceLine) -> None:
        self.said, self.line = said, line

    def note(self, keeping: Keeping) -> None:
        """Note it."""
        self.said.append(self.line.kept.text)
