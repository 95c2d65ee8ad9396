"""Paint any part of a chart: one picture for the window, for files and for tests."""

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QPainter

from stitchview.canvas.asimage import as_image
from stitchview.canvas.atlas import Atlas, make_atlas
from stitchview.canvas.border import draw_frame, fill_around
from stitchview.canvas.dots import Dots, in_form, line_dots, point_dots
from stitchview.canvas.frame import draw_pointers
from stitchview.canvas.glyphs import SMALLEST_WITH_SYMBOL, GlyphPaths
from stitchview.canvas.inks import Inks
from stitchview.canvas.itemindex import Indices
from stitchview.canvas.items import (
    SMALLEST_FINE,
    Items,
    ItemStates,
    Near,
    Pencil,
    bar_forms,
    draw_lines,
    draw_points,
    draw_small_bars,
)
from stitchview.canvas.itemsprites import ItemSprites
from stitchview.canvas.looks import Look, Shown
from stitchview.canvas.mixing import Pixels
from stitchview.canvas.paperlayer import Light, PaperLayer
from stitchview.canvas.partlayer import PartLayer
from stitchview.canvas.pyramid import Pyramid
from stitchview.canvas.qtcolours import as_qt
from stitchview.canvas.showing import Showing
from stitchview.canvas.sight import Sight
from stitchview.canvas.signs import Sheet, draw_signs
from stitchview.canvas.stamps import Stamps
from stitchview.canvas.strips import Composer, Printed, bold_ink, draw_tens, lights
from stitchview.canvas.threads import Threads
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.turning import UPRIGHT, Turn, turned_chart

# Enough for the sizes of one zoom from end to end with 90 threads, and not more than a chart may cost.
MOST_ATLAS_BYTES = 26 << 20
MOST_SPRITE_BYTES = 6 << 20
# Further out, where no symbol can be read, the chart is a picture of its colours only.
SMALLEST_DOTTED = SMALLEST_WITH_SYMBOL


class ChartPainter:
    """Paints one chart and its marks, as they are seen turned, keeping ready what a next picture needs.

    `chart` is the turned chart; views, areas and what is shown beside the squares are told as they
    lie on the upright one. `states` has shape (rows, columns) of that too, one uint8 a square; the
    item states one uint8 an item. The painter reads them anew at each paint; after an item or, far
    out, a square has changed it must be told by `marks_changed`.
    """

    def __init__(
        self, chart: Chart, states: NDArray[np.uint8], items: ItemStates, turn: Turn = UPRIGHT
    ) -> None:
        self.upright, self.turn = chart, turn
        self._upright_states = states
        chart, states = turned_chart(chart, turn), turn.grid(states)
        self.chart = chart
        self._states, self._item_states = states, items
        self._items = Items(chart)
        self._paths = GlyphPaths(chart.key, chart.attachments)
        self._composer = Composer()
        self._stamps = Stamps()
        self._threads = Threads(chart.key, self._paths, Look(), swapped=turn.swaps_slants)
        self._parts = PartLayer(chart.parts, chart.columns, items.parts, self._threads)
        self._inks = Inks(self._threads)
        self._paper = PaperLayer(self.upright, turn)
        self._atlases: dict[int, Atlas] = {}
        self._sprites: dict[int, ItemSprites] = {}
        self._pyramid: Pyramid | None = None
        self._sight = Sight(View(1, 1, 1, 1), Showing())

    @property
    def states(self) -> NDArray[np.uint8]:
        """The states of the squares of the turned chart, shape (rows, columns); to be read only."""
        return self._states

    def turned(self, turn: Turn) -> "ChartPainter":
        """Give a painter of the same chart and marks, turned otherwise."""
        if turn == self.turn:
            return self
        return ChartPainter(self.upright, self._upright_states, self._item_states, turn)

    def marks_changed(self, area: Area, parts: Indices, lines: Indices) -> None:
        """Take note that squares or items in `area` have changed, among them these parts and lines."""
        self._parts.changed(parts)
        self._items.bars.changed(self._item_states.lines, lines)
        if self._pyramid is not None:
            self._pyramid.changed(self._seen(area))

    def _seen(self, area: Area) -> Area:
        return self.turn.area(area, self.upright.columns, self.upright.rows)

    def pyramid(self, showing: Showing) -> Pyramid:
        """Give the far-out pictures for this look, made when first asked for."""
        self._use(showing)
        if self._pyramid is None:
            self._pyramid = Pyramid(self.chart, self._threads, self._parts, self._states)
        return self._pyramid

    def paint(self, painter: QPainter, view: View, showing: Showing, exposed: QRect) -> None:
        """Paint the device pixels `exposed` of the window; the painter must count in device pixels."""
        self._use(showing)
        if view is not self._sight.view or showing is not self._sight.showing:
            self._sight = Sight(view, showing)
        sight = self._sight
        painter.save()
        painter.setClipRect(exposed)
        if view.whole:
            self._paint_whole(painter, sight, exposed)
        else:
            self._paint_far(painter, sight, exposed)
        draw_frame(painter, sight, exposed)
        if showing.signs.any:
            draw_signs(Sheet(painter, view, showing.look.ground, exposed, self._stamps), showing.signs)
        draw_pointers(painter, view, showing.pointers, showing.look.ground)
        painter.restore()

    def prepare(self, area: Area, pitch: int, showing: Showing) -> None:
        """Make the pictures of the squares of `area` at one size before they are needed."""
        self._use(showing)
        seen = self._seen(area)
        self._parts.prepare(seen, pitch, many=0)
        self._composer.prepare(Printed(self.chart.squares, self._states, None), seen, self._atlas(pitch))

    def _use(self, showing: Showing) -> None:
        # Asked at every paint, so the threads are made anew only when one of the four differs.
        shown, held = (showing.look, showing.in_hand, showing.held_back), self._threads
        key = held.key if showing.key is None else showing.key
        if key is held.key and shown == (held.look, held.in_hand, held.held_back):
            return
        wanted = replace(
            held, key=key, look=showing.look, in_hand=showing.in_hand, held_back=showing.held_back
        )
        if replace(wanted, look=replace(wanted.look, dim=0)) != replace(
            self._threads, look=replace(self._threads.look, dim=0)
        ):
            self._pyramid = None
        self._threads = wanted
        self._inks = Inks(wanted)
        self._parts.use(wanted)
        self._atlases.clear()
        self._sprites.clear()

    def _atlas(self, pitch: int) -> Atlas:
        atlas = self._atlases.pop(pitch, None)
        if atlas is None:
            held = sum(kept.lit.nbytes * 2 for kept in self._atlases.values())
            while self._atlases and held > MOST_ATLAS_BYTES:
                oldest = next(iter(self._atlases))
                held -= self._atlases.pop(oldest).lit.nbytes * 2
            atlas = make_atlas(self._threads, pitch)
        self._atlases[pitch] = atlas
        return atlas

    def _paint_whole(self, painter: QPainter, sight: Sight, exposed: QRect) -> None:
        fill_around(painter, sight, exposed)
        shown = sight.beside_edges(exposed)
        view, showing, pitch = sight.flat, sight.seen, int(sight.view.pitch)
        area = view.area_under(shown.x(), shown.y(), shown.width(), shown.height())
        if area.empty:
            return
        self._parts.prepare(area, pitch)
        papered, dotted = bool(self._paper), SMALLEST_DOTTED <= pitch < SMALLEST_FINE
        printed = Printed(self.chart.squares, self._states, showing.lit)
        for piece, dimmed, pixels in self._composer.strips(printed, area, self._atlas(pitch)):
            self._parts.draw(pixels, piece, pitch, dimmed)
            if papered:
                self._paper.draw(pixels, piece, self._states, Light(showing.look, dimmed))
            draw_tens(pixels, showing.tens, piece, pitch, bold_ink(showing.look, dimmed))
            for dots in self._dots(piece, pitch) if dotted else ():
                dots.draw(pixels, piece, pitch, self._inks.packed[dimmed])
            left, top = piece.column * pitch - view.left, piece.row * pitch - view.top
            painter.drawImage(left, top, as_image(pixels))
        if pitch >= SMALLEST_DOTTED and (near := self._near(area.grown(1))):
            self._paint_fine(painter, sight, (area, exposed), near)

    def _near(self, area: Area) -> Near:
        near, states = self._items.near(area), self._item_states
        if not self._paper:
            return near
        return replace(
            near,
            slanted=self._shown(near.slanted, states.lines),
            points=self._shown(near.points, states.points),
        )

    def _shown(self, items: Indices, states: NDArray[np.uint8]) -> Indices:
        """Leave out, where the paper's own lines and knots are seen, all that are not done."""
        return np.asarray(items[states[items] != 0], items.dtype) if self._printed_unseen else items

    @property
    def _printed_unseen(self) -> bool:
        return bool(self._paper) and self._threads.look.shown is Shown.PICTURE

    def _dots(self, area: Area, pitch: int) -> list[Dots]:
        """Give the slanted lines and the points over some squares as plain pixels."""
        chart, states, inks = self.chart, self._item_states, self._inks
        dots = []
        around = area.grown(1)
        near, forms = self._near(around), bar_forms(False, False, self._printed_unseen)
        lines = near.slanted_in(around)
        if len(alone := near.bars_in(around, states.lines, forms).alone):
            lines = np.sort(np.concatenate([lines, alone]))
        if len(lines):
            codes = inks.codes(chart.lines.keys[lines], states.lines[lines])
            dots.append(in_form(line_dots(chart.lines, lines, codes, pitch, area), inks.count))
        if len(points := near.points_in(around)):
            codes = inks.codes(chart.points.keys[points], states.points[points])
            dots.append(in_form(point_dots(chart.points, points, codes, pitch), inks.count))
        return dots

    def _paint_fine(self, painter: QPainter, sight: Sight, shown: tuple[Area, QRect], near: Near) -> None:
        """Draw the stitches over the squares, lit ones clipped to the band and dimmed ones to the rest.

        `shown` is the squares that are exposed, and the pixels.
        """
        (area, exposed), view, showing = shown, sight.flat, sight.seen
        pitch, fine = int(view.pitch), view.pitch >= SMALLEST_FINE
        painter.save()
        painter.translate(-view.left, -view.top)
        sprites, states = self._sprites_of(pitch), self._item_states
        forms = bar_forms(fine, showing.look.worked, self._printed_unseen)
        # What reaches over the chart's edge is cut there, or the desk would show it only now and then.
        cut = showing.lit is not None or not sight.room.contains(exposed)
        for piece, dimmed in lights(area, showing.lit):
            if cut:
                painter.save()
                clip = piece.column * pitch, piece.row * pitch, piece.columns * pitch, piece.rows * pitch
                painter.setClipRect(QRect(*clip), _INTERSECT)
            pencil = Pencil(self._inks, sprites, pitch, int(dimmed), forms)
            if fine:
                draw_lines(painter, near, states.lines, piece, pencil)
                draw_points(painter, near, states.points, piece, pencil)
            else:
                draw_small_bars(painter, near, states.lines, piece, pencil)
            if cut:
                painter.restore()
        painter.restore()

    def _sprites_of(self, pitch: int) -> ItemSprites:
        sprites = self._sprites.pop(pitch, None) or ItemSprites(self._threads.look, self._inks, pitch)
        self._sprites[pitch] = sprites
        held = sum(kept.bytes for kept in self._sprites.values())
        while held > MOST_SPRITE_BYTES and len(self._sprites) > 1:
            held -= self._sprites.pop(next(iter(self._sprites))).bytes
        return sprites

    def _paint_far(self, painter: QPainter, sight: Sight, exposed: QRect) -> None:
        """Draw the whole window from the pyramid; always all of it, so that no seam can show."""
        view, showing = sight.flat, sight.seen
        painter.fillRect(exposed, as_qt(showing.look.ground.desk))
        target, picture = self._far_picture(view, showing)
        painter.save()
        painter.setClipRect(sight.room, _INTERSECT)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(target, as_image(picture))
        for piece, dimmed in lights(self.chart.area, showing.lit):
            if dimmed:
                wash = as_qt(showing.look.ground.dim)
                wash.setAlphaF(showing.look.dim)
                painter.fillRect(QRect(*view.pixels_of(piece)), wash)
        painter.restore()

    def _far_picture(self, view: View, showing: Showing) -> tuple[QRectF, Pixels]:
        """Give a picture of the chart in its colours, and where on the window it goes."""
        if view.pitch < 1:
            level, picture = self.pyramid(showing).level_for(view.pitch)
            size = view.pitch * (1 << level)
            return QRectF(-view.left, -view.top, picture.shape[1] * size, picture.shape[0] * size), picture
        # Drawn a little larger than it is shown, so that squares stay squares where pixels do not fit.
        pitch, area = math.ceil(view.pitch), view.area
        picture = np.empty((area.rows * pitch, area.columns * pitch), np.uint32)
        self._parts.prepare(area, pitch)
        for piece, _, pixels in self._composer.strips(
            Printed(self.chart.squares, self._states, None), area, self._atlas(pitch)
        ):
            self._parts.draw(pixels, piece, pitch, dimmed=False)
            self._paper.draw(pixels, piece, self._states, Light(showing.look, dimmed=False))
            x, y = (piece.column - area.column) * pitch, (piece.row - area.row) * pitch
            picture[y : y + pixels.shape[0], x : x + pixels.shape[1]] = pixels
        left, top = area.column * view.pitch - view.left, area.row * view.pitch - view.top
        return QRectF(left, top, area.columns * view.pitch, area.rows * view.pitch), picture


_INTERSECT = Qt.ClipOperation.IntersectClip
