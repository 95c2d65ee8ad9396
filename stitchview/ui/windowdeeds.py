"""What actions can do with the window, whether or not a chart is on it."""

from PySide6.QtWidgets import QDialog

from stitchview.ui.charts import Charts
from stitchview.ui.guide import CAUTIONS_PAGE, KEYS, Guide
from stitchview.ui.pencilwork import PencilWork
from stitchview.ui.readingwork import ReadingWork
from stitchview.ui.settingsdialog import SettingsDialog
from stitchview.ui.window import Window
from stitchview.ui.wishes import Wishes


class WindowDeeds:
    """The `WindowWorks` of one window."""

    def __init__(self, window: Window, charts: Charts, wishes: Wishes) -> None:
        self._window, self._charts, self._wishes = window, charts, wishes
        self._guide: Guide | None = None
        self.dialog: QDialog | None = None
        self.reading = ReadingWork(window, charts)
        self.pencil = PencilWork(window, charts, self.reading)

    @property
    def snaps(self) -> bool:
        """Whether the band snaps to tens."""
        return self._wishes.preferences.snaps_to_tens

    @property
    def steps_on(self) -> bool:
        """Whether the band steps on by itself."""
        return self._wishes.preferences.steps_on

    @property
    def alone(self) -> bool:
        """Whether only the chart is shown."""
        return self._window.alone

    @property
    def single_keys(self) -> bool:
        """Whether keys of one character work."""
        return self._wishes.preferences.single_keys

    def ask_for_chart(self) -> None:
        """Ask which chart to open."""
        self._charts.ask()

    def open_sample(self) -> None:
        """Open the sample that comes with the program."""
        self._charts.open_sample()

    def read_paper(self) -> None:
        """Open the reading table."""
        self.reading.open()

    @property
    def pencil_in_hand(self) -> bool:
        """Whether the pencil is in hand."""
        return self.pencil.in_hand

    def switch_pencil(self) -> None:
        """Take the pencil up, or put it down."""
        self.pencil.switch()

    def close_chart(self) -> None:
        """Close the chart."""
        self._charts.put_away()

    def show_keys(self) -> None:
        """Show the keys and a short guide."""
        self._show_guide(KEYS)

    def show_cautions(self) -> None:
        """Show what to keep in mind."""
        self._show_guide(CAUTIONS_PAGE)

    def show_alone(self) -> None:
        """Show only the chart, or everything again."""
        self._window.set_alone(not self._window.alone)
        if self._window.alone and self._charts.sitting is not None:
            self._charts.sitting.hint("Escape brings everything back.")

    def show_settings(self) -> None:
        """Show the settings."""
        self.dialog = SettingsDialog(self._wishes.preferences, self._wishes.take, self._window)
        self.dialog.open()

    def quit(self) -> None:
        """Close the window."""
        self._window.close()

    def switch_snapping(self) -> None:
        """Let the band snap to tens, or lie anywhere."""
        self._wishes.switch_snapping()

    def switch_stepping(self) -> None:
        """Let the band step on by itself, or stay."""
        self._wishes.switch_stepping()

    def switch_single_keys(self) -> None:
        """Let keys of one character work, or not."""
        self._wishes.switch_single_keys()

    def _show_guide(self, page: int) -> None:
        if self._guide is None:
            self._guide = Guide(self._window)
        self._guide.show_page(page)
