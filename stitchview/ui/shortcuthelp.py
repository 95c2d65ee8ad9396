"""The list of all keys, as help for the window and as a table for README, made from the table of actions."""

from collections.abc import Iterator
from html import escape

from stitchview.ui.action import Action, Menu
from stitchview.ui.actions import ACTIONS

README_START, README_END = "<!-- keys -->", "<!-- /keys -->"

HANDS = (
    ("Drag", "Mark, unpick or move the chart, as the tool says"),
    ("Space held, or the middle button", "A drag moves the chart, whatever the tool"),
    ("Ctrl held while marking", "Unpick instead; while unpicking, mark"),
    ("Wheel", "Look further up and down; with Shift left and right; with Ctrl zoom"),
    ("Two fingers", "Move and pinch the chart"),
    ("Double click", "Bring the band to this square"),
    ("Drag an edge of the band", "Make it taller, shorter, wider or narrower"),
    ("Right click", "The menu of this square"),
    ("Escape", "Give up what is under way; the keyboard pointer goes away"),
)
"""What hands do that are no actions: (what one does, what comes of it)."""

_ARROWS = {"Left": "←", "Right": "→", "Up": "↑", "Down": "↓"}


def keys_html() -> str:
    """All keys by menu, and what hands do, as the body of an HTML page in what Qt's rich text knows."""
    parts = [
        f"<h3>{menu.value}</h3><table cellpadding='3' width='100%'>{''.join(_html_rows(menu))}</table>"
        for menu in Menu
        if any(_lines(menu))
    ]
    hands = "".join(
        f"<tr><td width='34%'>{escape(did)}</td><td>{escape(does)}</td></tr>" for did, does in HANDS
    )
    return f"{''.join(parts)}<h3>Mouse, fingers and held keys</h3><table cellpadding='3'>{hands}</table>"


def readme_keys() -> str:
    """All keys by menu as a Markdown table, with the marks of README around it."""
    rows = [
        f"| {menu.value if first else ''} | {text} | {' '.join(f'`{key}`' for key in keys)} |"
        for menu in Menu
        for first, (text, keys, _) in _numbered(menu)
    ]
    return "\n".join([README_START, "| | What | Keys |", "|---|---|---|", *rows, README_END])


def key_words(key: str) -> str:
    """A key as it is printed on the keyboard: "Ctrl+Left" as "Ctrl+←"."""
    held, plus, last = key[:-1].rpartition("+")
    last += key[-1]
    return f"{held}{plus}{_ARROWS.get(last, last)}"


def _numbered(menu: Menu) -> Iterator[tuple[bool, tuple[str, tuple[str, ...], str]]]:
    return ((number == 0, line) for number, line in enumerate(_lines(menu)))


def _html_rows(menu: Menu) -> Iterator[str]:
    for text, keys, tip in _lines(menu):
        shown = ", ".join(f"<b>{escape(key)}</b>" for key in keys)
        yield f"<tr><td width='34%'>{shown}</td><td>{escape(text)}<br><small>{escape(tip)}</small></td></tr>"


def _lines(menu: Menu) -> Iterator[tuple[str, tuple[str, ...], str]]:
    """Text, keys and tip of every line; actions of one family share a line."""
    told: set[str] = set()
    for action in ACTIONS:
        if action.menu is not menu or not action.keys:
            continue
        if not action.family:
            yield action.text.rstrip(" …"), tuple(key_words(key) for key in action.keys), action.tip
        elif action.family not in told:
            told.add(action.family)
            yield action.family, tuple(key_words(key) for key in _keys_of(action.family)), action.tip


def _keys_of(family: str) -> Iterator[str]:
    members: Iterator[Action] = (action for action in ACTIONS if action.family == family)
    return (key for action in members for key in action.keys)
