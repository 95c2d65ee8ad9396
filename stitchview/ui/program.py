"""The program on one window: what menus, keys and panels ask for comes together here."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication

from stitchview.done.basket import Basket, Piece
from stitchview.done.moved import find_moved
from stitchview.done.ownfolder import own_layers_folder
from stitchview.errors import StitchviewError
from stitchview.ui.action import Action
from stitchview.ui.asidepanel import AsidePanel
from stitchview.ui.charts import Charts
from stitchview.ui.display import Panels
from stitchview.ui.emptypage import EmptyPage
from stitchview.ui.keypanel import KeyPanel
from stitchview.ui.menus import Menus
from stitchview.ui.messages import NoticeBar, say_error
from stitchview.ui.picturefiles import are_pictures
from stitchview.ui.placeline import PlaceLine
from stitchview.ui.recent import Recent
from stitchview.ui.runspanel import RunsPanel
from stitchview.ui.welcome import WelcomePanel
from stitchview.ui.window import Window
from stitchview.ui.windowdeeds import WindowDeeds
from stitchview.ui.wishes import Wishes

_UNTOLD = "copies/untold"


class Program:
    """One window with everything that belongs to it."""

    def __init__(self, app: QApplication, settings: QSettings, window: Window | None = None) -> None:
        """Furnish `window`, which may be on the screen already, or one of its own where it stood last."""
        self._settings = settings
        self.window = window or _where_it_stood(settings)
        panels = Panels(KeyPanel(self), PlaceLine(), NoticeBar(), RunsPanel(), AsidePanel())
        self.basket = Basket(own_layers_folder())
        self.window.furnish(self, panels, EmptyPage(self, self.basket))
        self.charts = Charts(self.window, Recent(settings), self, self.basket)
        self.wishes = Wishes(app, settings, self._wishes_changed, self.window.panels.notices.say)
        self.deeds = WindowDeeds(self.window, self.charts, self.wishes)
        self.menus = Menus(self.window, self)
        self.menus.fill_bar(self.window.menuBar())
        self.menus.fill_toolbar(self.window.toolbar)
        self.menus.tint(self.window.palette())
        self.window.restore_shares(settings)
        self._welcome: WelcomePanel | None = None
        self.wishes.dress()
        self._wishes_changed()
        self.chart_changed()
        self.window.settle()

    @property
    def settled(self) -> bool:
        """Whether everything that is shown is drawn; the overview takes a moment longer than the rest."""
        board = self.window.board
        return board is None or not board.overview.isVisible() or board.overview.up_to_date

    def begin(self, path: Path | None) -> None:
        """Open a chart, or the one of the last evening, or the sample with a welcome."""
        last = self.charts.recent.last
        if path is not None:
            self.charts.open(path)
        elif last is not None:
            self.charts.open(last)
        elif not self.charts.recent.charts and self.charts.open_sample():
            self.welcome()
        if untold := self._settings.value(_UNTOLD, ""):
            self._settings.remove(_UNTOLD)
            self.window.panels.notices.say(str(untold))

    def welcome(self) -> None:
        """Show the welcome over the chart."""
        if self.window.board is not None:
            self._welcome = WelcomePanel(self, self.window.board)
            self._welcome.show()
            self._welcome.setFocus()

    # Menus, toolbar and keys

    def do(self, action: Action) -> None:
        """Do what an action asks for."""
        sitting = self.charts.sitting
        if action.at_window is not None:
            action.at_window(self.deeds)
        elif sitting is not None:
            sitting.do(action)
        self.sitting_changed()

    def open_recent(self, path: Path) -> None:
        """Open a chart of the list of recent ones."""
        self.charts.open(path)

    def open_piece(self, piece: Piece) -> None:
        """Open a piece of the workbasket; one whose chart was moved is looked for by its identity."""
        path = piece.path
        if not piece.is_there:
            folders = [each.path.parent for each in self.basket.pieces()]
            path = find_moved(piece.identity, piece.path, folders) or piece.path
            if path != piece.path:
                self.charts.recent.forget(piece.path)
        self.charts.open(path)

    def piece_taken_out(self, piece: Piece) -> None:
        """Take it off the charts opened lately too, or its card would come back."""
        self.charts.recent.forget(piece.path)
        self.chart_changed()

    def basket_failed(self, error: StitchviewError) -> None:
        """Say what could not be kept of the workbasket."""
        say_error(self.window, error)

    # What the parts tell

    def sitting_changed(self) -> None:
        """Take over what can be done now."""
        sitting = self.charts.sitting
        self.menus.refresh(self.deeds, sitting.works if sitting is not None else None)

    def cloth_differs(self) -> None:
        """Lay the chart out anew as it stands on the cloth now."""
        self.charts.lay_out_anew()

    def chart_changed(self) -> None:
        """Take over that another chart is open, or none."""
        self.menus.recent.show_charts(self.charts.recent.charts)
        self.window.empty.show_charts(self.charts.recent.charts)
        if self.window.board is not None:
            self.menus.take_canvas(self.window.board.canvas)
        self.deeds.pencil.chart_changed()
        self.sitting_changed()

    def thread_chosen(self, number: int) -> None:
        """Take a thread of the key in hand; 0 puts it down."""
        if self.charts.sitting is not None:
            self.charts.sitting.take_thread(number, go_there=False)

    def thread_wanted(self, number: int) -> None:
        """Take a thread of the key in hand, and look where it is left."""
        if self.charts.sitting is not None:
            self.charts.sitting.take_thread(number, go_there=True)

    def chart_asked(self) -> None:
        """Ask which chart to open, from the welcome."""
        self.charts.ask()

    def sample_asked(self, path: Path) -> None:
        """Open a sample, from the welcome."""
        self.charts.open_sample(path)

    def welcome_closed(self) -> None:
        """Give the keyboard back to the chart."""
        if self.window.board is not None:
            self.window.board.setFocus()

    def dropped(self, paths: Sequence[Path]) -> None:
        """Open the chart that was dropped on the window; pictures go on the reading table."""
        if are_pictures(paths):
            self.deeds.reading.open(paths)
        else:
            self.charts.open(paths[0])

    def open_named(self, name: str) -> None:
        """Open the chart that the file manager names."""
        self.charts.open(Path(name))

    def may_close(self) -> bool:
        """Put everything away; False if she would rather stay."""
        self.deeds.reading.keep()
        if not self.charts.close():
            return False
        self.deeds.reading.close_down()
        if self.charts.untold:
            # The window that says it now is going; it is said once more at the next start.
            self._settings.setValue(_UNTOLD, self.charts.untold)
        self.wishes.keep()
        self.window.keep_state(self._settings)
        self._settings.sync()
        return True

    def colours_changed(self) -> None:
        """Take over the colours of another theme."""
        self.menus.tint(self.window.palette())
        self.charts.use(self.wishes.preferences, self.wishes.night)

    def _wishes_changed(self) -> None:
        self.menus.use_keys(self.wishes.preferences.single_keys)
        self.deeds.reading.use_keys(self.wishes.preferences.single_keys)
        self.charts.use(self.wishes.preferences, self.wishes.night)
        self.sitting_changed()


def _where_it_stood(settings: QSettings) -> Window:
    window = Window()
    window.restore_place(settings)
    return window
