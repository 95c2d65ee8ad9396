"""What the actions on the window and on the view must come to: set the scene, yield for the key, look."""

from collections.abc import Callable, Iterator

from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFileDialog, QMenu

from stitchview.canvas.topsign import TopSign
from stitchview.chart.turning import LEFT, MIRRORED, RIGHT, UPRIGHT, Turn
from stitchview.follow.turnwords import turn_words
from stitchview.ui.guide import CAUTIONS_PAGE, KEYS, Guide
from stitchview.ui.hint import Hint
from stitchview.ui.settingsdialog import SettingsDialog
from stitchview.ui.squaredialog import SquareDialog
from tests.journeys.sofa import Sofa

Scene = Callable[[Sofa], Iterator[None]]


def opens_a_dialog_for_files(sofa: Sofa) -> Iterator[None]:
    yield
    dialog = sofa.window.findChild(QFileDialog)
    assert dialog is not None
    assert dialog.isVisible()
    dialog.reject()


def opens_the_sample(sofa: Sofa) -> Iterator[None]:
    before = sofa.sitting.path
    yield
    assert sofa.sitting.path != before
    assert sofa.sitting.path.exists()
    assert sofa.sitting.path.parent.name == "samples"


def closes_the_chart(sofa: Sofa) -> Iterator[None]:
    yield
    assert sofa.program is not None
    assert sofa.program.charts.sitting is None
    assert sofa.program.charts.recent.last is None
    assert sofa.window.board is None


def shows_the_settings(sofa: Sofa) -> Iterator[None]:
    yield
    dialog = sofa.window.findChild(SettingsDialog)
    assert dialog is not None
    assert dialog.isVisible()
    dialog.reject()


def closes_the_window(sofa: Sofa) -> Iterator[None]:
    yield
    assert not sofa.window.isVisible()


def shows_the_guide(page: int) -> Scene:
    def scene(sofa: Sofa) -> Iterator[None]:
        yield
        guide = sofa.window.findChild(Guide)
        assert guide is not None
        assert guide.isVisible()
        assert guide.pages.currentIndex() == page
        guide.close()

    return scene


def turns_letters_off(sofa: Sofa) -> Iterator[None]:
    yield
    sofa.press("B")
    assert sofa.works.band.band is None
    sofa.press("Ctrl++")
    sofa.choose("single-keys")
    sofa.press("B")
    assert sofa.works.band.band is not None


def pans(across: int, down: int) -> Scene:
    def scene(sofa: Sofa) -> Iterator[None]:
        sofa.press("+", "+", "+", "+", "+", "+")
        before = sofa.canvas.view
        yield
        after = sofa.canvas.view
        assert _sign(after.left - before.left) == across
        assert _sign(after.top - before.top) == down
        assert (after.left - before.left) % before.pitch == 0
        assert (after.top - before.top) % before.pitch == 0

    return scene


def steps(across: int, down: int) -> Scene:
    def scene(sofa: Sofa) -> Iterator[None]:
        sofa.put_pointer((20, 20))
        yield
        cursor = sofa.canvas.showing.pointers.cursor
        assert cursor == (20 + across, 20 + down)
        assert f"Column {cursor[0] + 1} " in sofa.canvas.accessibleDescription()
        assert f"row {cursor[1] + 1} " in sofa.window.panels.line.sentence

    return scene


def zooms(way: int) -> Scene:
    def scene(sofa: Sofa) -> Iterator[None]:
        before = sofa.canvas.view.pitch
        yield
        assert _sign(sofa.canvas.view.pitch - before) == way

    return scene


def shows_the_whole_chart(sofa: Sofa) -> Iterator[None]:
    sofa.press("+", "+", "+", "+", "+", "+", "+", "+", "+", "+")
    assert sofa.canvas.view.area != sofa.desk.chart.area
    yield
    assert sofa.canvas.view.area == sofa.desk.chart.area


def shows_the_band_as_wide_as_the_window(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer((30, 25))
    sofa.press("F")
    yield
    lit = sofa.works.band.lit
    assert lit is not None
    x, _, width, _ = sofa.canvas.view.pixels_of(lit)
    assert x >= 0
    assert x + width <= sofa.canvas.view.width
    ratio = sofa.canvas.devicePixelRatioF()
    assert width > 0.8 * min(sofa.canvas.view.width, 48 * ratio * lit.columns)


def zooms_to_what_is_drawn(sofa: Sofa) -> Iterator[None]:
    yield
    assert sofa.works.holding.tool == "region"
    sofa.drag((10, 10), (19, 17))
    assert sofa.works.holding.tool == "look"
    shown = sofa.canvas.view.area
    assert shown.holds(10, 10)
    assert shown.holds(19, 17)
    assert shown.columns < 25


def looks_where_it_looked(sofa: Sofa) -> Iterator[None]:
    before = sofa.canvas.view
    sofa.put_pointer((30, 25))
    sofa.press("F", "W")
    assert sofa.canvas.view != before
    yield
    assert sofa.canvas.view == before


def goes_back_to_the_last_marks(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer((2, 3))
    sofa.press("3", "Return", "Shift+Right", "Return")
    sofa.press("+", "+", "+", "+", "+", "+", "+", "+", "+", "+", "+", "+")
    sofa.canvas.centre_on(50, 45)
    assert not sofa.canvas.view.area.holds(2, 3)
    yield
    assert sofa.canvas.view.area.holds(2, 3)
    recalled = sofa.canvas.showing.pointers.recalled
    assert recalled is not None
    assert recalled.holds(2, 3) or recalled.holds(3, 3)


def goes_to_a_square(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer((4, 8))
    yield
    dialog = sofa.window.findChild(SquareDialog)
    assert dialog is not None
    sofa.qtbot.waitUntil(dialog.isActiveWindow)
    sofa.press("5", "1", "Tab", "3", "7")
    assert "Column 51 (block 6, place 1), row 37 (block 4, place 7)" in dialog.told.text()
    sofa.press("Return")
    assert not dialog.isVisible()
    assert sofa.canvas.showing.pointers.cursor == (50, 36)
    assert sofa.canvas.view.area.holds(50, 36)


def looks_as_on_paper(sofa: Sofa) -> Iterator[None]:
    assert not sofa.canvas.showing.look.paper
    yield
    assert sofa.canvas.showing.look.paper


def shows_done_squares_worked(sofa: Sofa) -> Iterator[None]:
    assert not sofa.canvas.showing.look.worked
    yield
    assert sofa.canvas.showing.look.worked


def turns(*steps: Turn) -> Scene:
    def scene(sofa: Sofa) -> Iterator[None]:
        for key, turn in (("Ctrl+]", RIGHT), ("Ctrl+B", MIRRORED)):
            for _ in range(steps[:-1].count(turn)):
                sofa.press(key)
        before = sofa.works.looks.turn
        yield
        after = UPRIGHT if steps[-1] == UPRIGHT else before.then(steps[-1])
        assert sofa.canvas.view.turn == after
        sign = sofa.sitting.board.findChild(TopSign)
        assert sign is not None
        assert sign.toolTip() == turn_words(after)
        assert turn_words(after) in [hint.text() for hint in sofa.sitting.board.findChildren(Hint)]

    return scene


def shows_only_the_chart(sofa: Sofa) -> Iterator[None]:
    yield
    assert sofa.window.isFullScreen()
    assert not sofa.window.toolbar.isVisible()
    assert not sofa.window.menuBar().isVisible()
    assert not sofa.window.panels.keys.isVisible()
    sofa.press("B")
    assert sofa.works.band.band is not None
    sofa.press("Shift+Right")
    sofa.press("Escape")
    assert sofa.canvas.showing.pointers.cursor is None
    assert not sofa.window.isFullScreen()
    assert sofa.window.toolbar.isVisible()
    assert sofa.window.panels.keys.isVisible()


def copies_the_place(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer((4, 8))
    yield
    assert QGuiApplication.clipboard().text().startswith("Column 5 (block 1, place 5), row 9 (block 1")


def opens_the_menu_of_the_square(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer((4, 8))
    yield
    menu = sofa.canvas.findChild(QMenu)
    assert menu is not None
    assert menu.isVisible()
    assert "Band of rows here" in [each.text() for each in menu.actions()]
    menu.close()


def _sign(number: float) -> int:
    return (number > 0) - (number < 0)


LOOKING: dict[str, Scene] = {
    "open": opens_a_dialog_for_files,
    "sample": opens_the_sample,
    "close": closes_the_chart,
    "settings": shows_the_settings,
    "quit": closes_the_window,
    "keys": shows_the_guide(KEYS),
    "cautions": shows_the_guide(CAUTIONS_PAGE),
    "single-keys": turns_letters_off,
    "pan-left": pans(-1, 0),
    "pan-right": pans(1, 0),
    "pan-up": pans(0, -1),
    "pan-down": pans(0, 1),
    "pointer-left": steps(-1, 0),
    "pointer-right": steps(1, 0),
    "pointer-up": steps(0, -1),
    "pointer-down": steps(0, 1),
    "zoom-in": zooms(1),
    "zoom-out": zooms(-1),
    "whole": shows_the_whole_chart,
    "band-width": shows_the_band_as_wide_as_the_window,
    "region": zooms_to_what_is_drawn,
    "last-view": looks_where_it_looked,
    "last-marks": goes_back_to_the_last_marks,
    "go-to": goes_to_a_square,
    "paper": looks_as_on_paper,
    "worked": shows_done_squares_worked,
    "turn-right": turns(RIGHT),
    "turn-left": turns(RIGHT, LEFT),
    "from-behind": turns(RIGHT, MIRRORED),
    "upright": turns(RIGHT, MIRRORED, UPRIGHT),
    "alone": shows_only_the_chart,
    "copy-place": copies_the_place,
    "square-menu": opens_the_menu_of_the_square,
}
