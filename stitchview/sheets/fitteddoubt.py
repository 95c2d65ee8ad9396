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
    5.0625,
    (
        -1.1459,
        0.0677,
        0.4232,
        -0.1361,
        0.2783,
        3.0163,
        0.0238,
        -0.898,
        0.3017,
        -0.5354,
        -1.0548,
        0.1436,
        -0.3946,
        1.8265,
    ),
)
PART = Weights(
    7.8532,
    (
        1.0062,
        -1.1618,
        0.6944,
        -0.1459,
        0.5465,
        0.1542,
        0.9032,
        1.0971,
    ),
)
CLEAR = Weights(
    -3.9545,
    (
        -0.6601,
        -0.4669,
        -0.7481,
        2.1799,
        -0.3118,
        0.666,
        -0.3764,
        0.0173,
        -0.2843,
        0.4225,
        -0.8568,
        0.018,
        0.8574,
        0.998,
        0.5461,
    ),
)
CROSSED = Weights(
    8.455,
    (
        -0.2447,
        0.0829,
        -1.875,
        -0.3595,
        -0.5234,
        0.57,
        0.2722,
        -0.114,
        0.0179,
        -0.2164,
        0.0756,
        0.0183,
        2.6993,
        0.0,
        0.0,
    ),
)
