"""One chart from its opening to its closing: its parts at work, what they alter shown and kept."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint
from PySide6.QtWidgets import QApplication

from stitchview.canvas.desk import Desk
from stitchview.canvas.hands import Hands
from stitchview.canvas.newsign import NewSign
from stitchview.canvas.view import View
from stitchview.done.change import Change
from stitchview.done.joining import Piece
from stitchview.done.notebook import NotesChange
from stitchview.done.ownfolder import own_layers_folder
from stitchview.errors import LayerError
from stitchview.follow.parking import stray_words, strays
from stitchview.ui.action import Action
from stitchview.ui.bench import lay_out
from stitchview.ui.chartboard import ChartBoard
from stitchview.ui.clothmenu import cloth_entries
from stitchview.ui.clothwork import ClothWork
from stitchview.ui.copiesfound import CopiesFound
from stitchview.ui.copieswork import CopiesWork
from stitchview.ui.deeds import Deeds
from stitchview.ui.diarywork import DiaryWork
from stitchview.ui.display import Display, Panels
from stitchview.ui.finishwork import FinishWork
from stitchview.ui.following import Following
from stitchview.ui.handling import Handling
from stitchview.ui.hint import Hint, Voice
from stitchview.ui.layingout import LayingOut, SittingListener
from stitchview.ui.marking import Marking
from stitchview.ui.opening import Opened
from stitchview.ui.planworks import PlanPlace
from stitchview.ui.pointer import Square
from stitchview.ui.preferences import Preferences
from stitchview.ui.printwork import PrintWork
from stitchview.ui.resting import Resting
from stitchview.ui.squaremenu import SquareMenu, entries_at

if TYPE_CHECKING:
    from stitchview.ui.diary.diaryreader import Shot


class Sitting(QObject):
    """One open chart on the window. `board` is its widget, `works` what actions do with it."""

    def __init__(self, opened: Opened, panels: Panels, listener: SittingListener) -> None:
        super().__init__()
        self.path, self._opened, self._listener = opened.path, opened, listener
        self._desk = desk = Desk(opened.layer, self)
        self._bench = bench = lay_out(desk, self)
        hint = Hint()
        self._voice = Voice(panels.notices, hint)
        self._marking = Marking(bench, self._voice)
        handling = Handling(bench, self._marking, self)
        self._hands = Hands(bench.canvas, handling)
        self.board = ChartBoard(bench, handling, self)
        hint.lie_over(self.board)
        self._display = Display(bench, self._hands, self.board, panels)
        self._following = Following(self._marking, panels, self)
        self._cloth = ClothWork(bench, self._voice, self)
        self._resting = Resting(bench, self._following, self._cloth, self)
        piece = Piece(opened.path, desk.chart, own_layers_folder())
        self._copies = CopiesFound(desk, piece, panels.notices, self)
        self._diary = DiaryWork(desk, piece, self.title, self.board, self._show_new)
        self._kept_copies = CopiesWork(desk, piece, panels.notices, self.board)
        self._printing = PrintWork(bench, opened.path, self.title, self.board)
        self._finishing = FinishWork(bench, opened.path, self.title, self.board, self)
        bench.piece.identity = desk.chart.identity or str(opened.path.resolve())
        self._diary.rate_words = bench.piece.rate_words
        self.works = Deeds(self._marking, self._cloth, self._following, self._display, self)
        self._marked = False
        self._before_menu: Square | None = None
        self._anew = LayingOut(listener, self)
        desk.tell(self._marks_changed)
        desk.tell_notes(self._notes_changed)
        desk.tell_keeping(panels.line.show_keeping)

    def begin(self, preferences: Preferences, night: bool) -> None:
        """Be where she stopped, and point out the marks made last; the board is on the window by now."""
        self._bench.canvas.set_painter(self._bench.painter)
        self._resting.restore()
        self.use(preferences, night)
        for notice in self._opened.notices:
            self._voice.tell(notice)
        for stray in strays(self._desk.chart, self._desk.notes):
            self._voice.tell(stray_words(self._desk.chart, stray))
        if self._opened.lost is not None:
            self._kept_copies.offer(self._opened.lost)
        self.point_out(visit=False)
        if self._opened.layer.layer.keeps:
            self._copies.look_soon()

    @property
    def title(self) -> str:
        """What the chart is called."""
        return self._desk.chart.title or self.path.stem

    @property
    def desk(self) -> Desk:
        """The chart and its marks."""
        return self._desk

    @property
    def lists_differences(self) -> bool:
        """Whether the list of what differs on the cloth is open."""
        return self._cloth.differing.is_listed

    def go_on(self, listed: bool) -> None:
        """Go on where she was before the chart was laid out anew."""
        self._bench.pointer.recall(None)
        self.board.setFocus()
        if listed:
            self._cloth.differing.open()

    @property
    def pointed_square(self) -> Square:
        """The square under the pointer, or that in the middle."""
        return self._bench.pointer.square_or_middle

    def look(self) -> None:
        """Take up the tool that looks around."""
        self._bench.holding.look()
        self.show()

    def use(self, preferences: Preferences, night: bool) -> None:
        """Go on with other preferences, by day or night."""
        self._marking.steps_on = preferences.steps_on
        self._cloth.use(preferences)
        self._printing.numbering = preferences.numbering
        self._diary.use(preferences.pauses)
        self._finishing.use(preferences.pauses)
        self._following.use(preferences)
        self._display.use(preferences, night)
        self._following.show(self._display.look)

    def do(self, action: Action) -> None:
        """Do what an action asks for; a band that it moved is followed by the view."""
        if action.at_chart is None:
            return
        band, cursor = self._bench.band.band, self._bench.pointer.cursor
        action.at_chart(self.works)
        if self._bench.band.band != band:
            self._bench.going.follow_band()
        self.show()
        if self._bench.pointer.cursor != cursor:
            self._display.announce_place()

    def take_thread(self, number: int, go_there: bool) -> None:
        """Take a thread of the key in hand, 0 for none, and look where it is left if asked."""
        self._bench.holding.take(number)
        if go_there and number:
            self._marking.go_to_thread(number)
        self.show()

    def unkept(self) -> str:
        """Wait for the disk; a sentence if marks are not safe on it, else nothing."""
        self._resting.keep()
        if not self._desk.flush():
            return self._desk.keeping.trouble or "The disk does not answer."
        if self._marked and not self._opened.layer.layer.keeps:
            return "The marks of this sitting could not be kept anywhere."
        return ""

    def close(self) -> LayerError | None:
        """Keep place and marks, and let go of the files; gives what could not be kept."""
        self._resting.stop()
        self._anew.stop()
        self._copies.stop()
        self._cloth.plan.close()
        self._diary.close()
        self._hands.give_up()
        error = self._desk.close()
        self._opened.sign.unlock()
        self._display.clear()
        self._following.clear()
        return error

    # What the parts tell

    def show(self) -> None:
        """Show everything as it is now, and have the place kept."""
        self._cloth.follow()
        self._display.show()
        self._following.show(self._display.look)
        self._resting.keep_soon()
        self._listener.sitting_changed()

    def hint(self, sentence: str) -> None:
        """Say a sentence over the chart for a moment."""
        self._voice.hint(sentence)

    def open_diary(self) -> None:
        """Open the diary of the piece."""
        self._diary.open()

    def open_printing(self) -> None:
        """Ask what to print of the chart."""
        self._printing.open()

    def open_finishing(self) -> None:
        """Finish the piece."""
        self._finishing.open()

    def open_last_things(self) -> None:
        """List the last things."""
        self._cloth.last.open()

    def open_thread_plan(self) -> None:
        """Open the page about thread."""
        self._cloth.plan.open(PlanPlace.THREAD)

    def open_copies(self) -> None:
        """Show the kept copies of what is done."""
        self._kept_copies.open()

    def tell_place(self) -> None:
        """Tell where the pointer is."""
        self._display.tell_place()
        self._following.follow()
        self._cloth.follow()

    def view_changed(self, view: View) -> None:
        """Follow the view."""
        self._bench.going.view_changed(view)
        self._display.view_changed(self._bench.canvas.view)
        self.tell_place()
        self._resting.keep_soon()

    def point_out(self, visit: bool) -> None:
        """Point out the marks made last, and look there if asked."""
        try:
            self._resting.point_out(visit)
        except LayerError as error:
            self._voice.tell(str(error))

    def open_menu(self, square: Square, place: QPoint) -> None:
        """Open the menu of a square at a place of the screen; while it is open, a pointer shows which."""
        if QApplication.activePopupWidget() is not None or not self._desk.chart.area.holds(*square):
            return
        entries = entries_at(self._bench, self._marking, square, lambda: self.works.copy_place(square))
        entries += cloth_entries(self._cloth, square, bool(self._bench.holding.thread))
        menu = SquareMenu(entries, self.show, self._bench.canvas)
        self._before_menu = self._bench.pointer.cursor
        self._bench.pointer.restore(square)
        menu.aboutToHide.connect(self._menu_closed)
        menu.popup(place)

    def give_up(self) -> bool:
        """Give up by Escape what a key began: a region, the tape, a corner, the pointer.

        When only the chart is shown, one that just takes the pointer away brings everything back too.
        """
        pointer = self._bench.pointer
        began = not self.board.alone or pointer.corner is not None
        if self._bench.holding.tool == "region":
            self._bench.holding.region()
        elif self._cloth.signs.shown.new is not None:
            self._cloth.signs.lay_new(None)
        elif not (self._cloth.give_up() or (pointer.give_up() and began)):
            return False
        self.show()
        return True

    def _show_new(self, shot: "Shot") -> None:
        """Wash what is new since a moment over the chart, and look there."""
        families = self._desk.marks.families
        self._cloth.signs.lay_new(NewSign(self._desk.chart, shot.since.before, families))
        if not shot.since.gains.area.empty:
            self._bench.going.visit(shot.since.gains.area)
        self._voice.hint("What is new is washed over. Escape takes it off.")

    def _marks_changed(self, change: Change) -> None:
        self._marked = True
        self._display.marks_changed(change)
        self._following.marks_changed(change)
        self._diary.changed()
        self._cloth.plan.changed()
        self._cloth.last.changed()
        self._finishing.changed()

    def _notes_changed(self, change: NotesChange) -> None:
        self._marked = self._marked or bool(change)
        self._anew.follow(change)
        self._display.notes_changed()
        self._cloth.notes_changed()
        self._finishing.changed()
        self._diary.changed()
        self.show()

    def _menu_closed(self) -> None:
        self._bench.pointer.restore(self._before_menu)
