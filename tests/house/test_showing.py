"""Every place that writes or copies a picture: what is for others shows the piece, not the readable chart."""

import ast
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from stitchview.__main__ import main
from stitchview.canvas.basketpicture import card_picture, save_card_picture
from stitchview.canvas.newpictures import Between, Shown
from stitchview.canvas.picture import png_of
from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart, Symbol
from stitchview.chart.ownuse import OWN_USE, READABLE, TOUR_READABLE
from stitchview.done.change import DONE, LATER, Selection
from stitchview.done.diary import BEFORE_ALL, Diary
from stitchview.done.layerfile import open_layer
from stitchview.done.ledger import Ledger
from stitchview.done.marks import Marks, change_to
from stitchview.ui.diary.diarybook import DiaryBook
from stitchview.ui.diary.diaryreader import DiaryReader, save_growing, save_picture

IDENTITY = "0b8f4a52-6d0e-4c1b-9a37-5f2c8d1e6b90"
WRITERS = frozenset(
    {"save", "save_png", "png_of", "save_all", "write_growing", "write_frames", "save_card_picture"}
    | {"QPdfWriter", "QPrinter", "QSvgGenerator", "grab", "render", "toImage"}
    | {"clipboard", "setImage", "setMimeData", "QMimeData"}
)
"""Calls by which a picture can leave the program."""

PIECE = "shows the piece"
OWN = "readable, asked for by that name, and says so"
KEY = "her thread card: the key, no squares"
COPY = "the chart itself, by the command that copies charts"
WINDOW = "the program's window itself, for whoever works on the program"
NO_CHART = "no picture of a chart"

PLACES: Mapping[tuple[str, str], str] = {
    ("canvas/basketpicture.py", "save_png"): PIECE,
    ("canvas/growing.py", "save"): PIECE,
    ("canvas/growing.py", "png_of"): PIECE,
    ("command/showing.py", "save_png"): PIECE,
    ("ui/basketcard.py", "save_card_picture"): PIECE,
    ("ui/diary/diaryreader.py", "save_png"): PIECE,
    ("command/picturing.py", "save_png"): PIECE,
    ("canvas/cardsheet.py", "QPdfWriter"): KEY,
    ("canvas/finishsheet.py", "QPdfWriter"): PIECE,
    ("canvas/printsheets.py", "QPdfWriter"): OWN,
    ("ui/printing/toprinter.py", "QPrinter"): OWN,
    ("ui/papersheet.py", "save"): WINDOW,
    ("ui/papertour.py", "QMimeData"): WINDOW,
    ("ui/tour.py", "save"): WINDOW,
    ("ui/tour.py", "grab"): WINDOW,
    ("ui/rehearsal.py", "grab"): WINDOW,
    ("ui/curtain.py", "grab"): WINDOW,
    ("ui/rehearsal.py", "toImage"): WINDOW,
    ("canvas/picture.py", "save"): NO_CHART,
    ("canvas/picture.py", "png_of"): NO_CHART,
    ("chart/pixelpng.py", "save"): COPY,
    ("ui/icons.py", "render"): NO_CHART,
    ("ui/deeds.py", "clipboard"): NO_CHART,
    ("ui/diary/newpage.py", "clipboard"): NO_CHART,
    ("ui/planning/stashpage.py", "clipboard"): NO_CHART,
    ("ui/planning/threadpage.py", "clipboard"): NO_CHART,
}
"""Where such calls stand, and what they write; `canvas/picture.py` writes what it is given."""


def test_the_table_names_every_place(repository: Path) -> None:
    """Whoever adds a place that writes or copies a picture has to say here what it shows."""
    package = repository / "stitchview"
    found: set[tuple[str, str]] = set()
    for path in package.rglob("*.py"):
        place = path.relative_to(package).as_posix()
        if place.startswith("sheets/"):
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            called = _called(node)
            if called is not None and called in WRITERS:
                found.add((place, called))
    assert found == set(PLACES)


def _called(node: ast.AST) -> str | None:
    """The name of what is called; a painter's `save`, which has no arguments, writes nothing."""
    if not isinstance(node, ast.Call):
        return None
    name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", None)
    return None if name == "save" and not node.args else name


@pytest.mark.parametrize("place", ["ui", "canvas"])
def test_what_is_copied_is_text(repository: Path, place: str) -> None:
    """Nothing puts a picture on the clipboard: every copy is of words."""
    for path in (repository / "stitchview" / place).rglob("*.py"):
        for line in path.read_text("utf-8").splitlines():
            if "clipboard()" in line:
                assert ".clipboard().setText(" in line, path


def other_symbols(chart: Chart) -> Chart:
    """The same piece on a chart that reads otherwise: other symbols, codes told by other names."""
    key = tuple(
        replace(entry, symbol=Symbol(chr(ord("Z") - number)), name=f"Other {number}")
        for number, entry in enumerate(chart.key)
    )
    return replace(chart, key=key)


def begun(chart: Chart, folder: Path) -> Path:
    """A chart on the disk of which the upper half is done, a little later."""
    path = folder / "piece.svchart"
    chart = replace(chart, identity=IDENTITY)
    write_chart(chart, path)
    opened = open_layer(path, chart, folder / "own")
    squares = chart.squares.reshape(-1).nonzero()[0]
    half = Selection.of(squares[: len(squares) // 2], *(None,) * 3)
    for chosen, state in ((half, DONE), (Selection.of(squares[-3:]), LATER)):
        change = change_to(opened.marks, chosen, state)
        assert change is not None
        opened.marks.apply(change)
        opened.layer.put(opened.history.record(change))
    opened.layer.commit()
    opened.layer.close()
    return path


def by_command(*asked: str) -> Callable[[Path, Chart], bytes]:
    """What a command writes of a piece."""

    def write(folder: Path, chart: Chart) -> bytes:
        path = begun(chart, folder)
        target = folder / asked[-1]
        assert main([asked[0], str(path), *asked[1:-1], str(target)]) == 0
        return target.read_bytes()

    return write


def of_the_basket(folder: Path, chart: Chart) -> bytes:
    marks = Marks(chart)
    change = change_to(marks, Selection.of(chart.squares.reshape(-1).nonzero()[0][::2]), DONE)
    assert change is not None
    marks.apply(change)
    save_card_picture(card_picture(chart, marks.families), folder / "card.png")
    return (folder / "card.png").read_bytes()


def diary_of(folder: Path, chart: Chart) -> DiaryBook:
    path = begun(chart, folder)
    opened = open_layer(path, read_chart(path), folder / "own", look_only=True)
    diary, ledger = Diary(opened.marks.chart, opened.layer.rows(), opened.marks.notes), Ledger(chart)
    opened.layer.close()
    ledger.take(diary.rows)
    return DiaryBook(diary, opened.tally.total(), ledger.by_sitting(diary.sittings))


def of_the_diary(shown: Shown) -> Callable[[Path, Chart], bytes]:
    def write(folder: Path, chart: Chart) -> bytes:
        since = diary_of(folder, chart).since(BEFORE_ALL)
        between = Between(chart, since.before, since.after)
        return save_picture(between, shown, 600, folder / "new.png").read_bytes()

    return write


def on_the_diarys_page(folder: Path, chart: Chart) -> bytes:
    book = diary_of(folder, chart)
    return png_of(DiaryReader.shot(DiaryReader.__new__(DiaryReader), book, BEFORE_ALL).image)


def growing(folder: Path, chart: Chart) -> bytes:
    return save_growing(diary_of(folder, chart), folder / "growing.webp").read_bytes()


def frames(folder: Path, chart: Chart) -> bytes:
    into = save_growing(diary_of(folder, chart), folder / "frames", frames_apart=True)
    return b"".join(each.read_bytes() for each in sorted(into.iterdir()))


SHOWN: Mapping[str, Callable[[Path, Chart], bytes]] = {
    "picture": by_command("picture", "piece.png"),
    "picture, large squares": by_command("picture", "--pitch", "24", "piece.png"),
    "picture, a region": by_command("picture", "--region", "2,2,5,4", "piece.png"),
    "picture, finished": by_command("picture", "--finished", "piece.png"),
    "since": by_command("since", "all", "--pitch", "20", "--picture", "piece.png"),
    "since, beside": by_command("since", "all", "--show", "beside", "--picture", "piece.png"),
    "since, growing": by_command("since", "all", "--growing", "piece.gif"),
    "workbasket": of_the_basket,
    "diary, new": of_the_diary(Shown.NEW),
    "diary, before": of_the_diary(Shown.BEFORE),
    "diary, now": of_the_diary(Shown.NOW),
    "diary, beside": of_the_diary(Shown.BESIDE),
    "diary's page": on_the_diarys_page,
    "growing": growing,
    "frames": frames,
}
"""Every picture that is meant for others, or that she may show, by what makes it."""


@pytest.mark.parametrize("name", SHOWN)
def test_no_symbol_and_no_name_leaves_a_trace(
    qapp: QApplication, small_chart: Callable[[], Chart], tmp_path: Path, name: str
) -> None:
    """With other symbols and names in the key the picture is the same to the byte."""
    pictures = []
    for number, chart in enumerate((small_chart(), other_symbols(small_chart()))):
        folder = tmp_path / str(number)
        folder.mkdir()
        pictures.append(SHOWN[name](folder, chart))
    assert pictures[0] == pictures[1]
    assert len(pictures[0]) > 50


def test_the_readable_chart_is_drawn_only_when_asked_for(
    qapp: QApplication,
    small_chart: Callable[[], Chart],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """That picture differs with the symbols, and the plain sentence comes with it."""
    pictures = []
    for number, chart in enumerate((small_chart(), other_symbols(small_chart()))):
        folder = tmp_path / str(number)
        folder.mkdir()
        pictures.append(
            by_command("picture", "--readable-chart", "--pitch", "20", "chart.png")(folder, chart)
        )
        assert READABLE in capsys.readouterr().out
    assert pictures[0] != pictures[1]


def test_what_is_for_her_own_use_says_so(
    qapp: QApplication, small_chart: Callable[[], Chart], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Printing sheets says the sentence, as the dialog of printing does; so does a tour of the window."""
    path = begun(small_chart(), tmp_path)
    assert main(["print-sheets", str(path), str(tmp_path / "sheets.pdf")]) == 0
    assert OWN_USE in capsys.readouterr().out
    assert "maker’s work" in OWN_USE
    assert "maker’s work" in TOUR_READABLE
