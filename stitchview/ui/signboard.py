"""All signs over one chart, each kind laid by whoever knows of it, and put on the canvas together."""

from dataclasses import replace

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.differsign import DifferSign
from stitchview.canvas.newsign import NewSign
from stitchview.canvas.signs import ParkSign, PinSign, Signs
from stitchview.chart.area import Area
from stitchview.ui.pointer import Square


class SignBoard:
    """Lays signs over one canvas; what has not altered is left as it is."""

    def __init__(self, canvas: ChartCanvas) -> None:
        self._canvas = canvas

    @property
    def shown(self) -> Signs:
        """The signs that are shown."""
        return self._canvas.showing.signs

    def lay_tape(self, tape: tuple[Square, Square] | None) -> None:
        """Lay the tape between two squares, or take it up."""
        self._canvas.set_signs(replace(self.shown, tape=tape))

    def lay_route(self, route: tuple[Square, ...]) -> None:
        """Lay the path of a needleful, or take it up."""
        self._canvas.set_signs(replace(self.shown, route=route))

    def lay_found(self, found: tuple[Area, ...]) -> None:
        """Put a rim around each place that was found, the likeliest first."""
        self._canvas.set_signs(replace(self.shown, found=found))

    def lay_new(self, new: NewSign | None) -> None:
        """Wash over what came since a moment, or take the wash off."""
        self._canvas.set_signs(replace(self.shown, new=new))

    def lay_differences(self, differ: tuple[DifferSign, ...]) -> None:
        """Rim where the cloth differs from the chart."""
        self._canvas.set_signs(replace(self.shown, differ=differ))

    def lay_notes(self, pins: tuple[PinSign, ...], parks: tuple[ParkSign, ...]) -> None:
        """Stick the pins and hang the parked threads."""
        self._canvas.set_signs(replace(self.shown, pins=pins, parks=parks))
