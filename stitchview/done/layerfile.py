"""Open the done layer of a chart: its marks, its history, and the place to resume at."""

import contextlib
import functools
import json
import platform
import sqlite3
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from stitchview.chart.model import Chart
from stitchview.done.asworked import on_cloth
from stitchview.done.berth import Berth, Search
from stitchview.done.counts import Tally
from stitchview.done.deflated import MalformedStroke
from stitchview.done.history import History, Maker, Past
from stitchview.done.layer import Layer
from stitchview.done.marks import Marks
from stitchview.done.noterows import notes_after
from stitchview.done.schema import FACT_PLACE, read_facts, read_rows
from stitchview.done.shelf import shelves_of
from stitchview.done.timeline import timeline_of
from stitchview.done.troubles import DamagedLayer, in_words

MOST_PLACE_LETTERS = 1 << 20
PASSED_OVER = "A recorded difference between cloth and chart is passed over: {why}"


@dataclass(frozen=True, eq=False, slots=True)
class OpenedLayer:
    """A chart's done layer, opened; `notices` are sentences for the window about what was found.

    The marks are on the chart as it stands on the cloth, with all recorded differences that fit.
    `place` is the JSON object last kept by `Keeper.keep_place`, empty if there is none.
    """

    layer: Layer
    marks: Marks
    history: History
    place: dict[str, Any]
    notices: tuple[str, ...]

    @property
    def tally(self) -> Tally:
        """The counts of the marks, which move along with them."""
        return self.marks.tally


def open_layer(
    chart_path: Path, chart: Chart, fallback_folder: Path, device: str = "", look_only: bool = False
) -> OpenedLayer:
    """Open the done layer of the chart at `chart_path`, or begin one.

    It lies beside the chart, or in `fallback_folder` when nothing can be written there, or in memory
    when nothing can be written at all (`layer.keeps` is False then). Damage, full disks and foreign
    files end in a sentence among the notices. With `look_only` nothing on disk is touched: the marks
    can be seen, and strokes stay in memory. Raises `LayerError` if the disk fails in midst of reading.
    """
    device = device or platform.node() or "this device"
    search = Search(chart_path, chart.identity, shelves_of(chart_path, chart, fallback_folder), look_only)
    while True:
        try:
            berth = search.berth()
        except (sqlite3.Error, OSError) as error:
            raise in_words(next(search.shelves[0].places()), error) from error
        try:
            return _opened(berth, chart, device, search)
        except (DamagedLayer, MalformedStroke):
            # Whole to the checksum, yet senseless: what makes sense is saved, at worst in memory.
            berth.connection.close()
            if berth.path is None:
                raise
            search.look_only = not search.mend(berth.path)
        except (sqlite3.Error, OSError) as error:
            berth.connection.close()
            raise in_words(berth.path or chart_path, error) from error


def _opened(berth: Berth, chart: Chart, device: str, search: Search) -> OpenedLayer:
    timeline = berth.timeline or timeline_of(read_rows(berth.connection))
    notes = notes_after(timeline.notes, chart.origin)
    cloth = on_cloth(chart, notes.differences, notes.own_threads)
    layer = Layer(berth.connection, berth.path, cloth.chart)
    marks = Marks(cloth.chart, layer.read(timeline.live), notes)
    settle = None if timeline.straight else functools.partial(layer.settle, marks)
    past = Past(layer.load, timeline.live, timeline.undone, settle, timeline.stitchless)
    history = History(Maker(device, after=timeline.newest), past)
    place = _place(read_facts(berth.connection).get(FACT_PLACE, ""))
    passed_over = (PASSED_OVER.format(why=error) for _, error in cloth.passed_over)
    notices = tuple(dict.fromkeys((*search.notices, *passed_over)))
    return OpenedLayer(layer, marks, history, place, notices)


def _place(text: str) -> dict[str, Any]:
    # A place that makes no sense costs her a scroll, no marks: the chart opens as if for the first time.
    with contextlib.suppress(ValueError, RecursionError):
        found = json.loads(text) if len(text) <= MOST_PLACE_LETTERS else None
        if isinstance(found, dict):
            return found
    return {}
