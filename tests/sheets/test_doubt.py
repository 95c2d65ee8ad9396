"""Doubts are chances: what is shown, how much, and what a person's word does to a doubted pile."""

import numpy as np
import pytest
from sklearn.linear_model import LogisticRegression  # type: ignore[import-untyped]

from stitchview.sheets.doubt import Weighed, most_to_show, worth_showing
from tests.sheets.doubtfitting import RIDGE, fitted


def test_the_most_doubtful_are_shown_and_no_more_than_may_be() -> None:
    """The squares shown are the most doubtful ones, never more than the limit, never hardly doubtful ones."""
    doubt = np.float32(0.19) * np.random.default_rng(1).uniform(0, 1, 10_000).astype(np.float32) ** 4
    shown = worth_showing(doubt, most=0.03)
    assert shown.sum() == 300
    assert doubt[shown].min() >= doubt[~shown].max()
    assert not worth_showing(np.full(500, 0.005, np.float32), most=1.0).any()
    assert worth_showing(np.zeros(0, np.float32)).shape == (0,)


def test_what_is_likely_wrong_is_shown_beyond_the_limit() -> None:
    """A sheet that went badly shows more, but never more than three times the limit."""
    doubt = np.full(10_000, 0.1, np.float32)
    doubt[:200] = 0.8
    assert worth_showing(doubt, most=0.01).sum() == 200
    doubt[:2000] = 0.8
    assert worth_showing(doubt, most=0.01).sum() == 300


def test_few_are_shown_where_few_are_wrong() -> None:
    """On a clean sheet with three unsure squares only these are shown, far below the limit."""
    doubt = np.full(10_000, 1e-7, np.float32)
    doubt[[5, 50, 500]] = 0.4
    assert np.flatnonzero(worth_showing(doubt, most=0.08)).tolist() == [5, 50, 500]


def test_a_grainy_picture_may_ask_for_more() -> None:
    """Flat scans may show 0.8 % of their squares, careful photographs 2 %, poor ones 8 %."""
    shares = [most_to_show(grain) for grain in (3e-5, 1.2e-4, 6e-4)]
    assert shares == pytest.approx([0.008, 0.02, 0.08], abs=0.003)
    assert most_to_show(0.0) == pytest.approx(0.008)


def weighed() -> Weighed:
    """Six squares in three piles, the third of which is probably the second's sign."""
    return Weighed(
        piles=np.array([0, 0, 1, 1, 2, 2], np.int32),
        alone=np.array([0.1, 0, 0, 0, 0, 0.5], np.float32),
        of_pile=np.array([0, 0, 0.6], np.float32),
        like=np.array([-1, 0, 1]),
        most=1.0,
        joined=np.zeros(6, np.bool_),
    )


def test_a_doubted_pile_makes_all_its_squares_doubtful() -> None:
    """A square is right only if it is and its pile is: the chances multiply."""
    found = weighed()
    doubts = found.doubts(found.piles, np.zeros(6, np.float32))
    assert doubts == pytest.approx([0.1, 0, 0, 0, 0.6, 1 - 0.4 * 0.5])


def test_one_answer_about_a_pile_settles_all_its_squares() -> None:
    """Once a person has said that two piles are one sign, only what is odd about single squares is left."""
    found = weighed().with_merged(1, 2)
    doubts = found.doubts(np.array([0, 0, 1, 1, 1, 1], np.int32), np.ones(6, np.float32))
    assert doubts == pytest.approx([0.1, 0, 0, 0, 0, 0.5])


def test_a_square_sent_elsewhere_is_weighed_anew() -> None:
    """A square that a later answer moved to another pile is as doubtful as its lead says there."""
    moved = np.array([1, 0, 1, 1, 2, 2], np.int32)
    lead_says = np.array([0.3, 0.9, 0.9, 0.9, 0.9, 0.9], np.float32)
    assert weighed().doubts(moved, lead_says)[:2] == pytest.approx([0.3, 0])


def test_the_fit_is_that_of_another_library() -> None:
    """The fitted weights are those scikit-learn finds for the same ridge."""
    random = np.random.default_rng(3)
    numbers = random.normal(2, [1, 5, 0.2], (3000, 3))
    chance = 1 / (1 + np.exp(-(0.8 * numbers[:, 0] - 0.3 * numbers[:, 1] - 2)))
    wrong = random.uniform(size=3000) < chance
    ours = fitted(numbers, wrong)
    spread = numbers.std(axis=0)
    theirs = LogisticRegression(C=1 / RIDGE, tol=1e-8).fit((numbers - numbers.mean(axis=0)) / spread, wrong)
    assert np.array(ours.weights) == pytest.approx(theirs.coef_[0] / spread, abs=2e-3)
    assert ours.chances(numbers.astype(np.float32)).mean() == pytest.approx(wrong.mean(), abs=1e-3)
