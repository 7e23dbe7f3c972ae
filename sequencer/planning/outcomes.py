"""The arrays of the at-bat game: what every call comes to against every look, in every state.

A call is spread over the plane by the pitcher's miss, and the league's steps (moved by the
hitter's traits) are integrated over it. What a belief does enters only as surprise, a shift in
the odds of a miss and of a foul, so that the steps themselves are worked out once a family.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from sequencer.baseball.zone import Zone
from sequencer.estimates.command import PitcherBelief
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.league import League
from sequencer.planning import looks as looks_room
from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.assumed import USUAL, Assumed
from sequencer.planning.calls import Call
from sequencer.planning.families import family_game
from sequencer.planning.looks import LOOKS, PARTS, TAKE, Look, place_of
from sequencer.planning.stages import END, AtBatTables, at_bat_tables
from sequencer.planning.stakes import Stakes
from sequencer.planning.throws import FamilyThrows, thrown

NONE: Final = "none"


@dataclass(frozen=True, eq=False)
class Tables:
    """The game of several hitters against one pitcher, as arrays.

    Attributes
    ----------
    outcomes
        (hitters, 4, 3, lasts, calls, looks, 5): chances of ball, strike, foul, end, hit by pitch.
    end_runs, call_runs
        (hitters, 4, 3, lasts, calls, looks): runs given an end; runs by the way.
    habit
        (hitters, 4, 3, lasts, looks): the usual mix of looks.
    next_last
        (calls,): what each call shows the next pitch.
    allowed
        (hitters, calls): the calls in use.
    calls, looks, lasts
        What the axes stand for; last 0 is none.
    stakes
        What an end is worth.
    """

    outcomes: Floats
    end_runs: Floats
    call_runs: Floats
    habit: Floats
    next_last: Ints
    allowed: Bools
    calls: tuple[Call, ...]
    looks: tuple[Look, ...]
    lasts: tuple[str, ...]
    stakes: Stakes

    def game(self, trust: float | Floats = 0.0) -> AtBatTables:
        """Return the tables as the solver takes them; trust is one for all or (hitters,)."""
        return at_bat_tables(
            self.outcomes,
            self.end_runs,
            self.next_last,
            self.stakes.walk,
            self.stakes.strikeout,
            self.stakes.hit_by_pitch,
            call_runs=self.call_runs,
            habit=self.habit,
            trust=trust,
            allowed=self.allowed,
        )

    def with_looks(self, kept: Ints) -> "Tables":
        """Return the game on some of its looks; the habit must use no other."""
        return replace(
            self,
            outcomes=self.outcomes[..., kept, :],
            end_runs=self.end_runs[..., kept],
            call_runs=self.call_runs[..., kept],
            habit=self.habit[..., kept],
            looks=tuple(self.looks[k] for k in kept),
        )


def tables(
    hitters: Sequence[HitterBelief],
    pitcher: PitcherBelief,
    league: League,
    calls: tuple[Call, ...],
    stakes: Stakes,
    zone: Zone,
    *,
    allowed: Bools | None = None,
    last_pitch: bool = True,
    assumed: Assumed = USUAL,
) -> Tables:
    """Work out the game of every hitter against one pitcher.

    Parameters
    ----------
    hitters : sequence of HitterBelief
    pitcher : PitcherBelief
    league : League
    calls : tuple of Call
        Every call considered, each of a pitch of this pitcher.
    stakes : Stakes
        What ends and runs by the way are worth, in the average or a real situation.
    zone : Zone
        The zone that targets are aimed in.
    allowed : array (calls,), optional
        Calls that may be used; all when absent.
    last_pitch : bool
        Whether what the last pitch showed may matter.
    assumed : Assumed
        What no data at hand can settle.
    """
    lasts, next_last, repeats = _lasts(calls, last_pitch)

    def thrown_to(bats: str) -> tuple[FamilyThrows, ...]:
        return thrown(pitcher, calls, zone, bats)

    sizes = (len(hitters), 4, 3, len(lasts), len(calls), len(LOOKS))
    outcomes, end_runs, call_runs = np.empty((*sizes, 5)), np.empty(sizes), np.empty(sizes)
    habit = np.empty((*sizes[:4], len(LOOKS)))
    picked = (repeats.astype(np.intp), slice(None), np.arange(len(calls)))
    by_side = {bats: thrown_to(bats) for bats in {hitter.bats for hitter in hitters}}
    for h, hitter in enumerate(hitters):
        one = one_hitter(hitter, league, by_side[hitter.bats], stakes, zone, assumed)
        outcomes[h] = np.moveaxis(one.outcomes[picked], 2, 0).reshape(*sizes[1:], 5)
        end_runs[h] = np.moveaxis(one.end_runs[picked], 2, 0).reshape(sizes[1:])
        call_runs[h] = one.call_runs.reshape(4, 3, 1, *sizes[4:])
        habit[h] = looks_room.habit(hitter, league)[:, :, None, :]
    mask = np.ones(len(calls), dtype=bool) if allowed is None else allowed
    return Tables(
        outcomes,
        end_runs,
        call_runs,
        habit,
        next_last,
        np.tile(mask, (len(hitters), 1)),
        calls,
        LOOKS,
        lasts,
        stakes,
    )


def last_shown(call: Call) -> str:
    """Return what a call shows the next pitch: its speed and side, such as ``fast away``."""
    return f"{'fast' if call.family == 'fast' else 'soft'} {call.side}"


def _lasts(calls: tuple[Call, ...], last_pitch: bool) -> tuple[tuple[str, ...], Ints, Bools]:
    """Names of the last pitches, what each call leaves, and where (lasts, calls) it pays.

    Only speed and side bear on the next pitch, so families of one speed share a state.
    """
    if not last_pitch:
        return (NONE,), np.zeros(len(calls), dtype=np.intp), np.zeros((1, len(calls)), dtype=bool)
    shown = [last_shown(call) for call in calls]
    lasts = (NONE, *dict.fromkeys(shown))
    other = {"fast": "soft", "soft": "fast"}
    wanted = [f"{other[speed]} {side}" for speed, side in (word.split() for word in shown)]
    aside = [call.side != "middle" for call in calls]
    repeats = np.array([[want == last for want in wanted] for last in lasts]) & np.array(aside)
    return lasts, np.array([lasts.index(word) for word in shown], dtype=np.intp), repeats


@dataclass(frozen=True, eq=False)
class OneHitter:
    """Arrays of one hitter, by (no repeat, repeat) x count.

    outcomes: (2, 12, calls, looks, 5); end_runs: (2, 12, calls, looks); call_runs: (12, calls,
    looks).
    """

    outcomes: Floats
    end_runs: Floats
    call_runs: Floats


def one_hitter(
    hitter: HitterBelief,
    league: League,
    throws: tuple[FamilyThrows, ...],
    stakes: Stakes,
    zone: Zone,
    assumed: Assumed = USUAL,
) -> OneHitter:
    """Work out the game of one hitter against thrown calls, no repeat and repeat apart."""
    calls = sum(one.members.size for one in throws)
    shape = (2, 12, calls, len(PARTS))
    chances, runs, by_the_way = np.zeros((*shape, 5)), np.zeros(shape), np.zeros(shape[1:])
    for family in throws:
        part = family_game(hitter, league, family, stakes, zone, assumed)
        chances[:, :, family.members] = part.chances
        runs[:, :, family.members] = part.runs
        by_the_way[:, family.members] = part.by_the_way
    ceiling = looks_room.take_ceiling(hitter, league).reshape(12)
    rest = looks_room.rests(hitter).reshape(12, -1, len(PARTS))
    held = (1.0 - ceiling[:, None, None]) * rest
    held[..., place_of(TAKE)] = ceiling[:, None]
    runs, by_the_way = _with_takes(runs, held), _with_takes(by_the_way, held)
    chances = np.stack([_with_takes(chances[..., k], held) for k in range(5)], axis=-1)
    ends = chances[..., END]
    end_runs = np.divide(runs, ends, out=np.zeros_like(runs), where=ends > 0.0)
    return OneHitter(chances, end_runs, by_the_way)


def _with_takes(parts: Floats, held: Floats) -> Floats:
    """Make looks (..., 12, calls, looks) of parts (..., 12, calls, parts).

    `held`, (12, takes, parts), is each take as far as patience goes and the rest of it. Runs must
    come times the chance of an end, so that everything mixes linearly.
    """
    takes = np.matmul(parts, held.swapaxes(-1, -2))
    usual, chosen = takes[..., :1], takes[..., 1:]
    return np.concatenate([usual, parts[..., 1:], chosen], axis=-1)
