"""The one table of all actions: menus, toolbar, keys, help and README are made from it."""

from stitchview.ui.action import Action
from stitchview.ui.tables.band import BAND_ACTIONS
from stitchview.ui.tables.chart import CHART_ACTIONS
from stitchview.ui.tables.cloth import CLOTH_ACTIONS
from stitchview.ui.tables.differing import DIFFERING_ACTIONS
from stitchview.ui.tables.following import FOLLOW_ACTIONS
from stitchview.ui.tables.marks import MARK_ACTIONS, THREAD_ACTIONS
from stitchview.ui.tables.plan import PLAN_ACTIONS
from stitchview.ui.tables.view import VIEW_ACTIONS

ACTIONS: tuple[Action, ...] = (
    *CHART_ACTIONS,
    *VIEW_ACTIONS,
    *BAND_ACTIONS,
    *MARK_ACTIONS,
    *THREAD_ACTIONS,
    *FOLLOW_ACTIONS,
    *CLOTH_ACTIONS,
    *DIFFERING_ACTIONS,
    *PLAN_ACTIONS,
)
"""Every action, in the order in which menus and help list it."""

TOOLBAR: tuple[tuple[str, ...], ...] = (
    ("open",),
    ("undo", "redo"),
    ("look", "mark", "unpick"),
    ("shape-single", "shape-sweep", "shape-rectangle", "shape-run", "shape-patch"),
    ("only", "thread-in-band"),
    ("band-rows", "band-columns", "band-frame"),
    ("zoom-out", "zoom-in", "whole", "region", "last-view", "last-marks"),
    ("paper", "worked"),
    ("settings", "keys"),
)
"""The names of the actions on the toolbar, in groups."""

BUTTON_MENUS: dict[str, tuple[str, ...]] = {"mark": ("as-done", "as-first-leg", "as-later", "as-mistake")}
"""Actions that hang below a button of the toolbar; the button wears the icon of the one that holds."""

LAST_OF_PART = frozenset(
    {
        "read-paper",
        "copies",
        "close",
        "settings",
        "region",
        "last-marks",
        "picture",
        "upright",
        "band-none",
        "band-jump-right",
        "band-wider",
        "unpick",
        "as-mistake",
        "shape-patch",
        "thread-in-band",
        "unpick-here",
        "takes-points",
        "only",
        "alone",
        "aside",
        "runs-here",
        "next-block-of-thread",
    }
)
"""The names of the actions after which a menu draws a line."""


def named(name: str) -> Action:
    """The action called `name`."""
    return next(action for action in ACTIONS if action.name == name)
