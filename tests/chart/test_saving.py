"""Saving a chart: only what could be opened again, and only where a chart may go."""

import os
import stat
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from stitchview.chart.fileformat import write_chart, write_folder
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.chart.stitches import Parts
from stitchview.errors import ChartError, StitchviewError


def parts(column: int, row: int, shape: int, key: int) -> Parts:
    """A table of one part stitch."""
    place = np.array([[column], [row]], np.int32)
    return Parts(place[0], place[1], np.array([shape], np.uint8), np.array([key], np.uint16))


@pytest.mark.parametrize(
    ("spoilt", "words"),
    [
        ({"identity": "small"}, "“identity” must be a UUID"),
        ({"title": "a\ud800"}, "holds something that JSON cannot"),
        ({"title": "a\nb"}, "must not hold control characters"),
        ({"extra": {"x": float("nan")}}, "holds something that JSON cannot"),
        ({"extra": {"x": {1, 2}}}, "holds something that JSON cannot"),
        ({"squares": np.full((10, 12), 9, np.uint16)}, "squares beyond the 4 entries of the key"),
        ({"squares": np.zeros((0, 5), np.uint16)}, "“rows” must be a whole number from 1"),
        ({"key": (KeyEntry("ab", Symbol("a"), "x"),) * 4}, "“code” must be exactly one character"),
        ({"key": (KeyEntry("a", Symbol("a"), "x"),) * 4}, "have the same code"),
        ({"attachments": {"../x": b""}}, "must not lead out of the chart"),
        ({"attachments": {".x": b""}}, "must not begin with a dot"),
        ({"attachments": {"Chart.json": b""}}, "“Chart.json” twice"),
        ({"parts": parts(0, 0, 11, 1)}, "a stitch of a kind that does not exist"),
        ({"parts": parts(0, 0, 1, 0)}, "a part stitch beyond the 4 entries"),
        ({"parts": parts(50, 0, 1, 1)}, "which is not on the chart"),
        ({"parts": parts(1, 1, 1, 1)}, "which has a full cross"),
    ],
)
def test_what_could_not_be_opened_again_is_not_saved(
    sound_chart: Chart, tmp_path: Path, spoilt: dict[str, Any], words: str
) -> None:
    """A chart that is not sound is refused in a sentence, and the old file stays."""
    path = tmp_path / "dusk.svchart"
    write_chart(sound_chart, path)
    before = path.read_bytes()
    with pytest.raises(ChartError, match=words):
        write_chart(replace(sound_chart, **spoilt), path)
    assert path.read_bytes() == before
    assert [found.name for found in tmp_path.iterdir()] == ["dusk.svchart"]


def test_saving_to_odd_places_gets_a_sentence(sound_chart: Chart, tmp_path: Path) -> None:
    """A folder with other things in it, a missing folder, a device, links inside the folder."""
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "a.txt").touch()
    with pytest.raises(ChartError, match="“letters” holds other things"):
        write_chart(sound_chart, tmp_path / "letters")
    with pytest.raises(StitchviewError, match=r"folder of “dusk\.svchart” does not exist"):
        write_chart(sound_chart, tmp_path / "nowhere" / "dusk.svchart")
    os.mkfifo(tmp_path / "pipe.svchart")
    with pytest.raises(StitchviewError, match="a device or a pipe"):
        write_chart(sound_chart, tmp_path / "pipe.svchart")
    write_folder(sound_chart, tmp_path / "dusk")
    (tmp_path / "dusk" / "pictures").symlink_to(tmp_path / "letters")
    with pytest.raises(ChartError, match="holds links to other folders"):
        write_folder(replace(sound_chart, attachments={"pictures/a.png": b""}), tmp_path / "dusk")
    assert [path.name for path in (tmp_path / "letters").iterdir()] == ["a.txt"]


def test_where_a_chart_goes_is_told_by_its_name(sound_chart: Chart, tmp_path: Path) -> None:
    """A name with an ending is a file, one without is a folder, and a folder stays one."""
    (tmp_path / "dusk.v2").mkdir()
    write_chart(sound_chart, tmp_path / "dusk.v2")
    write_chart(sound_chart, tmp_path / "dusk")
    write_chart(sound_chart, tmp_path / "dusk.svchart")
    kinds = {path.name: stat.S_ISDIR(path.stat().st_mode) for path in tmp_path.iterdir()}
    assert kinds == {"dusk.v2": True, "dusk": True, "dusk.svchart": False}
