"""The plan a review holds a pitcher against: his own, for a hitter of each side as his level has.

The book keeps no plans, and a plan made today for a hitter of last month would know what came
later. So every pitch is held against the plan for the level's usual hitter of that side, with the
pitcher's command as all his pitches show it. What the last pitch does is left out: it is small, an
assumption, and takes half of the time.
"""

from collections.abc import Container, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball import levels
from sequencer.estimates import command, hitter, league
from sequencer.planning.calls import CoachRules
from sequencer.planning.plan import Plan, plan
from sequencer.records.people import Person
from sequencer.reports.against_plan import shares_of, stakes_of
from sequencer.review.placing import spelled
from sequencer.review.plans import Mix, Plans, Shown
from sequencer.review.question import FEWEST_PITCHES
from sequencer.review.review import AllStakes

if TYPE_CHECKING:
    import pandas as pd

#: The names of the two usual hitters, by the side they hit from.
USUAL: Final = {"R": "usual right-handed hitter", "L": "usual left-handed hitter"}


def usual_plans(
    frame: "pd.DataFrame", made: Sequence[Plan] | None = None
) -> tuple[Plans, AllStakes]:
    """Return the shares a review asks for and the games behind them.

    Parameters
    ----------
    frame : DataFrame
        A pitch log, columns as in records.frames; pitchers with too few pitches are left out.
    made : sequence of Plan, optional
        What `plans_of` returned for this log, where it was asked before.
    """
    held = plans_of(frame) if made is None else made
    shares = shares_of(held)
    sides = _sides(frame)

    def asked(pitcher: str, name: str, balls: int, strikes: int, shown: Shown) -> Mix | None:
        usual = USUAL.get(sides.get((pitcher, name), ""))
        return shares(pitcher, usual, balls, strikes, shown) if usual else None

    return asked, stakes_of(_faced(frame), held)


def _faced(frame: "pd.DataFrame") -> "pd.DataFrame":
    """Return the log as if the usual hitters alone had been faced."""
    import pandas as pd

    side = spelled(frame, "bats").placed({bats: i for i, bats in enumerate(USUAL)})
    usual = pd.Categorical.from_codes(side, pd.Index([*USUAL.values()]))
    return frame.assign(hitter=usual, hitter_id="")


def plans_of(frame: "pd.DataFrame") -> list[Plan]:
    """Return the plan of each pitcher of a log with enough pitches, for the two usual hitters."""
    own = frame[frame["pitching"].fillna("us").isin(["", "us"])] if "pitching" in frame else frame
    made = []
    for name, pitches in own.groupby(own["pitcher"].astype(str), sort=True):
        if len(pitches) < FEWEST_PITCHES:
            continue
        level = _commonest(pitches, "level", levels.DEFAULT_LEVEL, levels.LEVELS)
        throws = _commonest(pitches, "throws", "R", "RL")
        person = Person.model_validate({"id": "?", "team": "", "name": name, "throws": throws})
        usual = [hitter.average(level, name=said, bats=bats) for bats, said in USUAL.items()]
        # A review judges each pitch by its own name, even one that looks like another.
        belief = replace(command.believe(person, None, pitches, level), alike=())
        made.append(plan(usual, belief, league.load(level), coach=CoachRules(last_pitch=False)))
    return made


def _commonest(frame: "pd.DataFrame", column: str, otherwise: str, known: Container[str]) -> str:
    said = spelled(frame, column)
    times = np.bincount(said.code, minlength=len(said.words)).tolist()
    met = {word: n for word, n in zip(said.words.tolist(), times, strict=True) if n}
    words = [word for word in met if word and word in known]
    return max(words, key=met.__getitem__) if words else otherwise


def _sides(frame: "pd.DataFrame") -> dict[tuple[str, str], str]:
    """Return the side each hitter hit from against each pitcher, most often."""
    columns = [spelled(frame, name) for name in ("pitcher", "hitter", "bats")]
    met = np.stack([column.code for column in columns])
    kinds, first, often = np.unique(met, axis=1, return_index=True, return_counts=True)
    # the commonest last, and of several the one met first
    kinds = kinds[:, np.lexsort((-first, often))]
    pitcher, hitter, side = (
        column.words[kind].tolist() for column, kind in zip(columns, kinds, strict=True)
    )
    return dict(zip(zip(pitcher, hitter, strict=True), side, strict=True))
