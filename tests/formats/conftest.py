"""The charts of the tests for `chart/`, lent to the tests of files on the disk."""

import importlib.util
from pathlib import Path

_SPEC = importlib.util.spec_from_file_location(
    "chart_fixtures", Path(__file__).parents[1] / "chart" / "conftest.py"
)
assert _SPEC is not None
assert _SPEC.loader is not None
_MODULE = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(_MODULE)

sound_chart = _MODULE.sound_chart
any_chart = _MODULE.any_chart
differences = _MODULE.differences
png = _MODULE.png
