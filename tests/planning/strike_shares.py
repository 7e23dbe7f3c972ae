"""Strikes that each level's plan throws, and the spread that would throw as many as published.

`python -m tests.planning.strike_shares` prints them, to choose `levels` spreads anew after a fit:
the usual pitcher's plan against his level's habit must throw the published share of strikes. For
professionals, whose spread is told better by what they put in the zone when a strike is all they
want, the share of throws at the middle that cross the zone stands beside the published one.
"""

import sys
from dataclasses import replace
from math import erf, sqrt
from typing import Final

import numpy as np
from scipy.optimize import brentq

from sequencer.baseball.levels import LEVELS
from sequencer.baseball.zone import HALF_WIDTH_IN
from sequencer.estimates import command, hitter, league
from sequencer.estimates.pitcher import PitcherBelief
from sequencer.planning.plan import Plan, plan

#: Share of pitches in the zone at 3-0, where nearly all are fastballs and few hitters swing:
#: Greenhouse (21 Oct 2010), about 60 percent; MLB.com (22 Aug 2020), 60.9 percent in 2019.
ZONE_AT_THREE_AND_NONE: Final = 0.609
#: Spreads, inches, between which the published share is looked for.
_BETWEEN: Final = (7.0, 16.0)


def usual_pitcher(level: str, spread: float | None = None) -> PitcherBelief:
    """Return a level's usual pitcher; with this spread of his fastball when one is given."""
    types = ("fastball", "changeup", *(["curveball"] * LEVELS[level].breaking_balls))
    found = command.average(level, arsenal=types)
    if spread is None:
        return found
    times = (spread / LEVELS[level].spread_in["fast"]) ** 2
    return replace(found, arsenal=tuple(replace(p, cov=p.cov * times) for p in found.arsenal))


def usual_strikes(level: str, spread: float | None = None) -> tuple[float, float]:
    """Return the strikes of a level's usual plan; see `strikes`."""
    usual = league.load(level)
    return strikes(plan([hitter.average(level)], usual_pitcher(level, spread), usual))


def strikes(made: Plan) -> tuple[float, float]:
    """Return a plan's shares of strikes against the habit: of first pitches, of all."""
    game = made.solved.tables
    chances = np.einsum(
        "bsc,bsl,bsclk->bsk",
        made.solved.mix[0, :, :, 0], game.habit[0, :, :, 0], game.outcomes[0, :, :, 0],
    )  # fmt: skip
    thrown, come = np.zeros((4, 3)), np.zeros((5, 4))
    come[0, 0] = 1.0
    for balls, taken in sorted(np.ndindex(4, 3), key=sum):
        ball, strike, foul = chances[balls, taken, :3]
        thrown[balls, taken] = come[balls, taken] / (1.0 - foul if taken == 2 else 1.0)
        come[balls + 1, taken] += thrown[balls, taken] * ball
        come[balls, taken + 1] += thrown[balls, taken] * (strike + foul * (taken < 2))
    found = chances[..., 1:4].sum(axis=-1)
    return float(found[0, 0]), float((thrown * found).sum() / thrown.sum())


def spread_for(level: str) -> float:
    """Return the fastball's spread whose plan throws the published strikes, on average of both."""
    wanted = LEVELS[level].first_strike_share, LEVELS[level].strike_share

    def over(spread: float) -> float:
        shares = zip(usual_strikes(level, spread), wanted, strict=True)
        return sum(found - share for found, share in shares if share is not None)

    return float(brentq(over, *_BETWEEN, xtol=0.05))


def middle_in_zone(level: str, spread: float | None = None) -> float:
    """Return the share of fastballs at the middle that cross the zone as it is named.

    Published shares are of that zone: 45 percent of pitches (FanGraphs library, about 2014); of
    open located pitches 44 to 48 percent cross it, 48 to 51 that of the ball's centre.
    """
    pitch, up = usual_pitcher(level, spread).arsenal[0], LEVELS[level].zone.half_height_in
    return sum(
        share * _within(HALF_WIDTH_IN, cov[0, 0]) * _within(up, cov[1, 1])
        for share, _, cov in pitch.mixture()
    )


def _within(inches: float, variance: float) -> float:
    return erf(inches / sqrt(2.0 * variance))


def main() -> None:
    """Print every level's strikes beside the published ones, and the spread that meets them."""
    say = sys.stdout.write
    say("level     spread  first pitches  all pitches  needs  middle in the zone\n")
    for name, known in LEVELS.items():
        first, every = usual_strikes(name)
        wanted = _said(known.first_strike_share), _said(known.strike_share)
        needs = f"{spread_for(name):.1f}" if known.strike_share else "-"
        say(
            f"{name:8}  {known.spread_in['fast']:6.1f}  {first:.3f} ({wanted[0]})  "
            f"{every:.3f} ({wanted[1]})  {needs:>5}  {middle_in_zone(name):.3f}\n"
        )
    say(f"published: in brackets; of professionals at 3-0 in the zone {ZONE_AT_THREE_AND_NONE}\n")


def _said(share: float | None) -> str:
    return "-" if share is None else f"{share:.3f}"


if __name__ == "__main__":
    main()
