"""An answer teaches the squares that look like it, and leaves alone all that do not."""

from collections.abc import Iterator
from dataclasses import replace

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, KeyEntry, Sheet, Symbol
from stitchview.chart.review import NO_SECOND, Doubts, Why
from stitchview.sheets.correcting import answered, decided, places_of
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.rereading import squares_by_hand
from stitchview.sheets.splitting import split_off
from stitchview.sheets.squarelooks import LookingStopped, Looks, looks_of
from stitchview.sheets.teaching import companions, most_useful, taught
from tests.paper.photographing import photographed
from tests.paper.printing import printed_sheets

COLUMNS, ROWS, SIGNS = 40, 36, 9
PITCH = 24


@pytest.fixture(scope="module")
def truth() -> tuple[NDArray[np.uint8], NDArray[np.int32]]:
    """A sheet pulled straight by its true nodes, and what is printed in its squares."""
    page = printed_sheets(COLUMNS, ROWS, SIGNS, 21).pages[0]
    taken = photographed(page, "careful", 21)
    corners = np.array([taken.nodes[0, 0], taken.nodes[0, -1], taken.nodes[-1, -1], taken.nodes[-1, 0]])
    size = COLUMNS * PITCH, ROWS * PITCH
    flat = np.array([(0, 0), (size[0], 0), size, (0, size[1])], np.float32)
    turn = cv2.getPerspectiveTransform(corners.astype(np.float32), flat)
    picture = cv2.warpPerspective(taken.picture.colour, turn, size, flags=cv2.INTER_AREA)
    return np.asarray(picture, np.uint8), page.content.codes


@pytest.fixture(scope="module")
def chart(truth: tuple[NDArray[np.uint8], NDArray[np.int32]]) -> Chart:
    """The sheet read rightly but for a third of one sign: that lies in the pile of another, in doubt."""
    picture, codes = truth
    packed, content = cv2.imencode(".png", picture[..., ::-1])
    assert packed
    key = tuple(
        KeyEntry(chr(96 + number), Symbol(picture=f"pictures/symbols/{number}.png"), f"Symbol {number}")
        for number in range(1, int(codes.max()) + 1)
    )
    squares = codes.astype(np.uint16)
    wrong, taken_for = _signs(codes)
    mistaken = np.argwhere(codes == wrong)[::3]
    squares[mistaken[:, 0], mistaken[:, 1]] = taken_for
    sound = np.argwhere(codes == taken_for)[::4]
    places = np.concatenate([mistaken, sound]).astype(np.int32)
    rows, columns = places.T.copy()
    doubts = Doubts(
        columns,
        rows,
        np.full(len(places), 0.3, np.float32),
        np.full(len(places), wrong, np.uint16),
        np.full(len(places), Why.SYMBOL, np.uint8),
    )
    pictures = {entry.symbol.picture: b"png" for entry in key} | {"pictures/sheets/1.png": content.tobytes()}
    sheet = Sheet("Sheet", Area(0, 0, COLUMNS, ROWS), "pictures/sheets/1.png")
    return Chart(squares, key, sheets=(sheet,), doubts=doubts, attachments=pictures)


@pytest.fixture(scope="module")
def looks(chart: Chart) -> Looks:
    """How its squares look."""
    found = looks_of(chart, never)
    assert found is not None
    return found


def never() -> bool:
    """Never stop."""
    return False


def _signs(codes: NDArray[np.int32]) -> tuple[int, int]:
    """The sign with the fourth most squares, and the one with the third most."""
    counts = np.bincount(codes.ravel())
    counts[0] = 0
    order = np.argsort(-counts)
    return int(order[3]), int(order[2])


def lesson(chart: Chart, looks: Looks, doubt: int, number: int) -> Chart:
    """An answer with what it teaches."""
    place = places_of(chart)[[doubt]]
    after = answered(chart, [doubt], number)
    return taught(after, looks, place, squares_by_hand(after.by_hand, (after.rows, after.columns)).ravel())


def told(chart: Chart, truth: tuple[NDArray[np.uint8], NDArray[np.int32]]) -> Iterator[Chart]:
    """Answer by the truth until nothing is in doubt."""
    looks = looks_of(chart, never)
    assert looks is not None
    last = None
    while (doubt := most_useful(chart, looks, last)) is not None:
        last = int(chart.doubts.columns[doubt]), int(chart.doubts.rows[doubt])
        chart = lesson(chart, looks, doubt, int(truth[1][last[1], last[0]]))
        yield chart


def test_like_squares_follow_an_answer(
    chart: Chart, truth: tuple[NDArray[np.uint8], NDArray[np.int32]]
) -> None:
    """With fewer answers than doubts nothing is in doubt any more, and every square is as it is printed."""
    answers = list(told(chart, truth))
    assert len(answers) < 0.7 * len(chart.doubts)
    assert not len(answers[-1].doubts)
    wrong_before = (chart.squares != truth[1]).sum()
    assert (answers[-1].squares != truth[1]).sum() <= 0.02 * wrong_before


def test_squares_that_look_different_are_left_alone(chart: Chart, looks: Looks) -> None:
    """No square of any other pile alters, and a doubt is only settled where it looks like the answer."""
    doubt = 0
    after = lesson(chart, looks, doubt, int(chart.doubts.seconds[doubt]))
    altered = np.flatnonzero((after.squares != chart.squares).ravel())
    place = int(places_of(chart)[doubt])
    assert (looks.nearness(altered[altered != place], place) > 0.25).all()
    assert set(chart.squares.ravel()[altered].tolist()) <= {int(chart.squares.ravel()[place])}


def test_what_a_person_said_is_never_sorted_anew(chart: Chart, looks: Looks) -> None:
    """Even where an answer to a square that looks the same says something else."""
    place = int(places_of(chart)[0])
    near = looks.nearness(slice(None), place)
    near[place] = 0
    twin = int(near.argmax())
    assert near[twin] > 0.5
    said = decided(chart, np.array([twin]), 2)
    after = lesson(said, looks, int(np.flatnonzero(places_of(said) == place)[0]), 3)
    assert after.squares.ravel()[twin] == 2
    assert twin not in places_of(after).tolist()


def test_an_answer_against_a_sure_pile_makes_doubts_of_its_like(chart: Chart, looks: Looks) -> None:
    """Squares nobody doubted, that look like one said to be something else, are asked about."""
    settled = replace(chart, doubts=Doubts())
    place = int(places_of(chart)[-1])
    other = 1 + int(chart.squares.ravel()[place]) % len(chart.key)
    after = decided(settled, np.array([place]), other)
    hand = squares_by_hand(after.by_hand, (after.rows, after.columns)).ravel()
    after = taught(after, looks, np.array([place]), hand)
    fresh = places_of(after)
    assert len(fresh)
    assert (after.doubts.seconds == other).all()
    assert (looks.nearness(fresh, place) > 0.5).all()
    assert (after.squares.ravel()[fresh] == settled.squares.ravel()[fresh]).all()


def test_odd_ones_taken_out_bring_their_like_along(
    chart: Chart, looks: Looks, truth: tuple[NDArray[np.uint8], NDArray[np.int32]]
) -> None:
    """A few squares picked found a pile of their own; like ones of the old pile follow or are asked about."""
    wrong, taken_for = _signs(truth[1])
    mixed = replace(chart, doubts=Doubts())
    odd = np.flatnonzero((chart.squares == taken_for).ravel() & (truth[1] == wrong).ravel())
    picked = odd[:4]
    cut = np.full((4, 24, 24), 200, np.uint8)
    after = split_off(mixed, picked, cut)
    assert len(after.key) == len(chart.key) + 1
    assert after.key[-1].code not in {entry.code for entry in chart.key}
    assert after.attachments[after.key[-1].symbol.picture].startswith(b"\x89PNG")
    hand = squares_by_hand(after.by_hand, (after.rows, after.columns)).ravel()
    after = taught(after, looks, picked, hand)
    new = len(after.key)
    follow = np.flatnonzero((after.squares == new).ravel())
    assert len(follow) > len(picked)
    assert (truth[1].ravel()[follow] == wrong).all()


def test_a_full_key_takes_no_more_piles(chart: Chart) -> None:
    """It says so instead of making a chart that cannot be written."""
    full = replace(chart, key=tuple(chart.key[0] for _ in range(2000)))
    with pytest.raises(PaperError, match="full"):
        split_off(full, np.array([1]), np.zeros((1, 24, 24), np.uint8))


def test_the_most_useful_doubt_has_most_like_it(chart: Chart, looks: Looks) -> None:
    """Without looks the likeliest to be wrong is asked; put-off ones come last; companions share the pile."""
    chances = np.array(chart.doubts.chances)
    chances[5] = 0.9
    chart = replace(chart, doubts=replace(chart.doubts, chances=chances))
    assert most_useful(chart, None) == 5
    later = np.arange(len(chart.doubts)) == 5
    assert most_useful(chart, None, later=later) != 5
    assert most_useful(chart, looks) is not None
    together = companions(chart, looks, 5, 6)
    assert together[0] == 5
    assert 1 < len(together) <= 6
    own = chart.squares.ravel()[places_of(chart, together)]
    assert len(set(own.tolist())) == 1
    assert most_useful(replace(chart, doubts=Doubts()), looks) is None


def test_looking_can_be_stopped_and_needs_a_picture(chart: Chart) -> None:
    """Asked to stop it stops; where no sheet has its picture there is nothing to look at."""
    with pytest.raises(LookingStopped):
        looks_of(chart, lambda: True)
    assert looks_of(replace(chart, attachments={}), never) is None


def test_a_doubt_without_a_second_learns_one(chart: Chart, looks: Looks) -> None:
    """Where nothing else was thought of, a like square's answer is the second now, or even the first."""
    seconds = np.full(len(chart.doubts), NO_SECOND, np.uint16)
    chart = replace(chart, doubts=replace(chart.doubts, seconds=seconds))
    after = lesson(chart, looks, 0, 7)
    kept = places_of(after)
    before = {place: at for at, place in enumerate(places_of(chart).tolist())}
    near = looks.nearness(kept, int(places_of(chart)[0]))
    for at, place in enumerate(kept.tolist()):
        if place in before and near[at] > 0.35:
            assert 7 in (int(after.doubts.seconds[at]), int(after.squares.ravel()[place]))
