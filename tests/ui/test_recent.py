"""The list of charts opened lately."""

from pathlib import Path

import pytest
from PySide6.QtCore import QSettings

from stitchview.ui.recent import MOST, Recent


@pytest.fixture
def settings(tmp_path: Path) -> QSettings:
    """Settings in a file of their own."""
    return QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)


def test_the_latest_stands_first_and_none_twice(settings: QSettings) -> None:
    """Opened again, a chart comes to the head of the list."""
    recent = Recent(settings)
    for name in ("a", "b", "a"):
        recent.opened(Path("/charts") / name)
    assert recent.charts == (Path("/charts/a"), Path("/charts/b"))
    assert recent.last == Path("/charts/a")
    recent.closed()
    assert Recent(settings).last is None
    assert len(recent.charts) == 2


def test_the_list_outlives_the_program_even_with_one_chart(settings: QSettings, tmp_path: Path) -> None:
    """An ini file writes a list of one like plain text, and it is a list all the same."""
    name = "a, b; “c” = é.svchart"
    Recent(settings).opened(tmp_path / name)
    settings.sync()
    again = Recent(QSettings(settings.fileName(), QSettings.Format.IniFormat))
    assert again.charts == (tmp_path / name,)
    assert again.last == tmp_path / name


def test_the_list_stays_short_and_forgets(settings: QSettings) -> None:
    """The oldest go, and so does one that is no longer there."""
    recent = Recent(settings)
    for number in range(MOST + 5):
        recent.opened(Path(f"/charts/{number}"))
    assert len(recent.charts) == MOST
    newest = recent.charts[0]
    recent.forget(newest)
    assert newest not in recent.charts
    assert recent.last is None
    recent.clear()
    assert recent.charts == ()


@pytest.mark.parametrize("written", [17, b"bytes", ["", "/charts/a", 3, None], {"a": 1}])
def test_a_list_edited_by_hand_is_no_danger(settings: QSettings, written: object) -> None:
    """Whatever is no path is passed over."""
    settings.setValue("charts/recent", written)
    settings.setValue("charts/last", written)
    assert Recent(settings).charts in ((), (Path("/charts/a"),))
    assert Recent(settings).last is None
