"""The actions between cloth and chart: the tape, and whether a stitch is where it should be."""

from stitchview.ui.action import Action, Menu

CLOTH_ACTIONS = (
    Action(
        "tape",
        "Tape from here",
        "Lay a tape from the pointer; press again to fix its end; Escape puts it away",
        Menu.CLOTH,
        ("R",),
        at_chart=lambda chart: chart.cloth.tape.press(),
        is_on=lambda chart: chart.cloth.tape.led,
    ),
    Action(
        "check-stitch",
        "Is this stitch where it should be …",
        "From the square under the pointer and a count on the cloth to the square of the chart",
        Menu.CLOTH,
        ("Shift+R",),
        at_chart=lambda chart: chart.cloth.check_stitch(),
    ),
    Action(
        "find-place",
        "Find my place from the cloth …",
        "Fill in a few squares as you see them; every place of the chart where they fit is shown",
        Menu.CLOTH,
        ("Ctrl+F",),
        at_chart=lambda chart: chart.cloth.finding.open(),
    ),
)
