"""The actions about where the cloth differs from the chart."""

from stitchview.ui.action import Action, Menu

DIFFERING_ACTIONS = (
    Action(
        "differs-here",
        "The cloth differs here …",
        "Keep a shifted block, another thread, stitches left out or added; or unpick and note thread lost",
        Menu.CLOTH,
        ("Shift+D",),
        at_chart=lambda chart: chart.cloth.differing.record(),
    ),
    Action(
        "differences",
        "Where the cloth differs …",
        "List all recorded differences and what was unpicked; go there, or take one back",
        Menu.CLOTH,
        ("Ctrl+Shift+D",),
        at_chart=lambda chart: chart.cloth.differing.open(),
    ),
)
