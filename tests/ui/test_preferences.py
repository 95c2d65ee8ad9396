"""What she prefers is kept, and nothing that stands in the file can do harm."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QSettings

from stitchview.canvas.looks import Look
from stitchview.done.sittings import Pauses
from stitchview.errors import StitchviewError
from stitchview.follow.numbering import Numbering
from stitchview.ui.preferences import (
    DIM,
    LINE_WEIGHT,
    SYMBOL_SIZE,
    Preferences,
    keep_preferences,
    read_preferences,
)
from stitchview.ui.settings import open_settings
from stitchview.ui.theme import Theme

ODD = Preferences(
    Theme.DARK,
    Numbering.BOTTOM_RIGHT,
    0.35,
    0.5,
    0.25,
    True,
    True,
    single_keys=False,
    left_handed=True,
    pauses=Pauses(90, 12),
)


def settings_at(path: Path) -> QSettings:
    """Settings in a file of their own."""
    return QSettings(str(path), QSettings.Format.IniFormat)


def test_preferences_come_back(clean_home: Path) -> None:
    """Kept in the evening, found next week, in a readable file in her own folder."""
    keep_preferences(open_settings(), ODD)
    assert read_preferences(open_settings()) == ODD
    file = Path(open_settings().fileName())
    assert clean_home in file.parents
    assert file.suffix == ".ini"
    assert "numbering=bottom-right" in file.read_text("utf-8")


def test_the_first_time_everything_is_as_usual(tmp_path: Path) -> None:
    """Without a file the program looks as its makers thought best, and as the canvas does by itself."""
    found = read_preferences(settings_at(tmp_path / "none.ini"))
    assert found == Preferences()
    assert found.look(Look(), night=False) == Look()


def test_a_look_takes_what_is_preferred() -> None:
    """Dimming, symbols and lines as she likes them; what belongs to the chart stays."""
    look = ODD.look(Look(paper=True, worked=True), night=True)
    assert look == Look(paper=True, worked=True, night=True, dim=0.35, symbol_size=0.5, line_weight=0.25)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("theme", "mauve"),
        ("theme", ""),
        ("theme", ["light", "dark"]),
        ("numbering", "7"),
        ("dim", "nan"),
        ("dim", "inf"),
        ("dim", "-1"),
        ("dim", "1e300"),
        ("dim", "half"),
        ("dim", "0,6"),
        ("symbol_size", "0"),
        ("line_weight", "9"),
        ("snaps_to_tens", "maybe"),
        ("steps_on", {"a": 1}),
        ("single_keys", "0"),
    ],
)
def test_a_value_that_makes_no_sense_is_as_usual(tmp_path: Path, name: str, value: object) -> None:
    """One senseless line costs that line alone."""
    file = tmp_path / "s.ini"
    keep_preferences(settings_at(file), ODD)
    damaged = settings_at(file)
    damaged.setValue(f"preferences/{name}", value)
    damaged.sync()
    usual = getattr(Preferences(), name)
    assert read_preferences(settings_at(file)) == replace(ODD, **{name: usual})


@given(st.binary(max_size=300))
def test_no_file_can_stop_the_program(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    """Whatever bytes stand there, what is read are preferences within their bounds."""
    file = tmp_path_factory.mktemp("settings") / "s.ini"
    file.write_bytes(b"[preferences]\ndim=" + content)
    found = read_preferences(settings_at(file))
    assert DIM[0] <= found.dim <= DIM[1]
    assert SYMBOL_SIZE[0] <= found.symbol_size <= SYMBOL_SIZE[1]
    assert LINE_WEIGHT[0] <= found.line_weight <= LINE_WEIGHT[1]


def test_other_settings_are_left_alone(tmp_path: Path) -> None:
    """What a newer version or the window wrote beside is still there afterwards."""
    settings = settings_at(tmp_path / "s.ini")
    settings.setValue("preferences/pedal", "left")
    settings.setValue("window/width", 900)
    keep_preferences(settings, ODD)
    again = settings_at(tmp_path / "s.ini")
    assert again.value("preferences/pedal") == "left"
    assert str(again.value("window/width")) == "900"


def test_a_folder_that_takes_nothing_is_said_in_a_sentence(tmp_path: Path) -> None:
    """Where no file can be made she is told, and told where."""
    (tmp_path / "taken").write_text("a file where a folder should be")
    with pytest.raises(StitchviewError, match="cannot be kept") as caught:
        keep_preferences(settings_at(tmp_path / "taken" / "s.ini"), ODD)
    assert "this sitting" in caught.value.remedy


@pytest.mark.parametrize(
    ("gap", "idle", "found"),
    [
        ("30", "4", Pauses(30, 4)),
        ("6", "40", Pauses(6, 6)),
        ("nan", "0", Pauses()),
        ("1e9", "-3", Pauses()),
        ("an hour", "", Pauses()),
    ],
)
def test_minutes_of_quiet_that_make_no_sense_are_as_usual(
    tmp_path: Path, gap: str, idle: str, found: Pauses
) -> None:
    """A pause never begins after the sitting has ended, whatever the file says."""
    settings = settings_at(tmp_path / "odd.ini")
    settings.setValue("preferences/sitting_ends_after", gap)
    settings.setValue("preferences/pause_beyond", idle)
    assert read_preferences(settings).pauses == found
