"""Our steps and boosted trees on open pitches that neither has seen.

Command: python -m tests.estimates.held_out. Two honest splits. *By source*: each season or series
is held out in turn and the rest trained on. *By game and hitter*: folds in which whole games are
held out, and every pitch to a hitter of theirs, wherever it was logged, is left out of training;
the called pitches of 2012, which have no ids, are held out in contiguous blocks.
"""

import argparse
import json
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
import pandas as pd
from joblib import Memory

from sequencer.estimates import fit, rivals, scoring, steps
from sequencer.estimates.arrays import Bools, Floats, Ints
from sequencer.estimates.coefficients import PLAYS, STEPS
from sequencer.estimates.fit_data import Data, data_of
from sequencer.estimates.league import League, shift_between
from tests import open_data

SOURCES: Final = (
    "day_2023",
    "hitters_2019",
    "two_relievers_2011",
    "one_hitter_2009_12",
    "called_2012",
)
FOLDS: Final = 5
#: Kinds of play that every source tells: outs are one, since some do not say ground or air.
KINDS: Final = ("out", *PLAYS[2:])
_KIND: Final = {
    "out": 0,
    "double play": 0,
    "fielder's choice": 0,
    "sacrifice fly": 0,
    **{kind: i for i, kind in enumerate(KINDS) if i},
}

Fitter = Callable[[pd.DataFrame], League]


@dataclass(frozen=True)
class Split:
    """Rows of a log to train on, and rows to test on; no row is both."""

    name: str
    train: Bools
    test: Bools


@dataclass(frozen=True)
class Told:
    """What was said of the held-out rows of one step of one test set, all of shape (n,).

    For `plays` it is the chance of the play that came, so the outcome is one in every row.
    """

    outcome: Floats
    ours: Floats
    trees: Floats
    base: Floats
    groups: Ints


@dataclass(frozen=True)
class Score:
    """One step on one test set; slopes are None where no line can be had.

    `ratio_se` is the ratio's standard error by game (at-bat, pitch), the trees and our fit held.
    `compared` is False where the step came out one way only: there is nothing to tell apart.
    """

    test: str
    step: str
    n: int
    base: float
    ours: float
    trees: float
    ratio: float
    ratio_se: float
    slope: float | None
    slope_se: float | None
    intercept: float | None
    intercept_se: float | None
    compared: bool


def log(keep: int = 1) -> pd.DataFrame:
    """Return the open pitches with results or swings; of `called_2012` every `keep`th."""
    frame = open_data.read()
    return thinned(frame[frame["source"].isin(SOURCES)].reset_index(drop=True), keep)


def thinned(frame: pd.DataFrame, keep: int) -> pd.DataFrame:
    """Return the pitches of a log with every `keep`th of `called_2012`."""
    left = (frame["source"] == "called_2012").to_numpy() & (np.arange(len(frame)) % keep > 0)
    kept: pd.DataFrame = frame[~left].reset_index(drop=True)
    return kept


def by_source(frame: pd.DataFrame) -> Iterator[Split]:
    """Hold out each source in turn."""
    for source in SOURCES:
        test = (frame["source"] == source).to_numpy()
        yield Split(f"without {source}", ~test, test)


def by_game_and_hitter(frame: pd.DataFrame, folds: int = FOLDS) -> Iterator[Split]:
    """Hold out whole games, and every pitch to a hitter of theirs; see the module."""
    fold = _folds(frame, folds)
    hitter = frame["hitter"].to_numpy()
    for k in range(folds):
        test = fold == k
        theirs = set(hitter[test]) - {""}
        met = np.array([one in theirs for one in hitter])
        yield Split(f"fold {k + 1} of {folds}", ~test & ~met, test)


def _folds(frame: pd.DataFrame, folds: int) -> Ints:
    """Return each row's fold: by game where there are games, by hitter where not, else by block."""
    out = np.zeros(len(frame), dtype=np.intp)
    rng = np.random.default_rng(0)
    for _source, rows in frame.groupby("source", sort=True).indices.items():
        games, hitters = frame["game"].iloc[rows], frame["hitter"].iloc[rows]
        one_man = hitters.nunique() == 1 and hitters.iloc[0] != ""
        unit = hitters if one_man or games.nunique() == 1 else games
        number = np.unique(unit.astype(str), return_inverse=True)[1]
        if hitters.iloc[0] == "":
            out[rows] = np.arange(len(rows)) * folds // len(rows)
        else:
            out[rows] = rng.permutation(np.arange(number.max() + 1) % folds)[number]
    return out


def fitted(train: pd.DataFrame) -> League:
    """Return the league that these rows alone give."""
    found = fit.fit_league(train)
    return League.of(found, shift_between(found, "pro"), "pro")


def compare(
    frame: pd.DataFrame,
    splits: Iterator[Split],
    fitter: Fitter = fitted,
    cache: Path | None = None,
) -> list[Score]:
    """Return every step's score on every source, each from the splits that held it out.

    Parameters
    ----------
    frame : DataFrame
        From `log`.
    splits : iterable of Split
        Each trained on once.
    fitter : callable
        Training rows -> League.
    cache : Path, optional
        Folder that keeps what trees said, so that only ours is computed again.
    """
    parts: dict[tuple[str, str], list[Told]] = {}
    memory = Memory(cache, verbose=0)
    for split in splits:
        _say(split.name)
        league = fitter(frame[split.train])
        train = _Side(frame[split.train])
        for source in SOURCES:
            here = split.test & (frame["source"] == source).to_numpy()
            if here.any():
                test = _Side(frame[here])
                for step in (*STEPS, "plays"):
                    told = _told(step, train, test, league, memory)
                    if told is not None:
                        parts.setdefault((source, step), []).append(told)
    joined = {key: _joined(told) for key, told in parts.items()}
    scores = [score(*key, told) for key, told in joined.items()]
    return scores + [_pooled(step, joined) for step in STEPS if any(s == step for _, s in joined)]


class _Side:
    """One side of a split: its pitches as arrays, and what belongs together."""

    def __init__(self, frame: pd.DataFrame) -> None:
        self.data: Data = data_of(frame)
        kept = frame.iloc[self.data.at]
        self.game = kept["game"].to_numpy(dtype=np.str_)
        self.at_bat = kept["at_bat"].fillna(-1).to_numpy(dtype=np.intp)

    def features(self, which: Bools, step: str) -> Floats:
        return rivals.features(self.data.rows.take(which), step)

    def groups(self, which: Bools) -> Ints:
        at_bat = self.at_bat[which]
        at_bat = np.where(at_bat < 0, -1 - np.arange(len(at_bat)), at_bat)
        return scoring.groups_of(self.game[which], at_bat)[0]

    def kinds(self) -> Ints:
        """Return each pitch's play as a number of `KINDS`, -1 for none."""
        return np.array([_KIND.get(play, -1) for play in self.data.play], dtype=np.intp)


def _told(step: str, train: _Side, test: _Side, league: League, memory: Memory) -> Told | None:
    if step == "plays":
        return _told_plays(train, test, league, memory)
    runs = step == "in_play"
    use, outcome = steps.used(step, train.data)
    here, came = steps.used(step, test.data)
    if not here.any() or (step == "hit_by_pitch" and (test.data.result[here] == "unknown").all()):
        return None
    y = outcome[use]
    grow = memory.cache(rivals.grown)
    trees = grow(train.features(use, step), y, test.features(here, step), runs=runs)
    base = rivals.base_rate(y, int(here.sum()))
    ours = steps.told(step, test.data.rows.take(here), league)
    return Told(came[here], ours, base if trees is None else trees, base, test.groups(here))


def _told_plays(train: _Side, test: _Side, league: League, memory: Memory) -> Told | None:
    use, here = train.kinds() >= 0, test.kinds() >= 0
    if not here.any():
        return None
    kinds, came = train.kinds()[use], test.kinds()[here]
    share = (np.bincount(kinds, minlength=len(KINDS)) + 1.0) / (len(kinds) + len(KINDS))
    grow = memory.cache(rivals.grown_kinds)
    seen = train.features(use, "plays"), test.features(here, "plays")
    trees = grow(seen[0], kinds, seen[1], len(KINDS))
    told = league.plays(steps.told("in_play", test.data.rows.take(here), league))
    ours = np.column_stack([told[:, :2].sum(1), told[:, 2:]])
    at = np.arange(len(came))
    return Told(np.ones(len(came)), ours[at, came], trees[at, came], share[came], test.groups(here))


def _joined(parts: list[Told]) -> Told:
    """Return the parts as one; groups of different parts stay apart."""
    apart = [part.groups + 10_000_000 * i for i, part in enumerate(parts)]
    return Told(
        np.concatenate([part.outcome for part in parts]),
        np.concatenate([part.ours for part in parts]),
        np.concatenate([part.trees for part in parts]),
        np.concatenate([part.base for part in parts]),
        np.concatenate(apart),
    )


def score(test: str, step: str, told: Told) -> Score:
    """Return the score of one step on one test set."""
    runs = step == "in_play"
    base, ours, trees = (
        scoring.losses(told.outcome, said, runs=runs) for said in (told.base, told.ours, told.trees)
    )
    ratio = float(ours.mean() / trees.mean())
    apart = scoring.mean_error(ours - ratio * trees, told.groups)[1]
    line = None
    if step != "plays":
        line = scoring.calibration(told.outcome, told.ours, told.groups, runs=runs)
    return Score(
        test,
        step,
        len(told.outcome),
        float(base.mean()),
        float(ours.mean()),
        float(trees.mean()),
        ratio,
        float(apart / trees.mean()),
        line.slope if line else None,
        line.slope_se if line else None,
        line.intercept if line else None,
        line.intercept_se if line else None,
        compared=step == "plays" or bool(np.ptp(told.outcome) > 0),
    )


def _pooled(step: str, joined: dict[tuple[str, str], Told]) -> Score:
    return score("all", step, _joined([told for (_, s), told in joined.items() if s == step]))


def mean_ratio(scores: list[Score], steps: Sequence[str] = STEPS) -> float:
    """Return the mean ratio of our loss to the trees' over steps and test sets."""
    kept = [s.ratio for s in scores if s.compared and s.step in steps and s.test != "all"]
    return float(np.mean(kept))


def table(scores: list[Score]) -> str:
    """Return scores as text, step after step."""
    lines = [
        f"{'step':<13}{'test set':<20}{'n':>8}{'base':>9}{'trees':>9}{'ours':>9}{'ratio':>8}"
        f"{'se':>6}{'slope':>8}{'se':>6}{'intercept':>11}{'se':>6}"
    ]
    for step in (*STEPS, "plays"):
        for s in (s for s in scores if s.step == step):
            losses = f"{s.base:>9.4f}{s.trees:>9.4f}{s.ours:>9.4f}"
            losses += f"{s.ratio:>8.3f}{s.ratio_se:>6.3f}"
            line = ""
            if s.slope is not None:
                line = (
                    f"{s.slope:>8.3f}{s.slope_se:>6.3f}{s.intercept:>11.3f}{s.intercept_se:>6.3f}"
                )
            note = "" if s.compared else "  one outcome only"
            lines.append(f"{s.step:<13}{s.test:<20}{s.n:>8}{losses}{line}{note}".rstrip())
    worst = max((s for s in scores if s.compared and s.test != "all"), key=lambda s: s.ratio)
    lines.append(
        f"Mean ratio over steps and test sets {mean_ratio(scores):.4f} (without hit by pitch, of "
        f"which there are few, {mean_ratio(scores, STEPS[:-1]):.4f}); the worst is {worst.step} "
        f"on {worst.test}, {worst.ratio:.3f}."
    )
    return "\n".join(lines)


def _say(what: str) -> None:
    sys.stderr.write(what + "\n")


SPLITS: Final = {"source": by_source, "game": by_game_and_hitter}


def main() -> None:
    """Print both comparisons."""
    parser = argparse.ArgumentParser(prog="python -m tests.estimates.held_out")
    parser.add_argument("--split", choices=[*SPLITS, "both"], default="both")
    parser.add_argument("--keep", type=int, default=1, help="every so manieth called pitch of 2012")
    parser.add_argument(
        "--cache",
        type=Path,
        default=Path(tempfile.gettempdir()) / "sequencer-held-out",
        help="folder that keeps what trees said",
    )
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    if open_data.MISSING:
        raise SystemExit(open_data.MISSING)
    frame, found = log(given.keep), {}
    for name in SPLITS if given.split == "both" else [given.split]:
        found[name] = compare(frame, SPLITS[name](frame), cache=given.cache)
        if not given.json:
            sys.stdout.write(f"\nHeld out by {name}\n{table(found[name])}\n")
    if given.json:
        body: dict[str, Any] = {name: [asdict(s) for s in each] for name, each in found.items()}
        sys.stdout.write(json.dumps(body) + "\n")


if __name__ == "__main__":
    main()
