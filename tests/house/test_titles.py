"""The words in the windows' own bars."""

import re
from pathlib import Path

DASHES = "–—"


def test_titles_are_plain_words(repository: Path) -> None:
    """No title has a dash in it, nor one that Qt puts there: it does so where a display name is set."""
    sources = {path: path.read_text("utf-8") for path in sorted((repository / "stitchview").rglob("*.py"))}
    set_in = [text for text in sources.values() if "setWindowTitle(" in text]
    assert len(set_in) > 10
    for path, text in sources.items():
        assert "setApplicationDisplayName" not in text, path
        titles = re.findall(r"setWindowTitle\((.*)\)|def titled.*\n.*\n.*return (.*)", text)
        assert not [each for each in titles if any(dash in "".join(each) for dash in DASHES)], path
