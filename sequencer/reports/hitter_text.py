"""One hitter as a page of 80 columns: what sets him apart, how surely, what cannot be known yet."""

from collections.abc import Iterable, Sequence
from typing import Any, Final

import numpy as np

from sequencer.baseball.count import COUNTS
from sequencer.estimates.hitter import HitterBelief, spread
from sequencer.estimates.traits import TRAIT_TABLE
from sequencer.records.people import Mark
from sequencer.reports.lines import WIDTH, bar, indented, sentence

_SIDES: Final = {"R": "hits right", "L": "hits left"}
#: A trait is on the page when it lies this many spreads of a level from the usual hitter.
_SHOWN: Final = 0.1
#: Columns of a trait's bar.
_BAR: Final = 25


def hitter_json(belief: HitterBelief, marks: Iterable[Mark] = ()) -> dict[str, Any]:
    """Return the page as JSON would hold it.

    `traits` are in the units of `sequencer.estimates.traits` (log odds, or runs a ball in play),
    each with its standard deviation and the spread among hitters of the level.
    """
    prior = spread(belief.level)
    return {
        "hitter": belief.name,
        "bats": belief.bats,
        "level": belief.level,
        "pitches": belief.pitches,
        "says": list(belief.says()),
        "marks": [f"{mark.mark}, {mark.how_often}" for mark in marks],
        "traits": [
            {
                "trait": trait.name,
                "says": trait.says,
                "mean": float(belief.mean[i]),
                "sd": float(np.sqrt(belief.cov[i, i])),
                "level_sd": float(prior[i]),
            }
            for i, trait in enumerate(TRAIT_TABLE)
        ],
        "takes": {str(c): float(belief.take_share[c.balls, c.strikes]) for c in COUNTS},
        "expects_fast": {str(c): float(belief.fast_belief[c.balls, c.strikes]) for c in COUNTS},
        "notes": list(belief.notes),
    }


def hitter_text(belief: HitterBelief, marks: Iterable[Mark] = ()) -> str:
    """Return the page of one hitter against one hand."""
    title = f"{belief.name} ({_SIDES.get(belief.bats, belief.bats)}), {belief.level}"
    lines = [title, "=" * min(len(title), WIDTH), ""]
    lines += _told([_rests_on(belief.pitches), *belief.says(), *belief.notes])
    told = [f"{mark.mark} ({mark.how_often})" for mark in marks]
    lines += ["", *_told(["Marked: " + ", ".join(told)])] if told else []
    lines += ["", *_traits(belief)]
    return "\n".join(line.rstrip() for line in lines)


def _rests_on(pitches: int) -> str:
    if pitches == 0:
        return "No pitch of his is logged"
    return f"Rests on {pitches} {'pitch' if pitches == 1 else 'pitches'} logged"


def _traits(belief: HitterBelief) -> list[str]:
    """Return a bar for each trait that differs, furthest first, and how many do not."""
    prior = spread(belief.level)
    mean, sd = belief.mean / prior, np.sqrt(np.diag(belief.cov)) / prior
    order = [i for i in np.argsort(-np.abs(mean), kind="stable") if abs(mean[i]) >= _SHOWN]
    lines = [_line(TRAIT_TABLE[i].says, float(mean[i]), float(sd[i])) for i in order]
    rest = len(TRAIT_TABLE) - len(order)
    head = f"  {'against the usual hitter, in spreads of a level':<51}less{'more':>6}"
    return ([head, *lines] if lines else []) + _told(
        [f"{rest if lines else 'All'} traits as the level's usual hitter, as far as is known"]
    )


def _line(says: str, mean: float, sd: float) -> str:
    return f"  {says:<40} {bar(mean, sd, _BAR)}  {mean:+.1f} ±{sd:.1f}"


def _told(words: Sequence[str]) -> list[str]:
    return indented(map(sentence, words))
