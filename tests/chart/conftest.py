"""Charts for the tests of what is printed: a sound small one, and any that hypothesis draws."""

import importlib.util
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis.strategies import SearchStrategy

from stitchview.chart.model import Chart

IDENTITY = "0b8f4a52-6d0e-4c1b-9a37-5f2c8d1e6b90"


def _strategies() -> ModuleType:
    # Tests are no package, so the module is found by its place.
    spec = importlib.util.spec_from_file_location(
        "chart_strategies", Path(__file__).with_name("chart_strategies.py")
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


STRATEGIES = _strategies()


@pytest.fixture(scope="session")
def sound_chart(small_chart: Callable[[], Chart]) -> Chart:
    """The small chart with an identity, an origin that is not 0, and so fit to be saved."""
    return replace(small_chart(), identity=IDENTITY, origin=(-3, 5))


@pytest.fixture(scope="session")
def any_chart() -> SearchStrategy[Chart]:
    """Charts with everything a chart can have, for `data.draw`."""
    strategy: SearchStrategy[Chart] = STRATEGIES.charts()
    return strategy


@pytest.fixture(scope="session")
def differences() -> Callable[[Chart, Chart], list[str]]:
    """A function that names the parts in which two charts differ."""
    function: Callable[[Chart, Chart], list[str]] = STRATEGIES.differences
    return function


@pytest.fixture(scope="session")
def png() -> Callable[..., bytes]:
    """A builder of a PNG file from its width and height; only a picture one pixel high has its pixels."""
    builder: Callable[..., bytes] = STRATEGIES.png
    return builder
