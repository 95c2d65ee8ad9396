"""The chart as it stands on the cloth: the printed one with its recorded differences."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from stitchview.chart.model import Chart
from stitchview.done.differences import MOST_DIFFERENCES, Difference, overlap
from stitchview.done.loom import Effect, Loom
from stitchview.done.usedinstead import OwnThread
from stitchview.errors import CommandError


@dataclass(frozen=True, eq=False, slots=True)
class OnCloth:
    """The `chart` as it stands on the cloth, by the differences that `hold`.

    Those `passed_over` do not fit the chart, or one another; each comes with what is wrong.
    """

    chart: Chart
    hold: tuple[Difference, ...] = ()
    passed_over: tuple[tuple[Difference, CommandError], ...] = ()


def as_worked(chart: Chart, differences: Iterable[Difference], own: Iterable[OwnThread] = ()) -> Chart:
    """The chart as it stands on the cloth; the very same chart where nothing differs."""
    return on_cloth(chart, differences, own).chart


def on_cloth(chart: Chart, differences: Iterable[Difference], own: Iterable[OwnThread] = ()) -> OnCloth:
    """The chart with all differences that fit, the first recorded first; what does not fit is passed over.

    Its key has those `own` threads too that a difference which fits names, after the printed ones.
    The chart may have been corrected since, and two places may have recorded what cannot both be.
    """
    loom, hold, passed_over = _worked(chart, differences, own)
    return OnCloth(loom.chart(), tuple(hold), tuple(passed_over))


def _worked(
    chart: Chart, differences: Iterable[Difference], own: Iterable[OwnThread]
) -> tuple[Loom, list[Difference], list[tuple[Difference, CommandError]]]:
    """All that fit on a loom, which those are, and what does not fit."""
    loom, hold = Loom(chart.printed, own), list[Difference]()
    passed_over = list[tuple[Difference, CommandError]]()
    for each in sorted(differences, key=lambda difference: difference.id):
        try:
            _check_apart(each, hold)
            loom.work(each)
        except CommandError as error:
            passed_over.append((each, error))
        else:
            hold.append(each)
    return loom, hold, passed_over


def altered_by(
    chart: Chart, differences: Sequence[Difference], new: Difference, own: Iterable[OwnThread] = ()
) -> Effect:
    """What one more difference would alter; raises `CommandError` if it cannot be one of the cloth.

    `differences` are those held so far, `own` threads that the key does not print. Nothing is changed.
    """
    loom, hold, _ = _worked(chart, differences, own)
    _check_apart(new, hold)
    return loom.work(new)


def _check_apart(new: Difference, held: Sequence[Difference]) -> None:
    if len(held) >= MOST_DIFFERENCES:
        raise CommandError(
            f"A piece can have {MOST_DIFFERENCES:,} recorded differences.", "Take one back first."
        )
    if any(overlap(new, each) for each in held):
        raise CommandError(
            "The cloth differs there already: two recorded differences cannot be about the same squares.",
            "Take the other one back first, or choose other squares.",
        )
