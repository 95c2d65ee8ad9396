"""The whole way from picture files to joined sheets, and the ways in which it refuses or stops."""

from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from stitchview.sheets.adding import read_onto, straight_of
from stitchview.sheets.charting import chart_of
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.reading import ReadingStopped, Watch, Wishes, read_sheets
from tests.paper.photographing import photographed
from tests.paper.printing import Paper, printed_sheets

PRINTED = printed_sheets(56, 40, 8, 5, Paper(across=2, overlap=6, families=("shapes", "letters")))


def saved(path: Path, colour: NDArray[np.uint8]) -> Path:
    """A picture on the disk."""
    _, packed = cv2.imencode(".jpg", colour[..., ::-1], [int(cv2.IMWRITE_JPEG_QUALITY), 95])
    path.write_bytes(packed.tobytes())
    return path


@pytest.fixture(scope="module")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Scans of the two sheets, the right one first."""
    folder = tmp_path_factory.mktemp("scans")
    scans = [photographed(page, "scan", 7 + at).picture.colour for at, page in enumerate(PRINTED.pages)]
    return [saved(folder / "right.jpg", scans[1]), saved(folder / "left.jpg", scans[0])]


def test_two_scans_become_one_chart(pictures: list[Path], tmp_path: Path) -> None:
    """Both sheets are found, joined in their order on paper, and a picture of every step is kept."""
    told: list[tuple[str, float]] = []
    watch = Watch(progress=lambda doing, share: told.append((doing, share)))
    reading = read_sheets(pictures, Wishes(debug=tmp_path, title="Two boats"), watch)
    assert [sheet.name for sheet in reading.sheets] == ["right", "left"]
    assert reading.joined.places == ((PRINTED.pages[1].first[0], 0), (0, 0))
    assert (reading.joined.columns, reading.joined.rows) == (56, 40)
    shares = [share for _, share in told]
    assert shares == sorted(shares)
    assert (shares[0], shares[-1]) == (0.0, 1.0)
    steps = {path.name for path in tmp_path.glob("*.jpg")}
    assert {"left-1-crossings.jpg", "left-2-straight.jpg", "left-3-piles.jpg", "right-5-lines.jpg"} <= steps
    chart = chart_of(reading)
    assert chart.title == "Two boats"
    blank = (chart.squares == 0) == (PRINTED.content.codes == 0)
    assert blank.mean() > 0.97


def test_the_other_sheet_is_added_later(pictures: list[Path]) -> None:
    """The left sheet, read a week after the right one, finds its place, and addresses stay."""
    first = chart_of(read_sheets(pictures[:1]))
    whole, _ = read_onto(first, pictures[1:])
    assert (whole.columns, whole.rows) == (56, 40)
    assert whole.origin == (-PRINTED.pages[1].first[0], 0)
    assert whole.identity == first.identity
    assert [sheet.name for sheet in whole.sheets] == ["right", "left"]
    kept = whole.squares[:, 56 - first.columns + 6 :]
    assert np.array_equal(kept, first.squares[:, 6:])


def test_a_sheet_is_followed_on_its_picture(pictures: list[Path]) -> None:
    """With symbols left alone the lattice and the picture are a chart."""
    chart = chart_of(read_sheets(pictures[:1], Wishes(symbols=False)))
    assert not chart.sheets[0].read
    assert {entry.name for entry in chart.key} == {"Not read yet"}
    straight = straight_of(chart, chart.sheets[0])
    assert (straight.columns, straight.rows) == (chart.columns, chart.rows)


def test_the_same_sheet_twice_is_refused(pictures: list[Path]) -> None:
    """Two pictures of one sheet are told of by name."""
    with pytest.raises(PaperError, match="the same sheet is there twice"):
        read_sheets([pictures[0], pictures[0]])


def test_reading_stops_when_asked(pictures: list[Path]) -> None:
    """A wish to stop is heard at once, and soon when it comes later."""
    with pytest.raises(ReadingStopped):
        read_sheets(pictures, watch=Watch(cancelled=lambda: True))
    heard: list[str] = []
    with pytest.raises(ReadingStopped):
        read_sheets(
            pictures,
            watch=Watch(lambda doing, _share: heard.append(doing), lambda: "Sorting" in "".join(heard)),
        )
    assert "Joining the sheets" not in heard


def test_bad_files_are_told_of_before_any_work(pictures: list[Path], tmp_path: Path) -> None:
    """A text among the pictures is named at once."""
    (tmp_path / "letter.jpg").write_text("Dear stitcher", "utf-8")
    with pytest.raises(PaperError, match=r"letter\.jpg"):
        read_sheets([pictures[0], tmp_path / "letter.jpg"])
    with pytest.raises(PaperError, match="no picture to read"):
        read_sheets([])
