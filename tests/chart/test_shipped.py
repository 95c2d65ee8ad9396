"""Files that come with the program are found in a checkout and in an installed package."""

from pathlib import Path

import pytest

from stitchview.chart import shipped as subject
from stitchview.chart.shipped import shipped
from stitchview.errors import StitchviewError


def test_the_papers_of_the_format_are_found() -> None:
    """The specification and the schema are where the program looks for them."""
    assert shipped("resources/chart-format.md").is_file()
    assert shipped("resources/chart.schema.json").is_file()


def test_an_installed_package_carries_them_inside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What lies inside the package goes before what happens to lie beside it."""
    package = tmp_path / "stitchview"
    for folder in (package / "samples", tmp_path / "samples"):
        folder.mkdir(parents=True)
        (folder / "dusk.svchart").write_bytes(b"")
    monkeypatch.setattr(subject, "_PACKAGE", package)
    assert shipped("samples/dusk.svchart") == package / "samples" / "dusk.svchart"
    (package / "samples" / "dusk.svchart").unlink()
    assert shipped("samples/dusk.svchart") == tmp_path / "samples" / "dusk.svchart"


def test_a_missing_file_is_said_in_a_sentence() -> None:
    """A broken installation says what to do."""
    with pytest.raises(StitchviewError, match="Install it again"):
        shipped("samples/nowhere.svchart")
