"""Fit the weights of the doubt to printed and photographed test sheets, and judge them on others.

    python -m tests.sheets.doubtfitting FOLDER read 1,2,3 [CONDITIONS]   reads sheets, keeps their evidence
    python -m tests.sheets.doubtfitting FOLDER fit                       rewrites fitteddoubt.py's weights
    python -m tests.sheets.doubtfitting FOLDER judge                     a table for each condition

Seeds from 101 to 199 are never fitted; ``judge`` looks at them alone.
"""

import pickle
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment
from sklearn.calibration import calibration_curve  # type: ignore[import-untyped]
from sklearn.metrics import brier_score_loss  # type: ignore[import-untyped]

from stitchview.sheets import fitteddoubt
from stitchview.sheets.fitteddoubt import Weights
from stitchview.sheets.lattice import Lattice
from stitchview.sheets.latticefinding import find_lattice
from stitchview.sheets.mixedsigns import Part, part_numbers
from stitchview.sheets.nearness import Numbers
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.sorting import Sorting
from stitchview.sheets.sortingsquares import sorted_with_cutouts
from stitchview.sheets.straightening import Straight, straighten
from stitchview.sheets.weighing import Evidence, evidence_of, square_numbers, weighed_by
from tests.paper.photographing import Photograph, photographed
from tests.paper.printing import printed_sheets

CONDITIONS = ("scan", "careful", "poor")
SIZES = [(90, 80), (100, 130), (60, 70), (110, 90), (80, 100), (120, 110), (70, 60), (100, 100)]
SIGNS = [36, 12, 60, 24, 5, 44, 20, 90, 30, 16, 70, 8, 50, 28, 100, 40]
HELD_OUT = range(101, 200)
RIDGE = 3.0


@dataclass(frozen=True)
class Case:
    """One sheet read: its sorting, the evidence, the true codes (N,) and which squares are right (N,)."""

    name: str
    sorting: Sorting
    evidence: Evidence
    codes: NDArray[np.intp]
    right: NDArray[np.bool_]

    @property
    def condition(self) -> str:
        """Scan, careful or poor."""
        return self.name.split("-")[0]

    @property
    def fitted(self) -> bool:
        """Whether the weights may be fitted to this sheet."""
        return int(self.name.split("-")[1]) not in HELD_OUT


def right_squares(piles: NDArray[np.int32], codes: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Which squares (N,) are in the pile that the best one-to-one matching (scipy) gives their sign."""
    table = np.zeros((int(piles.max()) + 1, int(codes.max()) + 1), np.intp)
    np.add.at(table, (piles, codes), 1)
    of_pile = np.full(len(table), -1, np.intp)
    rows, columns = linear_sum_assignment(-table)
    of_pile[rows] = columns
    return np.asarray(of_pile[piles] == codes)


def sheet_of(condition: str, seed: int) -> Photograph:
    """The test sheet of a seed: eight sizes, 5 to 100 signs."""
    columns, rows = SIZES[seed % len(SIZES)]
    signs = SIGNS[(seed * 5 + seed // 100) % len(SIGNS)]
    return photographed(printed_sheets(columns, rows, signs, seed).pages[0], condition, seed)


def straight_of(photograph: Photograph) -> Straight:
    """The sheet pulled straight by the lattice found, or by the true one where another size was found."""
    lattice = Lattice(photograph.nodes)
    try:
        found = find_lattice(photograph.picture)
    except PaperError:
        found = lattice
    if found.nodes.shape == lattice.nodes.shape:
        lattice = found
    pitch = int(np.clip(round(lattice.pixels_a_square), 12, 32))
    return straighten(photograph.picture, lattice, pitch, pitch)


def case_of(name: str, straight: Straight, codes: NDArray[np.int32]) -> Case:
    """A sheet sorted, with all evidence and the truth."""
    sorting, cutouts = sorted_with_cutouts([straight])
    truth = np.unique(codes.ravel(), return_inverse=True)[1]
    return Case(name, sorting, evidence_of(sorting, cutouts), truth, right_squares(sorting.piles, truth))


def wrong_piles(case: Case) -> NDArray[np.bool_]:
    """Which piles (K,) hold no right square of their commonest sign: another pile has it."""
    common = commonest(case)
    right = np.zeros(case.sorting.count, np.bool_)
    mine = case.codes == common[case.sorting.piles]
    right[case.sorting.piles[mine & case.right]] = True
    return ~right


def commonest(case: Case) -> NDArray[np.intp]:
    """The sign (K,) that most squares of each pile show."""
    table = np.zeros((case.sorting.count, int(case.codes.max()) + 1), np.intp)
    np.add.at(table, (case.sorting.piles, case.codes), 1)
    return np.asarray(table.argmax(axis=1), np.intp)


def other_sign(case: Case, part: Part) -> bool:
    """Whether most squares of a part show another sign than most of its pile."""
    return bool((case.codes[part.members] != commonest(case)[part.pile]).mean() > 0.5)


def fitted(numbers: NDArray[np.float64], wrong: NDArray[np.bool_]) -> Weights:
    """Logistic weights by Newton's steps, held small by a ridge in units of each column's spread."""
    spread = numbers.std(axis=0) + 1e-6
    middle = numbers.mean(axis=0)
    columns = np.concatenate([np.ones((len(numbers), 1)), (numbers - middle) / spread], axis=1)
    ridge = np.eye(columns.shape[1]) * RIDGE
    ridge[0, 0] = 1e-6
    found = np.zeros(columns.shape[1])
    for _ in range(60):
        chance = 1 / (1 + np.exp(-np.clip(columns @ found, -30, 30)))
        slope = columns.T @ (wrong - chance) - ridge @ found
        bend = (columns * (chance * (1 - chance))[:, None]).T @ columns + ridge
        step = np.linalg.solve(bend, slope)
        found += step * min(1.0, 3 / np.abs(step).max())
        if np.abs(step).max() < 1e-6:
            break
    weights = found[1:] / spread
    return Weights(round(float(found[0] - weights @ middle), 4), tuple(round(float(w), 4) for w in weights))


def fit_all(cases: list[Case]) -> dict[str, Weights]:
    """The weights of piles, parts, clear and crossed squares, one after another."""
    piles = [case.evidence.looks.counts > 0 for case in cases]
    pile = fitted(
        joined([case.evidence.piles.numbers[held] for case, held in zip(cases, piles, strict=True)]),
        np.concatenate([wrong_piles(case)[held] for case, held in zip(cases, piles, strict=True)]),
    )
    part = fitted(
        joined([part_numbers(case.evidence.parts, case.evidence.looks.grain) for case in cases]),
        np.array([other_sign(case, part) for case in cases for part in case.evidence.parts]),
    )
    alone = [~wrong_piles(case)[case.sorting.piles] for case in cases]
    numbers = joined([square_numbers(case.evidence, part)[of] for case, of in zip(cases, alone, strict=True)])
    wrong = np.concatenate([~case.right[of] for case, of in zip(cases, alone, strict=True)])
    clear = np.concatenate([case.sorting.clear[of] for case, of in zip(cases, alone, strict=True)])
    return {
        "PILE": pile,
        "PART": part,
        "CLEAR": fitted(numbers[clear], wrong[clear]),
        "CROSSED": fitted(numbers[~clear], wrong[~clear]),
    }


def joined(parts: list[Numbers]) -> NDArray[np.float64]:
    """Rows of all sheets, one after another."""
    return np.concatenate(parts).astype(np.float64)


def write_weights(found: dict[str, Weights]) -> None:
    """The weights into the product's module, in place of those before."""
    path = Path(fitteddoubt.__file__)
    text = path.read_text("utf-8")
    text = text[: re.search(r"^PILE = ", text, re.MULTILINE).start()]  # type: ignore[union-attr]
    for name, weights in found.items():
        rows = "".join(f"        {weight},\n" for weight in weights.weights)
        text += f"{name} = Weights(\n    {weights.constant},\n    (\n{rows}    ),\n)\n"
    path.write_text(text, "utf-8")


def judge(cases: list[Case]) -> None:
    """Print for each condition what is shown and what it holds, and how the chances agree with the truth."""
    chances, wrongs = [], []
    for condition in CONDITIONS:
        mine = [case for case in cases if case.condition == condition]
        if not mine:
            continue
        after = [weighed_by(case.sorting, case.evidence) for case in mine]
        shown = np.concatenate([sorting.shown for sorting in after])
        doubt = np.concatenate([sorting.doubt for sorting in after])
        wrong = np.concatenate([~case.right for case in mine])
        chances.append(doubt)
        wrongs.append(wrong)
        told(
            f"{condition}: {len(mine)} sheets, wrong {wrong.mean():.4f} (estimated {doubt.mean():.4f}),"
            f" shown {shown.mean():.4f}, holding {(shown & wrong).sum() / max(1, wrong.sum()):.4f} of them,"
            f" Brier {brier_score_loss(wrong, doubt):.5f} (knowing the mean only {wrong.var():.5f})"
        )
        for case, sorting in zip(mine, after, strict=True):
            bad = ~case.right
            told(
                f"    {case.name}: {len(bad)} squares, wrong {bad.sum()},"
                f" estimated {sorting.doubt.sum():.0f},"
                f" shown {sorting.shown.mean():.4f}, held {(sorting.shown & bad).sum()}"
            )
    doubt, wrong = np.concatenate(chances), np.concatenate(wrongs)
    for true, estimated in zip(*calibration_curve(wrong, doubt, n_bins=10), strict=True):
        told(f"  estimated {estimated:.3f}, true {true:.3f}")


def told(words: str) -> None:
    """One line, at once."""
    sys.stdout.write(words + "\n")
    sys.stdout.flush()


def kept_cases(folder: Path) -> Iterator[Case]:
    """The sheets read so far."""
    for path in sorted(folder.glob("case-*.pkl")):
        with path.open("rb") as file:
            yield pickle.load(file)


def read(folder: Path, seeds: list[int], conditions: list[str]) -> None:
    """Read sheets that are not read yet; their pictures are kept apart, so that reading anew is quicker."""
    for seed in seeds:
        for condition in conditions:
            name = f"{condition}-{seed}"
            if (folder / f"case-{name}.pkl").exists():
                continue
            picture = folder / f"straight-{name}.pkl"
            if not picture.exists():
                photograph = sheet_of(condition, seed)
                kept = straight_of(photograph), photograph.content.codes
                picture.write_bytes(pickle.dumps(kept))
            straight, codes = pickle.loads(picture.read_bytes())
            case = case_of(name, straight, codes)
            (folder / f"case-{name}.pkl").write_bytes(pickle.dumps(case))
            told(f"{name}: right {case.right.mean():.4f}")


def main(words: list[str]) -> None:
    """One of the three tasks above."""
    folder = Path(words[0])
    folder.mkdir(parents=True, exist_ok=True)
    if words[1] == "read":
        conditions = words[3].split(",") if len(words) > 3 else list(CONDITIONS)
        read(folder, [int(seed) for seed in words[2].split(",")], conditions)
    elif words[1] == "fit":
        write_weights(fit_all([case for case in kept_cases(folder) if case.fitted]))
    else:
        judge([case for case in kept_cases(folder) if not case.fitted])


if __name__ == "__main__":
    main(sys.argv[1:])
