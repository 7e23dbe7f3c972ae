"""The plan a review holds a pitcher against: his own, for a hitter of each side as his level has.

The book keeps no plans, and a plan made today for a hitter of last month would know what came
later. So every pitch is held against the plan for the level's usual hitter of that side, with the
pitcher's command as all his pitches show it. What the last pitch does is left out: it is small, an
assumption, and takes half of the time.
"""

from collections import Counter
from collections.abc import Container, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from sequencer.baseball import levels
from sequencer.estimates import command, hitter, league
from sequencer.planning.calls import CoachRules
from sequencer.planning.plan import Plan, plan
from sequencer.records.people import Person
from sequencer.reports.against_plan import shares_of, stakes_of
from sequencer.review.plans import Mix, Plans, Shown
from sequencer.review.question import FEWEST_PITCHES
from sequencer.review.review import AllStakes

if TYPE_CHECKING:
    import pandas as pd

#: The names of the two usual hitters, by the side they hit from.
USUAL: Final = {"R": "usual right-handed hitter", "L": "usual left-handed hitter"}


def usual_plans(frame: "pd.DataFrame") -> tuple[Plans, AllStakes]:
    """Return the shares a review asks for and the games behind them.

    Parameters
    ----------
    frame : DataFrame
        A pitch log, columns as in records.frames; pitchers with too few pitches are left out.
    """
    made = list(_plans(frame))
    shares = shares_of(made)
    sides = _sides(frame)

    def held(pitcher: str, name: str, balls: int, strikes: int, shown: Shown) -> Mix | None:
        usual = USUAL.get(sides.get((pitcher, name), ""))
        return shares(pitcher, usual, balls, strikes, shown) if usual else None

    faced = frame.assign(hitter=frame["bats"].map(USUAL).fillna(""), hitter_id="")
    return held, stakes_of(faced, made)


def _plans(frame: "pd.DataFrame") -> Iterator[Plan]:
    own = frame[frame["pitching"].fillna("us").isin(["", "us"])] if "pitching" in frame else frame
    for name, pitches in own.groupby(own["pitcher"].astype(str), sort=True):
        if len(pitches) < FEWEST_PITCHES:
            continue
        level = _commonest(pitches, "level", levels.DEFAULT_LEVEL, levels.LEVELS)
        throws = _commonest(pitches, "throws", "R", "RL")
        person = Person.model_validate({"id": "?", "team": "", "name": name, "throws": throws})
        usual = [hitter.average(level, name=said, bats=bats) for bats, said in USUAL.items()]
        # A review judges each pitch by its own name, even one that looks like another.
        belief = replace(command.believe(person, None, pitches, level), alike=())
        yield plan(usual, belief, league.load(level), coach=CoachRules(last_pitch=False))


def _commonest(frame: "pd.DataFrame", column: str, otherwise: str, known: Container[str]) -> str:
    said = frame[column].dropna().astype(str).to_list() if column in frame else []
    words = [word for word in said if word and word in known]
    return max(set(words), key=words.count) if words else otherwise


def _sides(frame: "pd.DataFrame") -> dict[tuple[str, str], str]:
    """Return the side each hitter hit from against each pitcher, most often."""
    columns = [frame[name].astype(str).to_list() for name in ("pitcher", "hitter", "bats")]
    met = Counter(zip(*columns, strict=True))
    return {(pitcher, name): side for (pitcher, name, side), _ in reversed(met.most_common())}
