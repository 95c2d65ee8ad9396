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
    5.5458,
    (
        -1.1296,
        0.0695,
        0.6035,
        -0.1402,
        0.219,
        2.2313,
        0.0042,
        -0.9569,
        0.2353,
        -0.6024,
        -1.165,
        0.2117,
        -0.4749,
        2.1612,
    ),
)
PART = Weights(
    8.7493,
    (
        1.1034,
        -1.2874,
        0.7828,
        -0.2111,
        0.5781,
        0.2309,
        0.805,
        1.2048,
    ),
)
CLEAR = Weights(
    -0.4107,
    (
        -0.6538,
        0.2004,
        -0.8784,
        1.4815,
        -0.1636,
        0.5699,
        -0.3199,
        0.3016,
        -0.1088,
        0.0669,
        -0.5385,
        0.0073,
        0.6037,
        0.7631,
        0.531,
    ),
)
CROSSED = Weights(
    5.8329,
    (
        -0.2868,
        -0.053,
        -1.6091,
        -0.4493,
        -0.8211,
        0.7602,
        0.4687,
        0.0302,
        0.1091,
        -0.1715,
        -0.0129,
        0.0183,
        2.0421,
        0.0,
        0.0,
    ),
)
