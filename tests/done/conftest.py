"""Marks, layers and hands for the tests of what is stitched."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import Change, Selection
from stitchview.done.layerfile import OpenedLayer, open_layer
from stitchview.done.marks import change_to
from stitchview.done.shapes import Takes, rectangle


@dataclass
class Evening:
    """Open layers of charts in one folder, closed again at the end; marks are committed at once."""

    folder: Path
    elsewhere: Path
    open_now: list[OpenedLayer] = field(default_factory=list)

    @property
    def chart_path(self) -> Path:
        return self.folder / "harbour.svchart"

    @property
    def layer_path(self) -> Path:
        return self.folder / "harbour.svdone"

    def open(self, chart: Chart, path: Path | None = None, look_only: bool = False) -> OpenedLayer:
        opened = open_layer(path or self.chart_path, chart, self.elsewhere, "sofa", look_only)
        self.open_now.append(opened)
        return opened

    def mark(self, opened: OpenedLayer, area: Area, state: int = 1) -> Change | None:
        return self.mark_selected(opened, rectangle(opened.marks.chart, area, Takes()), state)

    def mark_selected(self, opened: OpenedLayer, selection: Selection, state: int = 1) -> Change | None:
        change = change_to(opened.marks, selection, state)
        if change is not None:
            opened.marks.apply(change)
            opened.layer.put(opened.history.record(change))
            opened.layer.commit()
        return change

    def undo(self, opened: OpenedLayer) -> Change | None:
        step = opened.history.undo()
        if step is None:
            return None
        opened.marks.apply(step.change)
        opened.layer.put(step.stroke)
        opened.layer.commit()
        return step.change

    def redo(self, opened: OpenedLayer) -> Change | None:
        step = opened.history.redo()
        if step is None:
            return None
        opened.marks.apply(step.change)
        opened.layer.put(step.stroke)
        opened.layer.commit()
        return step.change

    def close(self, opened: OpenedLayer) -> None:
        opened.layer.close()
        self.open_now.remove(opened)


@pytest.fixture
def evening(tmp_path: Path) -> Iterator[Evening]:
    """An empty folder for charts, another for layers that cannot lie there, and what is done in them."""
    folder = tmp_path / "charts"
    folder.mkdir()
    evening = Evening(folder, tmp_path / "elsewhere")
    yield evening
    for opened in evening.open_now:
        opened.layer.close()


@pytest.fixture(scope="session")
def same_marks() -> Callable[[OpenedLayer, OpenedLayer], bool]:
    """Whether two opened layers show the same marks."""

    def same(one: OpenedLayer, other: OpenedLayer) -> bool:
        pairs = zip(one.marks.families, other.marks.families, strict=True)
        return all(np.array_equal(mine, theirs) for mine, theirs in pairs)

    return same
