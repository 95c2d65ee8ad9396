"""How long the plan of a huge chart takes, in the time of one bincount over the same squares.

Run it with `python -m tests.speed.plan_speed`; times are CPU times, and nothing is asserted.
"""

import sys
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from stitchview.chart.harbour.making import make_harbour
from stitchview.plan.need import need

SIDE, THREADS, ROUNDS = 1000, 120, 5


def least_ms(work: Callable[[], object]) -> float:
    """The least CPU time of several rounds, in milliseconds."""
    times = []
    for _ in range(ROUNDS):
        begun = time.process_time_ns()
        work()
        times.append((time.process_time_ns() - begun) / 1e6)
    return min(times)


def main() -> None:
    """Print a line for a painted chart and for one of single stitches."""
    harbour = make_harbour(SIDE, SIDE, THREADS, 1)
    loose = np.random.default_rng(1).integers(1, THREADS + 1, (SIDE, SIDE)).astype(np.uint16)
    for name, chart in (("harbour", harbour), ("single stitches", replace(harbour, squares=loose))):
        floor = least_ms(lambda squares=chart.squares: np.bincount(squares.ravel()))  # type: ignore[misc]
        plan = least_ms(lambda chart=chart: need(chart))  # type: ignore[misc]
        sys.stdout.write(
            f"{name}: bincount {floor:.2f} ms, plan {plan:.1f} ms = {plan / floor:.1f} x,"
            f" bar {10 * floor + 50:.1f} ms\n"
        )


if __name__ == "__main__":
    main()
