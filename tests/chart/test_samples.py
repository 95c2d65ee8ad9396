"""The charts that come with the program: they open, hold what they promise, and can be made again."""

import json
import uuid
from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from stitchview.chart.counting import facts
from stitchview.chart.fileformat import find_problems, read_chart
from stitchview.chart.harbour.making import make_harbour
from stitchview.chart.stitches import LineKind, PartShape, PointKind

MADE = {"harbour-evening.svchart": (120, 90, 28, 28), "harbour-at-dusk.svchart": (600, 450, 72, 1)}


@pytest.fixture(scope="module")
def samples(repository: Path) -> Path:
    """The folder of sample charts."""
    return repository / "samples"


def test_every_sample_is_sound(samples: Path) -> None:
    """There is nothing in the folder but charts without a fault, each with an identity of its own."""
    found = sorted(samples.iterdir())
    assert {path.name for path in found} == {"every-stitch", *MADE}
    assert all(find_problems(path) == () for path in found)
    identities = [uuid.UUID(read_chart(path).identity) for path in found]
    assert len(set(identities)) == len(found)


@pytest.mark.parametrize("name", MADE)
def test_a_made_sample_can_be_made_again(samples: Path, name: str) -> None:
    """The same columns, rows, threads and seed give the very chart that is shipped."""
    shipped, made = read_chart(samples / name), make_harbour(*MADE[name])
    assert shipped.identity == made.identity
    assert shipped.key == made.key
    assert shipped.sheets == made.sheets
    assert np.array_equal(shipped.squares, made.squares)
    for table in ("parts", "lines", "points"):
        for column, values in vars(getattr(made, table)).items():
            assert np.array_equal(getattr(getattr(shipped, table), column), values), (table, column)


def test_the_big_sample_is_big_enough(samples: Path) -> None:
    """At least 600 x 450 squares in 60 threads and more, most of which are in use."""
    chart = read_chart(samples / "harbour-at-dusk.svchart")
    assert chart.columns >= 600
    assert chart.rows >= 450
    counted = facts(chart)
    used = counted.crosses + counted.parts + counted.back_lines + counted.straight_lines
    assert ((used + counted.knots + counted.beads) > 0).sum() >= 60


def test_the_typed_sample_has_every_stitch(samples: Path) -> None:
    """All part stitches, both kinds of line, knots, beads, a blend, and two threads in one square."""
    chart = read_chart(samples / "every-stitch")
    assert set(chart.parts.shapes.tolist()) == set(PartShape)
    assert set(chart.lines.kinds.tolist()) == set(LineKind)
    assert set(chart.points.kinds.tolist()) == set(PointKind)
    assert any(entry.blend for entry in chart.key)
    assert any(entry.held_back for entry in chart.key)
    threads: dict[tuple[int, int], set[int]] = {}
    for column, row, key in zip(chart.parts.columns, chart.parts.rows, chart.parts.keys, strict=True):
        threads.setdefault((int(column), int(row)), set()).add(int(key))
    assert any(len(keys) == 2 for keys in threads.values())


def test_the_typed_sample_counts_as_its_text_does(samples: Path) -> None:
    """Crosses counted by the program equal the letters counted in the text file itself."""
    text = (samples / "every-stitch" / "squares.txt").read_text("utf-8")
    letters = Counter(text.replace("\n", "").replace(".", ""))
    chart = read_chart(samples / "every-stitch")
    crosses = facts(chart).crosses.tolist()
    assert {entry.code: count for entry, count in zip(chart.key, crosses, strict=True) if count} == letters
    described = json.loads((samples / "every-stitch" / "chart.json").read_text("utf-8"))
    assert len(described["part_stitches"]) == len(chart.parts)
