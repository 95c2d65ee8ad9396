"""The weights by which evidence becomes a chance, as `python -m tests.sheets.doubtfitting` fitted them."""

from dataclasses import dataclass

import numpy as np

from stitchview.sheets.nearness import Numbers


@dataclass(frozen=True)
class Weights:
    """A logistic model: the chance is 1 / (1 + exp(-(constant + numbers @ weights)))."""

    constant: float
    weights: tuple[float, ...]

    def chances(self, numbers: Numbers) -> Numbers:
        """The chance (n,) for each row of the numbers (n, D)."""
        score = numbers @ np.array(self.weights, np.float32) + np.float32(self.constant)
        return np.asarray(1 / (1 + np.exp(-np.clip(score, -30, 30))), np.float32)

    def odds(self, numbers: Numbers) -> Numbers:
        """The logarithm of the odds (n,), between -9 and 9."""
        score = numbers @ np.array(self.weights, np.float32) + np.float32(self.constant)
        return np.asarray(np.clip(score, -9, 9), np.float32)


PILE = Weights(
    4.2248,
    (
        -0.7483,
        -0.0474,
        0.1559,
        -0.1222,
        0.4659,
        4.1498,
        0.2118,
        -0.779,
        0.3575,
        -0.3377,
        -0.9926,
        0.2448,
        -0.2683,
        1.6912,
    ),
)
PART = Weights(
    9.632,
    (
        0.7173,
        -0.8205,
        0.659,
        -0.0292,
        0.472,
        -0.0653,
        0.8603,
        1.4681,
    ),
)
CLEAR = Weights(
    9.8299,
    (
        0.4224,
        -0.6078,
        -0.723,
        1.5188,
        -0.3628,
        1.4879,
        -1.3542,
        2.2129,
        -0.5159,
        -0.5764,
        0.4898,
        0.0323,
        1.3754,
        0.9402,
        -0.1713,
    ),
)
CROSSED = Weights(
    7.2291,
    (
        -0.149,
        -0.5597,
        -1.6189,
        1.5438,
        -0.6306,
        0.4346,
        -0.5034,
        -0.062,
        -0.1843,
        -0.3449,
        0.0874,
        0.0193,
        1.2439,
        0.0,
        0.0,
    ),
)
