"""Where marks go when nothing can be written beside the chart."""

import sys
from pathlib import Path

import pytest

from stitchview.done.ownfolder import own_layers_folder


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="this rule is for desktops that follow XDG")
@pytest.mark.parametrize(
    ("told", "expected"),
    [("/data/mine", "/data/mine/stitchview"), ("not/absolute", None), ("", None), (None, None)],
)
def test_the_data_folder_is_the_one_the_desktop_names(
    told: str | None, expected: str | None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """XDG Base Directory Specification: an absolute XDG_DATA_HOME counts, else it is ~/.local/share."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    if told is not None:
        monkeypatch.setenv("XDG_DATA_HOME", told)
    assert own_layers_folder() == Path(expected or tmp_path / ".local" / "share" / "stitchview")


@pytest.mark.parametrize(
    ("platform", "expected"),
    [("win32", "Local/stitchview"), ("darwin", "Library/Application Support/stitchview")],
)
def test_other_systems_have_their_own_place(
    platform: str, expected: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Windows names it in LOCALAPPDATA; macOS keeps it in the library of the home folder."""
    monkeypatch.setattr(sys, "platform", platform)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "Local"))
    assert own_layers_folder() == tmp_path / expected
