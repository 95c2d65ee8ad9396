"""`join`: marks made in several places, told and joined from the command line, by many at once too."""

import json
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from stitchview.chart.fileformat import read_chart
from stitchview.done.change import Selection
from stitchview.done.layerfile import open_layer
from stitchview.done.looking import look_into
from stitchview.done.marks import change_to

AT_ONCE = 20


@dataclass(frozen=True)
class Places:
    """A harbour, and layers of it that were marked in other places."""

    chart: Path
    others: list[Path]

    @property
    def layer(self) -> Path:
        return self.chart.with_suffix(".svdone")


def marked(folder: Path, chart_path: Path, seed: int, strokes: int) -> Path:
    """A layer of the chart in a folder of its own, with strokes of nine squares each."""
    chart, random = read_chart(chart_path), np.random.default_rng(seed)
    opened = open_layer(folder / "harbour.svchart", chart, folder / "elsewhere", f"place {seed}")
    filled = np.flatnonzero(chart.squares.ravel())
    while strokes:
        change = change_to(opened.marks, Selection.of(random.choice(filled, 9)), 1)
        if change is not None:
            opened.marks.apply(change)
            opened.layer.put(opened.history.record(change))
            strokes -= 1
    opened.layer.commit()
    opened.layer.close()
    return folder / "harbour.svdone"


@pytest.fixture
def places(harbour_path: Path, tmp_path: Path) -> Places:
    """Twenty other places with three strokes each."""
    others = []
    for number in range(AT_ONCE):
        (tmp_path / f"place {number}").mkdir()
        others.append(marked(tmp_path / f"place {number}", harbour_path, number, 3))
    return Places(harbour_path, others)


def test_several_layers_are_joined(say: Callable[..., Any], places: Places) -> None:
    """Each is told with its strokes and how many were new; the second time none is."""
    told = say("join", places.chart, *places.others[:2])
    assert (told.code, told.complaint) == (0, "")
    assert told.lines == [
        *["“harbour.svdone”: 3 strokes, 3 of them new"] * 2,
        "“harbour.svdone” has all of them now; 6 strokes new.",
    ]
    told = json.loads(say("join", places.chart, *places.others[:3], "--json").out)
    assert [each["new"] for each in told["joined"]] == [0, 0, 3]
    assert (told["new"], told["layer"]) == (3, str(places.layer))


def test_conflict_copies_are_found_and_joined(say: Callable[..., Any], places: Places) -> None:
    """`--copies` joins those beside the chart, and says when there are none."""
    say("join", places.chart, places.others[0])
    assert "There is no other file" in say("join", places.chart, "--copies").out
    beside = places.chart.with_name("whatever a service calls it")
    beside.write_bytes(places.others[1].read_bytes())
    assert say("join", places.chart, "--copies").lines[-1].endswith("; 3 strokes new.")
    assert look_into(places.layer).ids == look_into(places.others[0]).ids | look_into(beside).ids


def test_nothing_to_join_is_one_sentence(say: Callable[..., Any], places: Places) -> None:
    """No layer named, one that is not there, and one that is none."""
    for layers in ([], [places.chart.with_name("nowhere")], [places.chart]):
        told = say("join", places.chart, *layers)
        assert (told.code, told.out) == (1, "")
        assert told.complaint.count("\n") == 1
    assert not places.layer.exists()


@pytest.mark.parametrize("begun", [False, True], ids=["no layer yet", "a layer there"])
def test_twenty_join_at_once(
    surroundings: dict[str, str], tmp_path: Path, places: Places, begun: bool
) -> None:
    """Twenty processes, all at the same time: none complains, and every stroke of all is there."""
    if begun:
        marked(tmp_path, places.chart, 99, 5)
    mine = look_into(places.layer).ids
    children = [
        subprocess.Popen(
            [sys.executable, "-m", "stitchview", "join", str(places.chart), str(other)],
            cwd=tmp_path,
            env=surroundings,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for other in places.others
    ]
    told = [child.communicate() for child in children]
    assert [child.returncode for child in children] == [0] * AT_ONCE, told
    assert [complaint for _, complaint in told] == [""] * AT_ONCE
    assert all("3 of them new" in out for out, _ in told)
    seen = look_into(places.layer)
    assert not seen.damaged
    assert seen.ids == mine.union(*(look_into(other).ids for other in places.others))
    assert [path.name for path in tmp_path.glob("harbour*.svdone")] == ["harbour.svdone"]
