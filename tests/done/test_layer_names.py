"""Which file is the layer of which chart: by name, by number, and by the chart's own identity."""

import contextlib
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done import schema
from stitchview.done.layerfile import OpenedLayer
from stitchview.done.schema import connect

if TYPE_CHECKING:
    from tests.done.conftest import Evening

SameMarks = Callable[[OpenedLayer, OpenedLayer], bool]
TOP = Area(1, 1, 10, 2)


def done(opened: OpenedLayer) -> int:
    return opened.tally.total().done


@pytest.mark.parametrize(
    ("chart_name", "is_folder", "layer_name"),
    [
        ("harbour.svchart", False, "harbour.svdone"),
        ("harbour v1.2", True, "harbour v1.2.svdone"),
        ("harbour.svchart", True, "harbour.svdone"),
        ("Häfen 港.svchart", False, "Häfen 港.svdone"),
        ("a [1] #?%20.svchart", False, "a [1] #?%20.svdone"),
    ],
)
def test_the_layer_is_named_after_the_chart(
    evening: "Evening", small_chart: Callable[[], Chart], chart_name: str, is_folder: bool, layer_name: str
) -> None:
    """A chart that is a folder has its layer beside the folder, under the folder's name."""
    path = evening.folder / chart_name
    if is_folder:
        path.mkdir()
    opened = evening.open(small_chart(), path)
    assert opened.layer.path == evening.folder / layer_name
    assert (evening.folder / layer_name).is_file()


def test_a_numbered_layer_is_known_by_its_identity_only(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """The layer of a chart that is itself called "harbour 2" is not taken for that of "harbour"."""
    second = evening.open(replace(small_chart(), identity=""), evening.folder / "harbour 2.svchart")
    evening.mark(second, TOP)
    evening.close(second)
    for identity in ("", "small"):
        first = evening.open(replace(small_chart(), identity=identity))
        assert done(first) == 0
        assert first.layer.path == evening.layer_path
        evening.close(first)


def test_a_numbered_layer_that_is_held_is_waited_for(
    evening: "Evening", small_chart: Callable[[], Chart], monkeypatch: pytest.MonkeyPatch
) -> None:
    """While a backup holds "harbour 2", no third layer is begun that would hide what is in it."""
    monkeypatch.setattr(schema, "PATIENCE_SECONDS", 0.05)
    evening.mark(evening.open(replace(small_chart(), identity="another")), Area(5, 5, 1, 1))
    mine = evening.open(small_chart())
    evening.mark(mine, TOP)
    marked = done(mine)
    evening.close(mine)
    with contextlib.closing(connect(evening.folder / "harbour 2.svdone")) as other:
        other.execute("BEGIN EXCLUSIVE")
        held = evening.open(small_chart())
        assert "in use by another program" in held.notices[0]
        assert not held.layer.keeps
        other.execute("ROLLBACK")
    assert done(evening.open(small_chart())) == marked
    assert not (evening.folder / "harbour 3.svdone").exists()


def test_a_chart_without_identity_is_known_by_name(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """The layer of a chart without identity goes with the name, and takes the identity it is given later."""
    bare = replace(small_chart(), identity="")
    first = evening.open(bare)
    evening.mark(first, TOP)
    evening.close(first)
    named = evening.open(small_chart())
    assert done(named) > 0
    evening.close(named)
    assert done(evening.open(replace(small_chart(), identity="third"))) == 0
    assert done(evening.open(bare)) > 0


def test_a_folder_named_like_the_layer_is_left_alone(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """A folder in the layer's place is no layer; the next name is taken."""
    evening.layer_path.mkdir()
    opened = evening.open(small_chart())
    assert opened.layer.path == evening.folder / "harbour 2.svdone"
    evening.mark(opened, TOP)
    evening.close(opened)
    assert done(evening.open(small_chart())) > 0
