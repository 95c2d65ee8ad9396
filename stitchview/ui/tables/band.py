"""The actions that lay the band and move it."""

from stitchview.ui.action import Action, Menu
from stitchview.ui.needs import Needs


def _move(name: str, text: str, key: str, columns: int, rows: int) -> Action:
    return Action(
        name,
        text,
        "Move the band by one row or column, or to the next ten if it snaps",
        Menu.BAND,
        (key,),
        needs=Needs.BAND,
        at_chart=lambda chart: chart.band.move(columns, rows),
        family="Move the band by one row or column",
        in_menu=False,
        repeats=True,
    )


def _jump(name: str, text: str, key: str, across: int, down: int) -> Action:
    return Action(
        name,
        text,
        "Move the band by its own height or width",
        Menu.BAND,
        (key,),
        needs=Needs.BAND,
        at_chart=lambda chart: chart.band.move_by_itself(across, down),
        family="Move the band by its own height or width",
        repeats=True,
    )


def _grow(name: str, text: str, key: str, columns: int, rows: int) -> Action:
    return Action(
        name,
        text,
        "Change how much the band leaves lit",
        Menu.BAND,
        (key,),
        needs=Needs.BAND,
        at_chart=lambda chart: chart.band.grow(columns, rows),
        family="Band shorter, taller, narrower, wider",
        repeats=True,
    )


BAND_ACTIONS = (
    Action(
        "band-rows",
        "Band of rows here",
        "Lay a band over the rows at the pointer and dim the rest",
        Menu.BAND,
        ("B",),
        icon="band-rows",
        at_chart=lambda chart: chart.band.over_rows(),
    ),
    Action(
        "band-columns",
        "Band of columns here",
        "Lay a band over the columns at the pointer and dim the rest",
        Menu.BAND,
        ("V",),
        icon="band-columns",
        at_chart=lambda chart: chart.band.over_columns(),
    ),
    Action(
        "band-frame",
        "Frame here",
        "Lay a frame of rows and columns at the pointer and dim the rest",
        Menu.BAND,
        ("F",),
        icon="band-frame",
        at_chart=lambda chart: chart.band.framed(),
    ),
    Action(
        "band-none",
        "No band",
        "Take the band away; the whole chart is lit",
        Menu.BAND,
        ("N",),
        needs=Needs.BAND,
        at_chart=lambda chart: chart.band.take_away(),
    ),
    _move("band-up", "Band up by a row", "Ctrl+Up", 0, -1),
    _move("band-down", "Band down by a row", "Ctrl+Down", 0, 1),
    _move("band-left", "Band left by a column", "Ctrl+Left", -1, 0),
    _move("band-right", "Band right by a column", "Ctrl+Right", 1, 0),
    _jump("band-jump-up", "Band up by its height", "Ctrl+Shift+Up", 0, -1),
    _jump("band-jump-down", "Band down by its height", "Ctrl+Shift+Down", 0, 1),
    _jump("band-jump-left", "Band left by its width", "Ctrl+Shift+Left", -1, 0),
    _jump("band-jump-right", "Band right by its width", "Ctrl+Shift+Right", 1, 0),
    _grow("band-shorter", "One row shorter", "Alt+Up", 0, -1),
    _grow("band-taller", "One row taller", "Alt+Down", 0, 1),
    _grow("band-narrower", "One column narrower", "Alt+Left", -1, 0),
    _grow("band-wider", "One column wider", "Alt+Right", 1, 0),
    Action(
        "band-snaps",
        "Snap to tens",
        "The band lies on the bold lines only",
        Menu.BAND,
        needs=Needs.NOTHING,
        at_window=lambda window: window.switch_snapping(),
        is_on_window=lambda window: window.snaps,
    ),
    Action(
        "band-steps-on",
        "Step on when all is done",
        "The band moves on by itself when every square in it is done",
        Menu.BAND,
        needs=Needs.NOTHING,
        at_window=lambda window: window.switch_stepping(),
        is_on_window=lambda window: window.steps_on,
    ),
)
