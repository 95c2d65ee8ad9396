"""The help on keys names every key, and README has the same list."""

from pathlib import Path

import pytest

from stitchview.ui.action import Menu
from stitchview.ui.actions import ACTIONS
from stitchview.ui.shortcuthelp import HANDS, README_END, README_START, key_words, keys_html, readme_keys


def test_every_key_is_in_the_help() -> None:
    """No key has to be guessed, and what hands do is told too."""
    html, readme = keys_html(), readme_keys()
    for action in ACTIONS:
        for key in action.keys:
            assert f"<b>{key_words(key)}</b>" in html, key
            assert f"`{key_words(key)}`" in readme, key
    assert all(menu.value in html for menu in Menu)
    assert all(did in html for did, _ in HANDS)


@pytest.mark.parametrize(
    ("key", "words"),
    [("Ctrl+Left", "Ctrl+←"), ("Ctrl++", "Ctrl++"), ("+", "+"), ("Ctrl+-", "Ctrl+-"), ("Shift+K", "Shift+K")],
)
def test_keys_are_written_as_on_the_keyboard(key: str, words: str) -> None:
    """Arrows are arrows, and plus is not taken for what joins keys."""
    assert key_words(key) == words


def test_readme_lists_the_keys_as_they_are(repository: Path) -> None:
    """README is made from the same table, between two marks."""
    readme = repository / "README.md"
    text = readme.read_text("utf-8") if readme.is_file() else ""
    if README_START not in text:
        pytest.skip("README.md has no place for the keys yet")
    found = README_START + text.split(README_START, 1)[1].split(README_END, 1)[0] + README_END
    assert found == readme_keys(), "put the output of stitchview.ui.shortcuthelp.readme_keys() there"
