"""The actions on the chart as a whole, and on the window around it."""

from stitchview.ui.action import Action, Menu
from stitchview.ui.needs import Needs

CHART_ACTIONS = (
    Action(
        "open",
        "Open a chart …",
        "Choose a chart to open; of one kept as a folder, choose its chart.json",
        Menu.CHART,
        ("Ctrl+O",),
        icon="open",
        needs=Needs.NOTHING,
        at_window=lambda window: window.ask_for_chart(),
    ),
    Action(
        "sample",
        "Open the sample",
        "Open the harbour that comes with the program, to try things on",
        Menu.CHART,
        needs=Needs.NOTHING,
        at_window=lambda window: window.open_sample(),
    ),
    Action(
        "close",
        "Close the chart",
        "Put the chart away; marks and place are kept",
        Menu.CHART,
        ("Ctrl+W",),
        at_window=lambda window: window.close_chart(),
    ),
    Action(
        "settings",
        "Settings …",
        "Colours, counting, dimming, symbols and how the band moves",
        Menu.CHART,
        ("Ctrl+,",),
        icon="settings",
        needs=Needs.NOTHING,
        at_window=lambda window: window.show_settings(),
    ),
    Action(
        "quit",
        "Quit",
        "Close the window; marks and place are kept",
        Menu.CHART,
        ("Ctrl+Q",),
        needs=Needs.NOTHING,
        at_window=lambda window: window.quit(),
    ),
    Action(
        "keys",
        "Keys and guide",
        "How to look around, lay the band and mark, with every key",
        Menu.HELP,
        ("F1",),
        icon="help",
        needs=Needs.NOTHING,
        at_window=lambda window: window.show_keys(),
    ),
    Action(
        "cautions",
        "Cautions",
        "About magnets, needles, eyes and hands, and copies of your marks",
        Menu.HELP,
        needs=Needs.NOTHING,
        at_window=lambda window: window.show_cautions(),
    ),
    Action(
        "single-keys",
        "Use keys of one letter",
        "Turn letters, digits and signs off where they are pressed by accident, or by voice",
        Menu.HELP,
        needs=Needs.NOTHING,
        at_window=lambda window: window.switch_single_keys(),
        is_on_window=lambda window: window.single_keys,
    ),
)
