"""Where she stopped: found again at opening, pointed out for a moment, and kept with every change."""

from PySide6.QtCore import QObject, QTimer

from stitchview.canvas.paperlayer import has_pictures
from stitchview.ui.bench import Bench
from stitchview.ui.clothwork import ClothWork
from stitchview.ui.following import Following
from stitchview.ui.resume import Stop, from_json, to_json

# "You stopped here" is pointed out for so long.
RECALL_MS = 3000
# The place is written down when nothing has moved for so long.
KEEP_MS = 300


class Resting(QObject):
    """Restores a bench to where she stopped, and keeps where she is."""

    def __init__(self, bench: Bench, following: Following, cloth: ClothWork, parent: QObject) -> None:
        super().__init__(parent)
        self._bench, self._following, self._cloth = bench, following, cloth
        self._kept: Stop | None = None
        self._recall, self._keep = _single_shot(RECALL_MS, self), _single_shot(KEEP_MS, self)
        self._recall.timeout.connect(self._stop_pointing)
        self._keep.timeout.connect(self.keep)

    def restore(self) -> None:
        """Be where she stopped, as far as the chart still has it."""
        bench, stop = self._bench, from_json(self._bench.desk.place, self._bench.desk.chart)
        bench.holding.restore(stop.held)
        bench.piece.piece = stop.piece
        bench.looks.restore(stop.paper, stop.worked, stop.shown, stop.turn)
        bench.canvas.set_turn(stop.turn)
        bench.band.restore(stop.band)
        self._following.restore(stop.follow)
        bench.pointer.restore(stop.cursor)
        self._cloth.restore(stop.over)
        if stop.view is not None:
            bench.going.restore(stop.view)
        self._kept = self._now

    def point_out(self, visit: bool) -> None:
        """Point out the marks made last for a moment, and look there if asked; raises `LayerError`."""
        latest = self._bench.desk.latest
        if latest is None or latest.area.empty:
            return
        if visit:
            self._bench.going.visit(latest.area)
        self._bench.pointer.recall(latest.area)
        self._recall.start()

    def keep_soon(self) -> None:
        """Have the place kept when nothing has moved for a moment."""
        self._keep.start()

    def keep(self) -> None:
        """Have the place kept now, if it is another than was kept."""
        self._keep.stop()
        now = self._now
        if now != self._kept:
            self._kept = now
            self._bench.desk.keep_place(to_json(now, self._bench.desk.chart))

    def stop(self) -> None:
        """Keep the place, and let no timer run on."""
        self.keep()
        self._recall.stop()

    @property
    def _now(self) -> Stop:
        bench = self._bench
        return Stop(
            held=bench.holding.held,
            view=bench.going.spectacles,
            band=bench.band.band,
            cursor=bench.pointer.cursor,
            paper=bench.looks.paper,
            worked=bench.looks.worked,
            shown=bench.looks.shown if has_pictures(bench.desk.chart) else None,
            turn=bench.looks.turn,
            follow=self._following.kept,
            piece=bench.piece.piece,
            over=self._cloth.over,
        )

    def _stop_pointing(self) -> None:
        self._bench.pointer.recall(None)


def _single_shot(milliseconds: int, parent: QObject) -> QTimer:
    timer = QTimer(parent)
    timer.setSingleShot(True)
    timer.setInterval(milliseconds)
    return timer
