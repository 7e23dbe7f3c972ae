"""Habits of two long open series: what tables learnt from one half gain on the other; is it told?

Command: python -m tests.review.series_open

For every pattern, shares of each label are counted by class in the first half and smoothed toward
those that the pattern's own usual rates have; what they name of the second half better than the
usual rates alone is what an opponent could have used. Each such habit must be flagged by a review
of the first half, and still be there in the second. Series: see tests.estimates.readers_open.
"""

import sys
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import pandas as pd

from sequencer.review.coded import Coded, encode
from sequencer.review.findings import Asking, Finding, look_for
from sequencer.review.patterns import PATTERNS
from sequencer.review.question import Pattern
from tests import open_data
from tests.estimates.readers_open import SOURCE

#: Pitches the usual rates count for in each class of a table.
PRIOR: Final = 20.0
#: Standard errors, by game, from which on a table is taken to gain.
GAINS_FROM: Final = 2.64


@dataclass(frozen=True)
class Told:
    """One pattern of one series.

    Attributes
    ----------
    gain, se : float
        Nats a pitch of the second half that the table gains over the usual rates, and its
        standard error by game.
    flagged : bool
        By the review of the first half.
    holds : bool
        Of the contrast that is strongest in the first half the second half shows more than usual,
        by two standard deviations.
    """

    pattern: str
    gain: float
    se: float
    flagged: bool
    holds: bool

    @property
    def exploited(self) -> bool:
        """Whether the table gains beyond chance."""
        return self.gain > GAINS_FROM * self.se


def logs() -> dict[str, Coded]:
    """Return the two series, whole and in the order thrown."""
    raw = pd.read_parquet(open_data.FILE)
    raw = raw[raw["source"] == SOURCE]
    frame = pd.DataFrame(
        {
            "game": raw["game_id"].astype(str),
            "date": raw["season"].astype(str) + "-01-01",
            "pitcher": raw["pitcher_id"].astype(str),
            "throws": raw["throws"].astype(str),
            "bats": raw["bats"].astype(str),
            "at_bat": raw["at_bat_no"],
            "pitch_no": raw["pitch_no"],
            "balls": raw["balls"],
            "strikes": raw["strikes"],
            "pitch": raw["pitch_type"].astype(str),
            "side_in": raw["x_in"],
            "height_in": raw["z_in"],
        }
    )
    return {str(name): encode(own) for name, own in frame.groupby("pitcher")}


def halves(log: Coded) -> tuple[Coded, Coded]:
    """Split a log in the middle, by games."""
    early = log.game < np.median(log.game)
    return log.only(early), log.only(~early)


def tell(pattern: Pattern, first: Coded, second: Coded, findings: list[Finding]) -> Told | None:
    """Hold one pattern's table, learnt from the first half, against the second."""
    asking, later = Asking(first, (0,)), Asking(second, (1,))
    learnt, put = asking.ask(pattern), later.ask(pattern)
    if learnt is None or put is None or learnt.shape != put.shape:
        return None
    usually = np.zeros(learnt.shape)
    np.add.at(usually, learnt.classes, learnt.usual.rates)
    # by how much each label is more often in a class than usual, in odds, smoothed
    share = usually.sum(axis=1, keepdims=True)
    ratio = (learnt.table + PRIOR * usually / share) / (usually * (1.0 + PRIOR / share))
    rates = put.usual.rates
    named = rates * ratio[put.classes]
    named /= named.sum(axis=1, keepdims=True)
    at = np.arange(len(put))
    gained = np.log(named[at, put.labels] / rates[at, put.labels])
    games = np.unique(second.game[put.rows], return_inverse=True)[1]
    by_game = np.bincount(games, weights=gained)
    size = np.bincount(games)
    gain = float(gained.mean())
    se = float(np.sqrt(((by_game - gain * size) ** 2).sum()) / size.sum())
    findings, _ = look_for(first, seed=0, name="first half")
    flagged = [each for each in findings if each.flagged and each.pattern.id == pattern.id]
    return Told(
        pattern.id, gain, se, bool(flagged), bool(flagged) and _holds(pattern, first, later)
    )


def _holds(pattern: Pattern, first: Coded, later: Asking) -> bool:
    alone, _ = look_for(first, seed=0, name="first half", patterns=(pattern,))
    strongest = max(alone, key=lambda each: each.past)
    question = later.ask(strongest.pattern)
    for contrast in question.contrasts if question else ():
        same = contrast.condition.where == strongest.contrast.condition.where
        if question and same and contrast.what == strongest.contrast.what:
            found = later.answer(replace(question, contrasts=(contrast,)), 0.05)
            return found is not None and float(found.tested.z[0]) > 2.0
    return False


def main() -> None:
    """Measure and print."""
    if open_data.MISSING:
        sys.exit(open_data.MISSING)
    for name, log in logs().items():
        first, second = halves(log)
        findings, _ = look_for(first, seed=0, name=name)
        for pattern in PATTERNS:
            told = tell(pattern, first, second, findings)
            if told:
                sys.stdout.write(
                    f"{name:4} {told.pattern:22} {1000 * told.gain:+7.2f} thousandths of a nat "
                    f"(se {1000 * told.se:.2f}){' exploited' if told.exploited else '':10}"
                    f"{' flagged' if told.flagged else '':8}{' holds' if told.holds else ''}\n"
                )
                sys.stdout.flush()


if __name__ == "__main__":
    main()
