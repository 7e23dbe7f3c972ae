"""What coaches do by hand, as mixes of the same calls in the same states as a plan's."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from sequencer.baseball.count import COUNT_GROUPS, COUNTS, HITTERS_COUNTS
from sequencer.baseball.pitches import FAMILIES, TYPES
from sequencer.baseball.zone import TARGETS, Zone, aim_uv, target_uv
from sequencer.estimates.league import League
from sequencer.estimates.pitcher import PitcherBelief
from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.calls import Call
from sequencer.planning.outcomes import Tables
from sequencer.planning.solved import Solved

#: Pitches that the league's mix counts for in what a pitcher has called in a group of counts
#: (assumption, the same as for a reader's tally).
LEAGUE_COUNTS: Final = 20.0
#: Where a coach aims by custom, first choice first (common practice, no source).
FASTBALL_AWAY: Final = ("away", "belt-away", "low-away", "down-away", "high-away", "middle")
OTHER_AWAY: Final = ("low-away", "down-away", "away", "low", "belt-away", "middle")

_GROUPS: Final = tuple(COUNT_GROUPS)
#: Place in `COUNT_GROUPS` of each count.
GROUP_OF: Final = np.array(
    [next(i for i, g in enumerate(_GROUPS) if c in COUNT_GROUPS[g]) for c in COUNTS]
)


@dataclass(frozen=True)
class Past:
    """What a pitcher has been asked to throw, one entry a pitch.

    Attributes
    ----------
    pitch, target : tuples of str
        Type and target in the hitter's words; an empty word is unknown.
    count : tuple of int
        3 * balls + strikes.
    """

    pitch: tuple[str, ...] = ()
    target: tuple[str, ...] = ()
    count: tuple[int, ...] = ()

    def __len__(self) -> int:
        return len(self.pitch)


NO_PAST: Final = Past()


def permitted(tables: Tables) -> Bools:
    """Return which calls the coach's rules leave, (hitters, 12, calls)."""
    left: Bools = tables.allowed[:, None, :] & (tables.ruled <= 0.0)
    return left


def fastball_away(tables: Tables, pitcher: PitcherBelief) -> Floats:
    """Throw the fastball away at 0-0 and in hitter's counts, else the best other pitch.

    That is the one he throws most strikes with, down and away.
    """
    fast, other = _main(tables.calls, pitcher)
    early = [count == (0, 0) or count in HITTERS_COUNTS for count in COUNTS]
    orders = [
        _order(tables.calls, *((fast, FASTBALL_AWAY) if one else (other, OTHER_AWAY)))
        for one in early
    ]
    left = permitted(tables)
    first = [left[:, n, order].argmax(axis=1) for n, order in enumerate(orders)]
    chosen = np.stack([order[at] for order, at in zip(orders, first, strict=True)], axis=1)
    return _states(tables, np.eye(len(tables.calls))[chosen])


def favourite(solved: Solved) -> Floats:
    """Make one call in each count, the best: what a hitter who knows it makes least of.

    Later counts are taken to be pitched as planned, so that it is as good a favourite as can be.
    """
    tables, values = solved.tables, solved.game.blank_values()
    values[:, :4, :3] = solved.safe
    left = permitted(tables)
    chosen = np.empty(left.shape[:2], dtype=np.intp)
    for balls, strikes in COUNTS:
        runs = solved.game.first_stage(values, balls, strikes).max(axis=2)
        n = 3 * balls + strikes
        chosen[:, n] = np.where(left[:, n], runs, np.inf).argmin(axis=1)
    return _states(tables, np.eye(len(tables.calls))[chosen])


def league_mix(tables: Tables, league: League, zone: Zone) -> Floats:
    """Throw what the league does in each count, of the pitches he has, at the nearest targets."""
    return _states(tables, _within(_league_shares(tables.calls, league, zone), permitted(tables)))


def past_mix(tables: Tables, past: Past, league: League, zone: Zone) -> Floats:
    """Throw what he has been asked for in each group of counts, shrunk to the league's mix."""
    usual = _league_shares(tables.calls, league, zone)
    counted = np.zeros((len(_GROUPS), len(tables.calls)))
    for pitch, target, count in zip(past.pitch, past.target, past.count, strict=True):
        counted[GROUP_OF[count]] += _as_calls(tables.calls, pitch, target, usual[count])
    shares = counted[GROUP_OF] + LEAGUE_COUNTS * usual
    return _states(tables, _within(shares, permitted(tables)))


def _main(calls: tuple[Call, ...], pitcher: PitcherBelief) -> tuple[str, str]:
    """Return his fastball and his best other pitch; he may have only one."""
    names = list(dict.fromkeys(call.pitch for call in calls))
    strikes = {name: pitcher.pitch(name).strike_share for name in names}
    fast = [name for name in names if TYPES[name] == "fast"] or names
    first = max(fast, key=lambda name: strikes[name])
    others = [name for name in names if TYPES[name] != "fast" and name != first] or fast
    return first, max(others, key=lambda name: strikes[name])


def _order(calls: tuple[Call, ...], pitch: str, targets: tuple[str, ...]) -> Ints:
    """Return calls from the one that is wanted to those it is far from."""
    rank = {target: n for n, target in enumerate(targets)}
    keys = [(call.pitch != pitch, rank.get(call.target, len(rank))) for call in calls]
    return np.array(sorted(range(len(calls)), key=keys.__getitem__), dtype=np.intp)


def _league_shares(calls: tuple[Call, ...], league: League, zone: Zone) -> Floats:
    """(12, calls): the league's families by count, each shared evenly among his types of it.

    Each part of where the league's pitches go falls to the target nearest to its middle.
    """
    shares = np.zeros((12, len(calls)))
    for f, family in enumerate(FAMILIES):
        types = list(dict.fromkeys(call.pitch for call in calls if call.family == family))
        of_family = league.mix.family[f].reshape(12, 1) * league.mix.weights[f].reshape(12, -1)
        for name in types:
            own = np.array([i for i, call in enumerate(calls) if call.pitch == name])
            aimed = np.array([aim_uv(calls[i].target, zone) for i in own])
            away = league.mix.means[f][:, None] - aimed
            nearest = own[(away**2).sum(axis=-1).argmin(axis=1)]
            for part, call in enumerate(nearest):
                shares[:, call] += of_family[:, part] / len(types)
    whole: Floats = shares / shares.sum(axis=1, keepdims=True)
    return whole


def _as_calls(calls: tuple[Call, ...], pitch: str, target: str, usual: Floats) -> Floats:
    """Share one pitch among the calls it may have been, (calls,); nought for one he has not.

    A target that is not offered is the nearest that is; an unknown one is where the league's go.
    """
    family = TYPES.get(pitch, "")
    own = np.array([call.pitch == pitch for call in calls])
    if not own.any():
        own = np.array([call.family == family for call in calls])
    if not own.any():
        return np.zeros(len(calls))
    if target not in TARGETS:
        aimed = np.where(own, usual, 0.0) if (usual * own).sum() else own.astype(np.float64)
        return np.asarray(aimed / aimed.sum(), dtype=np.float64)
    here = np.array(target_uv(target))
    away = np.array([((np.array(target_uv(call.target)) - here) ** 2).sum() for call in calls])
    nearest = (own & (away <= away[own].min())).astype(np.float64)
    return np.asarray(nearest / nearest.sum(), dtype=np.float64)


def _within(shares: Floats, left: Bools) -> Floats:
    """Keep (12, calls) to what the rules leave, (hitters, 12, calls), each count a whole again."""
    kept = np.where(left, shares, 0.0)
    kept = np.where(kept.sum(axis=-1, keepdims=True) > 0.0, kept, left)
    whole: Floats = kept / kept.sum(axis=-1, keepdims=True)
    return whole


def _states(tables: Tables, by_count: Floats) -> Floats:
    """(hitters, 4, 3, lasts, calls) of (hitters, 12, calls): alike after every last pitch."""
    hitters, calls = len(tables.ruled), len(tables.calls)
    whole = by_count.reshape(hitters, 4, 3, 1, calls)
    repeated: Floats = np.repeat(whole, len(tables.lasts), axis=3)
    return repeated
