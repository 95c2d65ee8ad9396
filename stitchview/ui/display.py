"""Show a sitting as it is now: on the canvas, the rulers and the panels around them."""

from dataclasses import dataclass, replace

from stitchview.canvas.hands import Hands
from stitchview.canvas.looks import Look
from stitchview.canvas.strips import Tens
from stitchview.canvas.view import View
from stitchview.chart.model import KeyEntry
from stitchview.done.change import Change
from stitchview.follow.differencewords import place_words
from stitchview.follow.heldback import held_numbers
from stitchview.follow.numbering import Numbering, Way
from stitchview.follow.place import Place, place_of, sentence
from stitchview.ui.asidepanel import AsidePanel
from stitchview.ui.bandwords import band_words
from stitchview.ui.bench import Bench
from stitchview.ui.chartboard import ChartBoard
from stitchview.ui.keypanel import KeyPanel
from stitchview.ui.messages import NoticeBar, announce
from stitchview.ui.placeline import PlaceLine
from stitchview.ui.pointer import Square
from stitchview.ui.preferences import Preferences
from stitchview.ui.runspanel import RunsPanel


@dataclass(frozen=True, eq=False)
class Panels:
    """What stands around the chart on the window, whichever chart it is."""

    keys: KeyPanel
    line: PlaceLine
    notices: NoticeBar
    runs: RunsPanel
    aside: AsidePanel


class Display:
    """Brings what is shown into line with the bench; what has not altered is left as it is."""

    def __init__(self, bench: Bench, hands: Hands, board: ChartBoard, panels: Panels) -> None:
        self._bench, self._hands, self._board, self._panels = bench, hands, board, panels
        self._preferences, self._night = Preferences(), False
        self._told: tuple[Square, Numbering] | None = None
        panels.keys.set_desk(bench.desk)
        panels.line.set_desk(bench.desk)

    def use(self, preferences: Preferences, night: bool) -> None:
        """Show with other preferences, by day or night."""
        self._preferences, self._night = preferences, night
        chart = self._bench.desk.chart
        self._bench.looks.left_handed = preferences.left_handed
        self._bench.band.set_lines(preferences.snaps_to_tens, preferences.numbering)
        self._bench.canvas.set_tens(tens_of(chart.columns, chart.rows, preferences.numbering))
        self._board.set_numbering(preferences.numbering)
        self.show()

    @property
    def look(self) -> Look:
        """How the chart looks."""
        looks = self._bench.looks
        return self._preferences.look(
            replace(Look(), paper=looks.paper, worked=looks.worked, shown=looks.shown), self._night
        )

    def show(self) -> None:
        """Show everything as it is now."""
        bench, look = self._bench, self.look
        bench.canvas.set_turn(bench.looks.turn)
        bench.canvas.set_look(look)
        bench.canvas.set_lit(bench.band.lit)
        self._hold_back()
        if bench.canvas.showing.in_hand != bench.holding.thread:
            bench.canvas.set_in_hand(bench.holding.thread)
            self._panels.keys.set_in_hand(bench.holding.thread)
        self._panels.keys.set_look(look)
        self._panels.line.set_look(look)
        self._board.show_band(look, bench.band.band)
        if self._hands.tool is not bench.holding.tool:
            self._hands.set_tool(bench.holding.tool)
        self._hands.shape = bench.holding.shape
        self._tell_band()
        self.tell_place()

    def marks_changed(self, change: Change) -> None:
        """Show a change of the marks."""
        self._bench.canvas.marks_changed(change)
        self._board.marks_changed(change)
        self._panels.keys.refresh()
        self._tell_band()

    def notes_changed(self) -> None:
        """Show on the chart and in the key which threads are used, and which are held back now."""
        self._hold_back()
        self._panels.keys.notes_changed()
        self._panels.line.take_names(self._bench.desk.chart.key)
        self._told = None

    def view_changed(self, view: View) -> None:
        """Let rulers and overview follow."""
        self._board.view_changed(view)

    def tell_place(self) -> None:
        """Tell where the pointer is, on the place line and for a screen reader."""
        told = self._bench.pointer.square_or_middle, self._preferences.numbering
        if told == self._told:
            return
        self._told, place = told, self.place_at(told[0])
        self._panels.line.show_place(place)
        self._board.point_at(self._bench.pointer.square)
        self._bench.canvas.setAccessibleDescription(sentence(place) if place is not None else "")

    def announce_place(self) -> None:
        """Have a screen reader say where the keyboard pointer has come to."""
        announce(self._bench.canvas, self._bench.canvas.accessibleDescription())

    def clear(self) -> None:
        """Let the panels forget the chart."""
        self._panels.keys.set_desk(None)
        self._panels.line.set_desk(None)

    def place_at(self, square: Square) -> Place | None:
        """A square as she counts it."""
        desk = self._bench.desk
        place = place_of(desk.chart, *square, self._preferences.numbering, desk.marks)
        return place and replace(place, differs=place_words(desk.chart, desk.notes, square))

    def _hold_back(self) -> None:
        desk = self._bench.desk
        self._bench.canvas.set_held_back(held_numbers(desk.chart, desk.notes), desk.chart.key)

    def _tell_band(self) -> None:
        band, number, chart = self._bench.band, self._bench.holding.thread, self._bench.desk.chart
        words = band_words(band.band, chart, self._preferences.numbering) if band.band is not None else ""
        counts = band.counts(number)
        entry: KeyEntry | None = chart.key[number - 1] if number else None
        self._panels.line.show_band(words)
        self._panels.line.show_in_hand(entry)
        self._panels.line.show_left(counts, in_hand=bool(number and words))


def tens_of(columns: int, rows: int, numbering: Numbering) -> Tens:
    """Where the bold lines stand, counted as she counts."""
    return Tens(
        _first_line(columns, numbering.across),
        _first_line(rows, numbering.down),
        _centre_square(columns, numbering.across),
        _centre_square(rows, numbering.down),
    )


def _first_line(size: int, way: Way) -> int:
    if way is Way.ON:
        return 0
    return (size if way is Way.BACK else size // 2) % 10


def _centre_square(size: int, way: Way) -> int | None:
    return size // 2 if way is Way.OUT and size % 2 else None
