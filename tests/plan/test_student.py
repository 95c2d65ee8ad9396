"""Student's t against tables and against scipy."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import t

from stitchview.plan.student import t_quantile, t_share


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 8, 10, 20, 60, 300, 2000])
@pytest.mark.parametrize("share", [0.001, 0.1, 0.5, 0.75, 0.9, 0.95, 0.975, 0.9999])
def test_quantiles_are_those_of_scipy(share: float, freedom: int) -> None:
    """For every degree of freedom and share the reference library gives the same value."""
    assert t_quantile(share, freedom) == pytest.approx(float(t.ppf(share, freedom)), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("freedom", "ninety", "ninety_seven"),
    [(1, 3.0777, 12.7062), (4, 1.5332, 2.7764), (10, 1.3722, 2.2281), (30, 1.3104, 2.0423)],
)
def test_quantiles_are_those_of_the_tables(freedom: int, ninety: float, ninety_seven: float) -> None:
    """The printed tables of every book of statistics give these (scipy 1.17.1 agrees)."""
    assert t_quantile(0.9, freedom) == pytest.approx(ninety, abs=5e-5)
    assert t_quantile(0.975, freedom) == pytest.approx(ninety_seven, abs=5e-5)


@given(st.floats(-50, 50), st.integers(1, 500))
def test_shares_are_those_of_scipy(value: float, freedom: int) -> None:
    """The distribution itself too."""
    assert t_share(value, freedom) == pytest.approx(float(t.cdf(value, freedom)), abs=1e-10)


@pytest.mark.parametrize(("share", "freedom"), [(0, 3), (1, 3), (0.5, 0)])
def test_nonsense_is_refused(share: float, freedom: int) -> None:
    """There is no quantile of certainty, nor of one value alone."""
    with pytest.raises(ValueError, match="degree of freedom"):
        t_quantile(share, freedom)
