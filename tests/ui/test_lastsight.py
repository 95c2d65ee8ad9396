"""The picture for the next start: kept and found whole, or not shown at all."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QApplication

from stitchview.ui.lastsight import MAGIC, Sight, facts_of, read_sight, still_holds, to_bytes
from stitchview.ui.preferences import Preferences, keep_preferences
from stitchview.ui.theme import Theme


@pytest.fixture
def wishes(tmp_path: Path) -> QSettings:
    """Settings with a theme by day."""
    settings = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
    keep_preferences(settings, Preferences(theme=Theme.LIGHT))
    return settings


@pytest.fixture
def sight(qapp: QApplication, tmp_path: Path, wishes: QSettings) -> Sight:
    """A sight made from a chart and its marks."""
    files = []
    for name in ("harbour.svchart", "harbour.svdone"):
        (tmp_path / name).write_text(name)
        files.append(str(tmp_path / name))
    files += [str(tmp_path / "harbour.lock"), str(tmp_path / "*.svdone")]
    picture = QImage(31, 17, QImage.Format.Format_RGB32)
    picture.fill(QColor("#2F5D62"))
    for n in range(17):
        picture.setPixelColor(n, n, QColor(15 * n, 255 - 15 * n, n))
    facts = facts_of(files, qapp, wishes)
    return Sight(files[0], "A quay “at” dusk\n", tuple(files), facts, picture)


def test_it_comes_back_as_it_was(sight: Sight, tmp_path: Path) -> None:
    """Every pixel and every word of it is found again."""
    path = tmp_path / "sight"
    path.write_bytes(to_bytes(sight))
    found = read_sight(path)
    assert found is not None
    assert found[:-1] == sight[:-1]
    assert found.picture == sight.picture


@pytest.mark.parametrize("share", [0.0, 0.05, 0.2, 0.5, 0.9, 0.999])
def test_a_torn_one_is_none(sight: Sight, tmp_path: Path, share: float) -> None:
    """Of a file that is not all there nothing is shown."""
    path, whole = tmp_path / "sight", to_bytes(sight)
    path.write_bytes(whole[: int(share * len(whole))])
    assert read_sight(path) is None


def test_a_damaged_one_is_none(sight: Sight, tmp_path: Path) -> None:
    """Whichever byte of the file is another, nothing is shown, or the byte was of no meaning."""
    path, whole = tmp_path / "sight", to_bytes(sight)
    for place in range(len(whole)):
        path.write_bytes(whole[:place] + bytes([whole[place] ^ 0x10]) + whole[place + 1 :])
        assert read_sight(path) in (None, sight), f"byte {place} of {len(whole)}"


def test_without_one_there_is_none(tmp_path: Path) -> None:
    """A missing file, a folder in its place and a file of something else are no picture."""
    assert read_sight(tmp_path / "sight") is None
    assert read_sight(tmp_path) is None
    (tmp_path / "words").write_bytes(MAGIC + b"00000000 {}\n")
    assert read_sight(tmp_path / "words") is None


CHANGES: dict[str, Callable[[Path], object]] = {
    "the chart was written anew": lambda folder: (folder / "harbour.svchart").write_text("other"),
    "the chart's time is another": lambda folder: os.utime(folder / "harbour.svchart", (1, 1)),
    "the chart has gone": lambda folder: (folder / "harbour.svchart").unlink(),
    "a mark was made": lambda folder: (folder / "harbour.svdone").write_text("harbour.svdone and more"),
    "it is open elsewhere": lambda folder: (folder / "harbour.lock").write_text(""),
    "another layer has come": lambda folder: (folder / "harbour 2.svdone").write_text(""),
}


@pytest.mark.parametrize("change", CHANGES)
def test_what_it_shows_must_not_have_changed(
    sight: Sight, qapp: QApplication, wishes: QSettings, tmp_path: Path, change: str
) -> None:
    """When the chart, its marks or what lies beside them are others, the old picture is not shown."""
    (tmp_path / "a letter.txt").write_text("of no concern")
    assert still_holds(sight, qapp, wishes)
    CHANGES[change](tmp_path)
    assert not still_holds(sight, qapp, wishes)


def test_the_screen_must_not_have_changed(sight: Sight, qapp: QApplication, wishes: QSettings) -> None:
    """In other letters the old picture is not shown."""
    letters = qapp.font()
    letters.setPointSize(letters.pointSize() + 1)
    qapp.setFont(letters)
    assert not still_holds(sight, qapp, wishes)


@pytest.mark.parametrize("other", [Preferences(theme=Theme.DARK), Preferences(theme=Theme.LIGHT, dim=0.7)])
def test_her_wishes_must_not_have_changed(
    sight: Sight, qapp: QApplication, wishes: QSettings, other: Preferences
) -> None:
    """With another theme or other wishes the old picture is not shown; with the same written again it is."""
    keep_preferences(wishes, other)
    assert not still_holds(sight, qapp, wishes)
    keep_preferences(wishes, Preferences(theme=Theme.LIGHT))
    assert still_holds(sight, qapp, wishes)
