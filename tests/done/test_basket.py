"""The workbasket: what it knows survives, in order, through damage, other windows and moved charts."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stitchview.chart.fileformat import write_chart
from stitchview.chart.model import Chart
from stitchview.done.basket import BASKET, Basket, Piece, Waiting, matching
from stitchview.done.moved import find_moved, identity_of
from stitchview.done.takenthread import TakenThread
from stitchview.errors import StitchviewError

WHOLE = st.integers(0, 2**53 - 1)
TEXTS = st.text(st.characters(codec="utf-8"), max_size=12)
TAKEN = st.builds(
    TakenThread, TEXTS.filter(bool), *[TEXTS] * 5, st.sampled_from([0.0, 1.5, 12.0]), TEXTS, WHOLE
)
PIECES = st.lists(
    st.builds(
        Piece,
        TEXTS.filter(bool),
        st.sampled_from([Path("/a/b.svchart"), Path("/c d/é 港.svchart"), Path("x")]),
        TEXTS,
        *[WHOLE] * 6,
        st.booleans(),
        st.builds(Waiting, WHOLE, WHOLE, WHOLE),
        st.lists(TAKEN, max_size=2).map(tuple),
    ),
    max_size=6,
    unique_by=lambda piece: piece.name,
)


def piece(name: str, last_ms: int = 0, shelved: bool = False) -> Piece:
    return Piece(name, Path(f"/charts/{name}.svchart"), name.title(), last_ms=last_ms, shelved=shelved)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(PIECES)
def test_what_is_put_in_is_found_again(tmp_path: Path, pieces: list[Piece]) -> None:
    """Every piece with all that is known of it, by another basket on the same folder."""
    (tmp_path / BASKET).unlink(missing_ok=True)
    for each in pieces:
        Basket(tmp_path).put(each)
    assert {each.name: each for each in Basket(tmp_path).pieces()} == {each.name: each for each in pieces}


def test_the_last_one_worked_on_comes_first_and_shelved_ones_last(tmp_path: Path) -> None:
    """By the last sitting; never begun ones by name; laid apart ones after all others."""
    basket = Basket(tmp_path)
    for each in (piece("gull", 5), piece("boat", 9), piece("quay"), piece("anchor"), piece("lamp", 20)):
        basket.put(each)
    basket.shelve("lamp", True)
    assert [each.name for each in basket.pieces()] == ["boat", "gull", "anchor", "quay", "lamp"]
    basket.put(piece("lamp", 30))
    assert basket.pieces()[-1] == piece("lamp", 30, shelved=True)
    basket.shelve("lamp", False)
    assert basket.pieces()[0].name == "lamp"
    basket.take_out("lamp")
    basket.take_out("lamp")
    assert "lamp" not in [each.name for each in basket.pieces()]


def test_a_chart_that_is_given_an_identity_is_the_same_piece(tmp_path: Path) -> None:
    """Known by its place before, by its identity after; it is there once, and still laid apart."""
    basket, bare = Basket(tmp_path), Piece("", Path("/charts/boat.svchart"), "Boat")
    basket.put(bare)
    basket.shelve(bare.name, True)
    basket.put(replace(bare, identity="0b8f"))
    assert [(each.identity, each.shelved) for each in basket.pieces()] == [("0b8f", True)]


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{",
        b"[]",
        b"\xff\xfe",
        b'{"pieces": 3}',
        b'{"pieces": [1, {}, {"path": 3}, null]}',
        b"[" * 100_000,
    ],
)
def test_a_damaged_basket_is_put_aside_not_lost(tmp_path: Path, content: bytes) -> None:
    """The window opens with an empty basket, and what was there lies beside the new one."""
    (tmp_path / BASKET).write_bytes(content)
    basket = Basket(tmp_path)
    assert basket.pieces() == ()
    basket.put(piece("boat"))
    assert [each.name for each in basket.pieces()] == ["boat"]
    assert [each.read_bytes() for each in tmp_path.glob("*unreadable*")] == [content]


def test_a_piece_that_makes_half_sense_keeps_that_half(tmp_path: Path) -> None:
    """Wrong types count as nothing known; the piece stays."""
    text = (
        '{"pieces": [{"path": "/a.svchart", "title": 3, "done": -1, "rows": true, "waiting": {"parked": 2}}]}'
    )
    (tmp_path / BASKET).write_text(text, "utf-8")
    assert Basket(tmp_path).pieces() == (Piece("", Path("/a.svchart"), "", waiting=Waiting(2)),)


def test_a_basket_that_cannot_be_written_says_so(tmp_path: Path) -> None:
    """Where its file should be lies a folder: one sentence."""
    (tmp_path / BASKET).mkdir()
    with pytest.raises(StitchviewError, match="is a folder"):
        Basket(tmp_path).put(piece("boat"))


def test_pieces_are_found_by_name() -> None:
    """All words must be in title or file name, in any case and order."""
    pieces = (piece("boats at dusk"), piece("gull"), Piece("x", Path("/c/Dusk.svchart"), "Old boat"))
    assert [each.name for each in matching(pieces, "DUSK boat")] == ["boats at dusk", "x"]
    assert matching(pieces, "  ") == pieces
    assert matching(pieces, "train") == ()


@pytest.mark.parametrize(
    "place", ["renamed.svchart", "below/boat.svchart", "../other/boat.svchart", "a folder"]
)
def test_a_moved_chart_is_found_by_its_identity(
    tmp_path: Path, small_chart: Callable[[], Chart], place: str
) -> None:
    """Renamed, moved one folder down, to another known folder, or unpacked: it is the same piece."""
    mine = "0b8f4a52-6d0e-4c1b-9a37-5f2c8d1e6b90"
    home, other = tmp_path / "charts", tmp_path / "other"
    for folder in (home / "below", other, home / ".hidden"):
        folder.mkdir(parents=True)
    write_chart(
        replace(small_chart(), identity="11111111-6d0e-4c1b-9a37-5f2c8d1e6b90"), home / "gull.svchart"
    )
    (home / "broken.svchart").write_bytes(b"no chart")
    write_chart(replace(small_chart(), identity=mine), home / place)
    old = home / "boat.svchart"
    found = find_moved(mine, old, [other, tmp_path / "gone"])
    assert found is not None
    assert found.resolve() == (home / place).resolve()
    assert identity_of(found) == mine
    assert find_moved("22222222-6d0e-4c1b-9a37-5f2c8d1e6b90", old, [other]) is None
    assert find_moved("", old, [other]) is None
