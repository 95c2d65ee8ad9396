"""How the program speaks: calmly, one thing after the other, and never in a traceback's words."""

import sys
import threading
from pathlib import Path

import pytest
from PySide6.QtCore import QStandardPaths, Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QAccessibleEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QMessageBox, QPushButton, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from stitchview.errors import ChartError
from stitchview.ui import messages
from stitchview.ui.messages import NoticeBar, fault_log, install_last_resort, say_error, write_fault

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def window(qtbot: QtBot) -> QWidget:
    """A window with a field to type in."""
    window = QWidget()
    qtbot.addWidget(window)
    column = QVBoxLayout(window)
    column.addWidget(QLineEdit(window))
    window.resize(700, 200)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    return window


@pytest.fixture
def bar(window: QWidget) -> NoticeBar:
    """A bar over the field."""
    bar = NoticeBar(window)
    column = window.layout()
    assert isinstance(column, QVBoxLayout)
    column.insertWidget(0, bar)
    return bar


def words(bar: NoticeBar) -> list[str]:
    """All words that are seen on the bar."""
    labels = [label.text() for label in bar.findChildren(QLabel) if label.isVisible()]
    return labels + [each.text() for each in bar.findChildren(QPushButton) if each.isVisible()]


def button(bar: NoticeBar, text: str) -> QPushButton:
    """The button that is labelled so."""
    return next(each for each in bar.findChildren(QPushButton) if each.text() == text and each.isVisible())


def test_a_notice_stays_until_it_is_closed_and_takes_nothing_away(bar: NoticeBar, qtbot: QtBot) -> None:
    """Typing goes on under it."""
    field = bar.window().findChild(QLineEdit)
    assert isinstance(field, QLineEdit)
    field.setFocus()
    assert not bar.isVisible()
    bar.say("The marks are kept in another folder.")
    assert bar.isVisible()
    assert field.hasFocus()
    QTest.keyClicks(field, "abc")
    assert field.text() == "abc"
    assert "The marks are kept in another folder." in words(bar)
    QTest.mouseClick(button(bar, "Close"), LEFT)
    assert not bar.isVisible()
    assert bar.shown is None


def test_several_wait_their_turn(bar: NoticeBar) -> None:
    """One after the other, none lost, none said twice."""
    for sentence in ("One.", "Two.", "Two.", "Three.", "One."):
        bar.say(sentence)
    seen = []
    while bar.shown is not None:
        seen.append((bar.shown.sentence, [each for each in words(bar) if "more" in each]))
        QTest.mouseClick(button(bar, "Close"), LEFT)
    assert seen == [("One.", ["2 more"]), ("Two.", ["1 more"]), ("Three.", [])]


def test_a_button_acts_and_closes(bar: NoticeBar) -> None:
    """Pressed, it does what it says, once, and may say something new."""
    done: list[str] = []

    def act() -> None:
        done.append("shown")
        bar.say("The folder is open.")

    bar.say("The layer was set aside.", "Show the folder", act)
    QTest.mouseClick(button(bar, "Show the folder"), LEFT)
    assert done == ["shown"]
    assert bar.shown is not None
    assert bar.shown.sentence == "The folder is open."
    assert "Show the folder" not in words(bar)


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Space, Qt.Key.Key_Escape])
def test_it_is_closed_by_keys(bar: NoticeBar, key: Qt.Key) -> None:
    """Enter, Space or Escape on its button."""
    bar.say("One.")
    close = button(bar, "Close")
    close.setFocus()
    QTest.keyClick(close, key)
    assert not bar.isVisible()


def test_closing_a_chart_takes_its_notices_away(bar: NoticeBar) -> None:
    """What concerned another chart is not told of this one."""
    bar.say("One.")
    bar.say("Two.")
    bar.clear()
    assert not bar.isVisible()
    bar.say("Two.")
    assert bar.isVisible()


def test_it_is_announced(bar: NoticeBar, monkeypatch: pytest.MonkeyPatch) -> None:
    """A screen reader says each notice when it comes up (WCAG 2.2, 4.1.3)."""
    told: list[str] = []

    class Reader:
        """Stands where the platform's reader stands."""

        @staticmethod
        def updateAccessibility(event: QAccessibleEvent) -> None:
            """Read the announcement."""
            assert isinstance(event, QAccessibleAnnouncementEvent)
            told.append(event.message())

    monkeypatch.setattr(messages, "QAccessible", Reader)
    bar.say("One.")
    bar.say("Two.")
    assert told == ["One."]
    QTest.mouseClick(button(bar, "Close"), LEFT)
    assert told == ["One.", "Two."]


def test_announcing_for_real_is_harmless(bar: NoticeBar) -> None:
    """With the platform's own accessibility on, nothing warns."""
    QAccessible.setActive(True)
    try:
        bar.say("One.")
        reader = QAccessible.queryAccessibleInterface(bar)
        assert reader.text(QAccessible.Text.Description) == "One."
    finally:
        QAccessible.setActive(False)


def test_words_from_files_are_not_read_as_markup(bar: NoticeBar, qtbot: QtBot) -> None:
    """A chart called <b> stays one."""
    bar.say("“<b>harbour</b>” was damaged.")
    plain = Qt.TextFormat.PlainText
    assert all(label.textFormat() == plain for label in bar.findChildren(QLabel) if "harbour" in label.text())
    box = say_error(None, ChartError("“<img src=x>” cannot be read."))
    assert box.textFormat() == plain
    box.close()


def test_an_error_says_what_is_wrong_and_what_to_do(qtbot: QtBot, bar: NoticeBar) -> None:
    """Both sentences, over the window, gone with Enter."""
    window = bar.window()
    box = say_error(window, ChartError("Row 17 has 249 squares.", "Mend the row."))
    qtbot.waitUntil(box.isVisible)
    assert (box.text(), box.informativeText()) == ("Row 17 has 249 squares.", "Mend the row.")
    assert box.parent() is window
    with qtbot.waitSignal(box.destroyed):
        QTest.keyClick(box, Qt.Key.Key_Return)


@pytest.fixture
def last_resort(qapp: QApplication, monkeypatch: pytest.MonkeyPatch) -> None:
    """The last resort in place, and gone after the test."""
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    install_last_resort(qapp)


def raised(words: str) -> ValueError:
    """A fault as it comes out of the depths."""
    try:
        raise ValueError(words)
    except ValueError as fault:
        return fault


def boxes() -> list[QMessageBox]:
    """The dialogs that are open."""
    return [
        each for each in QApplication.topLevelWidgets() if isinstance(each, QMessageBox) and each.isVisible()
    ]


@pytest.mark.usefixtures("last_resort")
def test_what_nobody_foresaw_is_said_in_a_sentence_and_written_down(qtbot: QtBot, clean_home: Path) -> None:
    """No traceback for her, all of it for whoever mends the program; the same fault is not said twice."""
    fault = raised("the needle broke")
    for _ in range(3):
        sys.excepthook(ValueError, fault, fault.__traceback__)
    qtbot.waitUntil(lambda: len(boxes()) == 1)
    box = boxes()[0]
    assert "did not foresee" in box.text()
    told = box.text() + box.informativeText()
    assert "Traceback" not in told
    assert "needle" not in told
    assert str(fault_log()) in told
    assert clean_home in fault_log().parents
    assert fault_log().read_text("utf-8").count("ValueError: the needle broke") == 3
    box.close()
    sys.excepthook(ValueError, fault, fault.__traceback__)
    qtbot.wait(20)
    assert boxes() == []


@pytest.mark.usefixtures("last_resort")
def test_a_fault_in_another_thread_is_said_in_the_window(qtbot: QtBot) -> None:
    """The thread that keeps the marks cannot fail unheard."""

    def work() -> None:
        raise KeyError("lost thread")

    worker = threading.Thread(target=work)
    worker.start()
    worker.join()
    qtbot.waitUntil(lambda: len(boxes()) == 1)
    assert "lost thread" in fault_log().read_text("utf-8")
    boxes()[0].close()


@pytest.mark.usefixtures("last_resort")
def test_without_a_place_to_write_it_is_still_said(qtbot: QtBot, clean_home: Path) -> None:
    """A full or locked disk does not silence the program."""
    fault_log().parent.parent.mkdir(parents=True, exist_ok=True)
    fault_log().parent.write_text("a file where the folder should be")
    assert write_fault("x") is None
    fault = raised("no room")
    sys.excepthook(ValueError, fault, fault.__traceback__)
    qtbot.waitUntil(lambda: len(boxes()) == 1)
    assert "written down" not in boxes()[0].informativeText()
    boxes()[0].close()


def test_the_log_does_not_grow_without_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """One old log is kept beside the new one; both together stay small."""
    monkeypatch.setattr(messages, "MOST_LOG_BYTES", 1000)
    for number in range(40):
        write_fault(f"fault {number} {'x' * 100}")
    logs = list(fault_log().parent.iterdir())
    assert len(logs) == 2
    assert all(log.stat().st_size < 1200 for log in logs)
    assert "fault 39" in fault_log().read_text("utf-8")


def test_the_log_lies_in_the_folder_for_such_things(clean_home: Path) -> None:
    """On Linux that is XDG_STATE_HOME (XDG Base Directory Specification 0.8)."""
    state = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.GenericStateLocation)
    assert fault_log().parent == Path(state) / "stitchview"
    if sys.platform == "linux":
        assert Path(state) == clean_home / "state"


def test_a_break_from_the_keyboard_still_ends_the_program(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ctrl+C in a terminal is no fault."""
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    install_last_resort(qapp)
    sys.excepthook(KeyboardInterrupt, KeyboardInterrupt(), None)
    assert not fault_log().exists()
    assert boxes() == []
    assert "KeyboardInterrupt" in capsys.readouterr().err
