"""Layers that went apart are joined stroke by stroke: nothing is lost, and the order makes no difference."""

import contextlib
import itertools
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.addresses import Addresses
from stitchview.done.change import DONE, OPEN
from stitchview.done.conflicts import conflict_copies, copies_of, join_copies, offer_for
from stitchview.done.ids import TAIL_BITS, compose
from stitchview.done.joining import Piece, insert_joining, join_seen, joined_rows, seen_of
from stitchview.done.looking import look_into
from stitchview.done.news import news_for
from stitchview.done.placing import create_layer
from stitchview.done.schema import connect, fact_checksum, read_rows, transaction
from stitchview.done.strokes import KINDS, MAKING, Stroke, StrokeRow, row_of
from stitchview.errors import LayerError

if TYPE_CHECKING:
    from tests.done.conftest import Evening

# Few times and few tails, so that ids often meet; contents of one id then often differ.
IDS = st.builds(compose, st.integers(1, 3), st.sampled_from([0, 1, (1 << TAIL_BITS) - 1]))


@st.composite
def stroke_rows(draw: st.DrawFn) -> StrokeRow:
    kind = draw(st.sampled_from(KINDS))
    target = None if kind in MAKING else draw(IDS)
    device = draw(st.sampled_from(["sofa", "stool"]))
    stroke = Stroke(draw(IDS), draw(st.none() | IDS), draw(st.integers(0, 9)), device, kind, target)
    return row_of(stroke, Addresses(Chart(np.ones((1, 1), np.uint16), ())))


LAYERS = st.lists(stroke_rows(), max_size=8)


@given(LAYERS, LAYERS, LAYERS)
def test_the_order_of_joining_makes_no_difference(
    one: list[StrokeRow], two: list[StrokeRow], three: list[StrokeRow]
) -> None:
    """Commutative, associative, idempotent; every id is there once, and in order."""
    joined = joined_rows(one, two, three)
    assert all(joined_rows(*order) == joined for order in itertools.permutations((one, two, three)))
    assert joined_rows(joined_rows(one, two), three) == joined_rows(one, joined_rows(two, three)) == joined
    assert joined_rows(joined, joined) == joined_rows(joined, two) == joined
    assert [row.id for row in joined] == sorted({row.id for row in (*one, *two, *three)})
    assert set(joined) <= {*one, *two, *three}


@given(LAYERS, LAYERS)
@settings(max_examples=60)
def test_files_are_joined_as_lists_are(one: list[StrokeRow], two: list[StrokeRow]) -> None:
    """What the file holds after joining is what the plain union says, and how many were new."""
    first, both = joined_rows(one), joined_rows(one, two)
    with tempfile.TemporaryDirectory(prefix="stitchview-test-") as folder:
        path = Path(folder) / "harbour.svdone"
        create_layer(path, {}, first)
        with contextlib.closing(connect(path)) as connection:
            for new in (len(set(both) - set(first)), 0):
                with transaction(connection):
                    assert insert_joining(connection, two) == new
                assert tuple(read_rows(connection)) == both


@pytest.fixture
def apart(evening: "Evening", small_chart: Callable[[], Chart]) -> tuple[Piece, Path]:
    """A harbour marked on the laptop, and a copy of its layer that was marked further on the tablet."""
    chart = small_chart()
    laptop = evening.open(chart)
    evening.mark(laptop, Area(0, 0, 4, 3))
    tablet_folder = evening.folder.parent / "tablet"
    tablet_folder.mkdir()
    layer = tablet_folder / "harbour.svdone"
    layer.write_bytes(evening.layer_path.read_bytes())
    tablet = evening.open(chart, tablet_folder / "harbour.svchart")
    evening.mark(tablet, Area(2, 1, 6, 4))
    evening.mark(laptop, Area(1, 1, 2, 2), OPEN)
    evening.mark(tablet, Area(5, 5, 3, 3))
    for each in (laptop, tablet):
        evening.close(each)
    return Piece(evening.chart_path, chart, evening.elsewhere), layer


def test_nothing_of_either_is_lost_and_the_last_word_wins(
    evening: "Evening", apart: tuple[Piece, Path]
) -> None:
    """A plain replay in the order of time, square by square, gives what is shown after joining."""
    piece, theirs = apart
    strokes = look_into(evening.layer_path).ids | look_into(theirs).ids
    before = theirs.read_bytes()
    joined = join_seen(piece, seen_of(piece, [theirs]))
    assert (joined.new, joined.notices) == (2, ())
    assert look_into(evening.layer_path).ids == strokes
    assert theirs.read_bytes() == before
    words = [(Area(0, 0, 4, 3), DONE), (Area(2, 1, 6, 4), DONE), (Area(1, 1, 2, 2), OPEN)]
    expected = np.zeros(piece.chart.squares.shape, np.uint8)
    for area, state in [*words, (Area(5, 5, 3, 3), DONE)]:
        across = slice(area.column, area.column + area.columns)
        expected[area.row : area.row + area.rows, across] = state
    opened = evening.open(piece.chart)
    # On the tablet the squares of the third word that were done before stayed done: it did not alter them.
    altered = expected[piece.chart.squares > 0]
    assert np.array_equal(opened.marks.squares[piece.chart.squares > 0], altered)


def test_joining_twice_changes_nothing(evening: "Evening", apart: tuple[Piece, Path]) -> None:
    """The second time no stroke is new, and the file has not a byte that differs."""
    piece, theirs = apart
    join_seen(piece, seen_of(piece, [theirs, theirs]))
    content = evening.layer_path.read_bytes()
    again = join_seen(piece, seen_of(piece, [theirs, evening.layer_path]))
    assert again.new == 0
    assert evening.layer_path.read_bytes()[100:] == content[100:]


def test_a_layer_of_another_chart_is_refused(
    evening: "Evening", apart: tuple[Piece, Path], random_chart: Callable[..., Chart]
) -> None:
    """One sentence, and nothing of the good layer beside it is joined either."""
    piece, theirs = apart
    evening.mark(evening.open(random_chart(9, 9, 2, 1), evening.folder / "boat.svchart"), Area(0, 0, 3, 3))
    content = evening.layer_path.read_bytes()
    with pytest.raises(LayerError, match=r"^“boat.svdone” holds the marks of another chart. Choose .*\.$"):
        join_seen(piece, seen_of(piece, [theirs, evening.folder / "boat.svdone"]))
    assert evening.layer_path.read_bytes() == content


def test_a_layer_without_an_identity_belongs_by_name(evening: "Evening", apart: tuple[Piece, Path]) -> None:
    """A chart typed by hand has no identity; a file of another name is refused then."""
    piece, _ = apart
    plain = replace(piece.chart, identity="")
    folder = evening.folder.parent / "typed"
    folder.mkdir()
    for name in ("harbour", "boat"):
        evening.mark(evening.open(plain, folder / f"{name}.svchart"), Area(0, 0, 9, 9))
    assert join_seen(piece, seen_of(piece, [folder / "harbour.svdone"])).new == 1
    with pytest.raises(LayerError, match=r"cannot be told whether “boat\.svdone” holds marks"):
        join_seen(piece, seen_of(piece, [folder / "boat.svdone"]))


def test_of_a_damaged_layer_what_can_be_read_is_joined(evening: "Evening", apart: tuple[Piece, Path]) -> None:
    """The header is gone: the strokes are found in the pages; the damaged file stays as it is."""
    piece, theirs = apart
    content = b"not the header" + theirs.read_bytes()[14:]
    theirs.write_bytes(content)
    joined = join_seen(piece, seen_of(piece, [theirs]))
    assert joined.new == 2
    assert joined.taken[0].damaged
    assert joined.notices == (
        "“harbour.svdone” is damaged; 3 strokes could be read from it. It is left as it is.",
    )
    assert theirs.read_bytes() == content


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "is an empty file"),
        (b"a shopping list", "is no done layer, or so damaged"),
        (None, "cannot be read (no such file or directory)"),
    ],
)
def test_what_gives_nothing_is_refused(
    apart: tuple[Piece, Path], tmp_path: Path, content: bytes | None, sentence: str
) -> None:
    """Each in one sentence that says what to do."""
    path = tmp_path / "harbour other.svdone"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(LayerError) as refused:
        join_seen(apart[0], seen_of(apart[0], [path]))
    assert sentence in refused.value.what
    assert refused.value.remedy


@pytest.mark.parametrize("mine", [False, True], ids=["the other", "her own"])
def test_a_newer_format_is_left_alone(evening: "Evening", apart: tuple[Piece, Path], mine: bool) -> None:
    """Whichever of the two is newer, neither file is touched."""
    piece, theirs = apart
    newer = evening.layer_path if mine else theirs
    with contextlib.closing(connect(newer)) as connection:
        connection.execute("PRAGMA user_version=9")
        checksum = "(SELECT ?)"
        connection.execute(
            f"UPDATE facts SET value = '9', checksum = {checksum} WHERE name = 'format'",
            (fact_checksum("format", "9"),),
        )
    contents = [path.read_bytes() for path in (evening.layer_path, theirs)]
    with pytest.raises(LayerError, match="newer stitchview"):
        join_seen(piece, seen_of(piece, [theirs]))
    assert [path.read_bytes() for path in (evening.layer_path, theirs)] == contents


def test_a_copy_torn_off_in_midst_of_writing_is_read_without_touching_it(
    evening: "Evening", apart: tuple[Piece, Path]
) -> None:
    """A file whose journal must be played back first is mended in a copy, never where it lies."""
    piece, theirs = apart
    torn = evening.folder.parent / "harbour torn.svdone"
    with contextlib.closing(connect(theirs)) as connection:
        connection.execute("PRAGMA cache_size=1")
        connection.execute("PRAGMA cache_spill=ON")
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("UPDATE facts SET value = 'half written' || hex(zeroblob(90000))")
        contents = [theirs.read_bytes(), theirs.with_name("harbour.svdone-journal").read_bytes()]
        connection.execute("ROLLBACK")
    torn.write_bytes(contents[0])
    journal = torn.with_name(torn.name + "-journal")
    journal.write_bytes(contents[1])
    assert join_seen(piece, seen_of(piece, [torn])).new == 2
    assert [torn.read_bytes(), journal.read_bytes()] == contents


def test_conflict_copies_are_found_under_any_name(
    evening: "Evening", apart: tuple[Piece, Path], random_chart: Callable[..., Chart]
) -> None:
    """By what they hold: no name that a service may choose is looked for, and other charts are left out."""
    piece, theirs = apart
    evening.mark(evening.open(random_chart(9, 9, 2, 1), evening.folder / "boat.svchart"), Area(0, 0, 3, 3))
    names = ("harbour (tablet's).svdone", "harbour 2.svdone", "zzz", "harbour.svdone.of-tuesday")
    for name in names:
        (evening.folder / name).write_bytes(theirs.read_bytes())
    (evening.folder / "the same again.svdone").write_bytes(evening.layer_path.read_bytes())
    (evening.folder / ".harbour.svdone.part").write_bytes(theirs.read_bytes())
    (evening.folder / "list.svdone").write_bytes(b"eggs")
    found = conflict_copies(evening.chart_path, piece.chart.identity)
    assert sorted(copy.path.name for copy in found) == sorted(names)
    assert {copy.new for copy in found} == {2}
    offer = offer_for(piece)
    assert offer is not None
    assert "and 3 other files beside the chart hold marks of it that are not shown" in offer.sentence
    opened = evening.open(piece.chart)
    assert join_copies(piece, offer.copies).new == 2
    change = news_for(opened)
    assert change is not None
    assert change.count > 0
    assert copies_of(piece) == ()
    assert offer_for(piece) is None


def test_a_chart_without_an_identity_finds_its_copies_by_name(
    evening: "Evening", apart: tuple[Piece, Path]
) -> None:
    """The copy says the name of the chart it was made for; a copy of a chart with an identity is not hers."""
    chart = replace(apart[0].chart, identity="")
    path = evening.folder / "typed.svchart"
    opened = evening.open(chart, path)
    evening.mark(opened, Area(0, 0, 9, 9))
    (evening.folder / "copy").write_bytes((evening.folder / "typed.svdone").read_bytes())
    evening.close(opened)
    (evening.folder / "typed.svdone").unlink()
    assert [copy.path.name for copy in conflict_copies(path, "")] == ["copy"]
