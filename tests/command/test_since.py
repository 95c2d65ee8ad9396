"""What is new since a day or a sitting, told and drawn from the command line."""

import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from stitchview.chart.area import Area
from stitchview.chart.fileformat import read_chart
from stitchview.done.change import DONE, OPEN
from stitchview.done.history import Maker
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import change_to, noting
from stitchview.done.shapes import Takes, rectangle
from stitchview.done.sittingnotes import TimePin

# Pictures are drawn here: an application made by a command alone would be in the way of later tests.
pytestmark = pytest.mark.usefixtures("qapp")

EVENINGS = [datetime(2026, 11, day, 19, tzinfo=UTC) for day in (3, 10, 24)]


@pytest.fixture
def stitched(harbour_path: Path, tmp_path: Path) -> Path:
    """Three evenings on the harbour: two rows of marks each, ten minutes apart, one square unpicked."""
    chart = read_chart(harbour_path)
    opened = open_layer(harbour_path, chart, tmp_path / "elsewhere", "sofa")
    clock = [0]
    maker = Maker("sofa", clock=lambda: clock[0])
    for evening, start in enumerate(EVENINGS):
        for step in range(4):
            clock[0] = int(start.timestamp() * 1000) + step * 4 * 60_000
            area = Area(0, 8 * evening + 2 * step, chart.columns, 2)
            state = DONE
            if evening == 2 and step == 3:
                area, state = Area(0, 0, chart.columns, 1), OPEN
            change = change_to(opened.marks, rectangle(chart, area, Takes()), state)
            assert change is not None
            opened.marks.apply(change)
            opened.layer.put(maker.stroke("mark" if state == DONE else "unpick", change=change))
    opened.layer.commit()
    opened.layer.close()
    return harbour_path


def crosses(path: Path, rows: slice) -> int:
    return int(np.count_nonzero(read_chart(path).squares[rows]))


def test_the_last_sitting_is_told(say: Callable[..., Any], stitched: Path) -> None:
    """Counted by numpy from the chart's own squares: what came, what was unpicked, and how long it took."""
    told = say("since", stitched, "--json")
    members = json.loads(told.out)
    assert told.code == 0
    assert (members["sittings"], members["minutes"]) == (1, 12)
    assert members["came"] >= crosses(stitched, slice(16, 22))
    assert members["unpicked"] >= crosses(stitched, slice(0, 1))
    assert sum(members["by_thread"]) == members["came"] - members["unpicked"]
    lines = say("since", stitched).lines
    assert lines[0].startswith("Since 24 November 2026")
    assert "in 1 sitting, 12 min at work." in lines[0]
    assert any("unpicked" in line for line in lines)
    assert " before." in lines[-1]


def test_a_day_and_all_are_told(say: Callable[..., Any], stitched: Path) -> None:
    """Since a day, and from the very beginning; a day on which nothing came says so."""
    since = json.loads(say("since", stitched, "2026-11-10", "--json").out)
    everything = json.loads(say("since", stitched, "all", "--json").out)
    assert (since["sittings"], everything["sittings"]) == (2, 3)
    assert everything["came"] == everything["done"]
    assert everything["since"] is None
    assert "So far" in say("since", stitched, "all").lines[0]
    assert "nothing is new" in say("since", stitched, "2026-11-25").lines[0]


def test_pictures_are_drawn(say: Callable[..., Any], stitched: Path, tmp_path: Path) -> None:
    """The picture has two pixels a square; the piece grows in as many pictures as there were sittings."""
    chart = read_chart(stitched)
    picture, growing = tmp_path / "new.png", tmp_path / "growing.webp"
    told = say("since", stitched, "--picture", picture, "--growing", growing, "--pitch", 2)
    assert told.code == 0
    assert "3 pictures" in told.lines[-1]
    with Image.open(picture) as found:
        assert found.size == (2 * chart.columns, 2 * chart.rows)
    with Image.open(growing) as found:
        assert found.n_frames == 3  # type: ignore[attr-defined]
    frames = tmp_path / "frames"
    assert say("since", stitched, "--growing", frames).code == 0
    assert len(list(frames.iterdir())) == 3
    again = say("since", stitched, "--picture", picture)
    assert again.code == 1
    assert "is there already" in again.complaint


@pytest.mark.parametrize("when", ["yesterday", "2026-13-01", "1812-01-01", "9999-12-31"])
def test_a_day_that_is_none_gets_a_sentence(say: Callable[..., Any], stitched: Path, when: str) -> None:
    """What is no day, or none of the diary, is told; a day far ahead just has nothing new."""
    told = say("since", stitched, when)
    assert told.complaint.count("\n") <= 1
    assert "Traceback" not in told.complaint
    assert told.code == (0 if when == "9999-12-31" else 1)


def test_a_chart_never_stitched_has_nothing_new(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """Told in words; a moving picture of nothing is refused."""
    assert "nothing is new" in say("since", harbour_path).lines[0]
    told = say("since", harbour_path, "--growing", tmp_path / "a.gif")
    assert told.code == 1
    assert "nothing to show" in told.complaint


def test_where_it_lies_is_told(say: Callable[..., Any], stitched: Path) -> None:
    """By blocks of ten, all of them together as many as came; in words the block with the most."""
    members = json.loads(say("since", stitched, "--json").out)
    assert sum(each["stitches"] for each in members["by_block"]) == members["came"]
    assert all(each["column"] % 10 == 1 and each["row"] % 10 == 1 for each in members["by_block"])
    most = members["by_block"][0]
    told = " ".join(say("since", stitched).lines)
    assert f"blocks of ten, most in the one from column {most['column']}, row {most['row']} on" in told


def test_before_now_and_both_are_drawn(say: Callable[..., Any], stitched: Path, tmp_path: Path) -> None:
    """Side by side are just the picture of before and that of now."""
    for shown in ("new", "before", "now", "beside"):
        path = tmp_path / f"{shown}.png"
        assert say("since", stitched, "--picture", path, "--show", shown).code == 0
    before, now, beside = (Image.open(tmp_path / f"{name}.png") for name in ("before", "now", "beside"))
    with before, now, beside:
        width, height = before.size
        assert beside.crop((0, 0, width, height)).tobytes() == before.tobytes()
        assert beside.crop((beside.width - width, 0, beside.width, height)).tobytes() == now.tobytes()
        assert before.tobytes() != now.tobytes()


def test_a_pin_in_time_is_named(say: Callable[..., Any], stitched: Path, tmp_path: Path) -> None:
    """Pinned after the second evening: only the third is new since; a name nobody gave is refused."""
    chart = read_chart(stitched)
    opened = open_layer(stitched, chart, tmp_path / "elsewhere", "sofa")
    pin = TimePin("p", "Shown to Ann", int(EVENINGS[1].timestamp() * 1000) + 3_600_000)
    notes = opened.marks.notes.putting(pin)
    assert notes is not None
    opened.layer.put(opened.history.record(noting(chart, notes)))
    opened.layer.commit()
    opened.layer.close()
    assert json.loads(say("since", stitched, "Shown to Ann", "--json").out)["sittings"] == 1
    assert "name a pin in time" in say("since", stitched, "Shown to Bea").complaint
