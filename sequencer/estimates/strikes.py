"""How often a pitcher throws each pitch for a strike, over all and in any count.

What a count does to everyone is known (counted by the million); a pitcher differs from it by
himself, each of his pitches from him, and each pitch in each group of counts from itself. These
differences are normal in log odds. Given the pitch's own difference its groups are independent, so
the posterior is summed exactly on one grid, and with it the chance that the share is high enough
in every count at once.

Learnt from the first 30, 100 and 300 pitches of 162 professionals' seasons (2020, one of the three
that the spreads between pitchers come from), it beats the league's shares by count on the rest of
them by .0002, .0003 and .0006 nats a pitch (two standard errors each), and counting each group by
itself by .07, .024 and .007; 87 to 91 in 100 of the shares that followed were in its 90 % interval.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from math import log
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from sequencer.baseball import levels
from sequencer.baseball.count import COUNT_GROUPS, COUNTS, START, Count
from sequencer.baseball.count_table import COUNT_TRANSITIONS
from sequencer.baseball.pitches import family
from sequencer.baseball.zone import HALF_WIDTH_IN
from sequencer.estimates.arrays import Floats, expit
from sequencer.estimates.places import numbers, words, zone_of_rows

if TYPE_CHECKING:
    import pandas as pd

    from sequencer.baseball.levels import Level

#: Groups of counts, together all twelve.
GROUPS: Final = MappingProxyType[str, tuple[Count, ...]](
    {
        "first pitch": (START,),
        "hitter's": COUNT_GROUPS["hitter's"],
        "even": tuple(count for count in COUNT_GROUPS["even"] if count != START),
        "pitcher's": COUNT_GROUPS["pitcher's"],
        "full": COUNT_GROUPS["full"],
    }
)
#: Strike share where the level publishes none (61 and 57 per cent first pitch: a high-school
#: count), and how much lower soft pitches are (assumption).
STRIKE_SHARE: Final = 0.60
SOFT_LOWER: Final = 0.04
#: Standard deviations in log odds. Pitchers and groups: professionals, 2.1 million pitches of 2016,
#: 2019 and 2020 (pitcher-seasons of 200 pitches and more, sampling taken out; that of pitchers
#: weighs 390 pitches, the published walk share 277). Types: nine of two professionals.
PITCHER_SD: Final = 0.106
TYPE_SD: Final = 0.20
GROUP_SD: Final = MappingProxyType(
    {"first pitch": 0.108, "hitter's": 0.106, "even": 0.069, "pitcher's": 0.165, "full": 0.142}
)
#: How much wider all of these are below the professionals (assumption: with it a pitch's own
#: strikes take over from the level's after about 35).
AMATEURS_WIDER: Final = 1.5
#: In games strikes run 5 to 6 points lower than in the bullpen (fallsaces.org, 2017), here in log
#: odds at .61; the spread of that difference keeps any bullpen from being taken for games
#: (assumption: at most as much as 67 pitches of a game).
PEN_OFFSET: Final = log(0.665 / 0.335) - log(0.61 / 0.39)
PEN_SD: Final = 0.25
#: Differences in log odds, the grid of every sum.
_GRID: Final = np.arange(-2.5, 2.5001, 0.025)
_STRIKES: Final = frozenset({"called strike", "swinging strike", "foul", "foul tip", "in play"})
_BALLS: Final = frozenset({"ball", "hit by pitch"})
_NO_COUNT: Final = ""
_PEN: Final = "bullpen"


class Counted(NamedTuple):
    """Strikes in so many pitches."""

    strikes: int
    thrown: int


class ShareOf(NamedTuple):
    """A share: posterior mean, central 90 %, and the pitches counted for it."""

    mean: float
    interval: tuple[float, float]
    counted: Counted


@dataclass(frozen=True, eq=False)
class Strikes:
    """Strikes of one pitch.

    Attributes
    ----------
    pitch : str
    overall : ShareOf
        At the usual mix of counts; bullpen throws shape it, `counted` holds game pitches only.
    by_group : mapping of group -> ShareOf
    pen : Counted
        Bullpen throws with a call.
    """

    pitch: str
    overall: ShareOf
    by_group: Mapping[str, ShareOf]
    pen: Counted
    _centre: float
    _own: Floats
    _groups: Mapping[str, tuple[Floats, Floats]]

    def chance_at_least(self, mark: float, *, allowing: bool = False) -> float:
        """Return the probability that he throws it for a strike at least at `mark` in any count.

        A group of counts stands for its counts. In pitcher's counts a ball is often meant: those
        asked for off the plate are left out where targets are charted, and hold the share down
        where they are not.

        Parameters
        ----------
        mark : float
        allowing : bool
            Move the mark with what each count does to everyone: whether he is in every count at
            least what a pitcher of this mark over all counts usually is.
        """
        every = np.ones(len(_GRID))
        for group in GROUPS:
            every *= self._reaches(group, mark, allowing)
        return float(np.clip(self._own @ every, 0.0, 1.0))

    def chance_in(self, group: str, mark: float, *, allowing: bool = False) -> float:
        """Return the probability that his strikes in one group of counts are at least at `mark`.

        Raises
        ------
        KeyError
            If `group` is not one of `GROUPS`.
        """
        return float(np.clip(self._own @ self._reaches(group, mark, allowing), 0.0, 1.0))

    def chance_overall(self, mark: float) -> float:
        """Return the probability that his strikes over all counts are at least at `mark`."""
        return float(np.clip(self._own @ _above(self._centre, mark), 0.0, 1.0))

    def _reaches(self, group: str, mark: float, allowing: bool) -> Floats:
        """Chance to be at the mark in a group, for each difference of the pitch."""
        kernel, like = self._groups[group]
        centre = self._centre + (0.0 if allowing else offsets()[group])
        return np.asarray(kernel @ (like * _above(centre, mark)) / _over(kernel, like))


def strikes_of(
    games: "pd.DataFrame | None",
    pens: "pd.DataFrame | None",
    level: str,
    pitches: Sequence[str],
) -> tuple[Strikes, ...]:
    """Return what is believed of the strikes of each pitch.

    Parameters
    ----------
    games, pens : DataFrame or None
        His game pitches and bullpen throws, columns of their logs. Left out: pitch-outs,
        intentional balls, balls asked for off the plate before the pitch, and bullpen throws
        without a call.
    level : str
    pitches : sequence of str
        His types, each once.

    Raises
    ------
    BadInput
        If the level is unknown.
    """
    at = levels.level(level)
    seen = [_seen(games, pens, pitch, at) for pitch in pitches]
    return _posterior(tuple(pitches), seen, at)


def believe_counts(
    counts: Sequence[Mapping[str, Counted]], level: str, pitches: Sequence[str]
) -> tuple[Strikes, ...]:
    """Return the same from counts of strikes by group; `""` is no count known, `bullpen` a pen."""
    return _posterior(tuple(pitches), list(counts), levels.level(level))


def usual_strikes(at: "Level", kind: str) -> float:
    """Return the strike share of a family at a level, of whom nothing is known."""
    usual = STRIKE_SHARE if at.strike_share is None else at.strike_share
    return usual if kind == "fast" else usual - SOFT_LOWER


@cache
def offsets() -> Mapping[str, float]:
    """Return how much likelier strikes are in each group than over all, in log odds.

    From the counted transitions of professional plate appearances (see `count_table.SOURCE`).
    """
    visits, shares = _visits(), {count: _counted_share(count) for count in COUNTS}
    overall = _odds(COUNTS, visits, shares)
    return MappingProxyType(
        {group: _odds(counts, visits, shares) - overall for group, counts in GROUPS.items()}
    )


def _odds(
    counts: Sequence[Count], visits: Mapping[Count, float], shares: Mapping[Count, float]
) -> float:
    weight = sum(visits[count] for count in counts)
    share = sum(visits[count] * shares[count] for count in counts) / weight
    return log(share / (1.0 - share))


def _counted_share(count: Count) -> float:
    """Return the counted share of strikes in a count."""
    leads = COUNT_TRANSITIONS[str(count)]
    more = [f"{balls}-{strikes}" for balls in range(count.balls + 1, 4) for strikes in range(3)]
    balls = sum(leads.get(end, 0.0) for end in (*more, "walk", "intentional walk", "hit by pitch"))
    return 1.0 - balls / sum(leads.values())


def _visits() -> dict[Count, float]:
    """Return how many pitches a plate appearance brings in each count."""
    visits = dict.fromkeys(COUNTS, 0.0)
    visits[START] = 1.0
    for count in sorted(COUNTS, key=sum):
        leads = COUNT_TRANSITIONS[str(count)]
        total = sum(leads.values())
        visits[count] /= 1.0 - leads.get(str(count), 0.0) / total
        for to in COUNTS:
            if to != count:
                visits[to] += visits[count] * leads.get(str(to), 0.0) / total
    return visits


def _seen(
    games: "pd.DataFrame | None", pens: "pd.DataFrame | None", pitch: str, at: "Level"
) -> dict[str, Counted]:
    """Return the strikes of one pitch by group, without a count, and in the bullpen."""
    found = {} if games is None or games.empty else counted(games, pitch)
    if pens is not None and not pens.empty:
        found[_PEN] = _in_pens(pens, pitch, at)
    return found


def counted(frame: "pd.DataFrame", pitch: str) -> dict[str, Counted]:
    """Return strikes and pitches of a type by group of counts, `""` where no count is known."""
    group_of = {count: group for group, counts in GROUPS.items() for count in counts}
    sums: dict[str, list[int]] = {}
    columns = (words(frame, name) for name in ("pitch", "result", "intent"))
    counts = zip(numbers(frame, "balls").tolist(), numbers(frame, "strikes").tolist(), strict=True)
    for kind, result, intent, count, meant in zip(
        *columns, counts, _ball_meant(frame), strict=True
    ):
        if kind == pitch and not intent and not meant and result in _STRIKES | _BALLS:
            held = sums.setdefault(group_of.get(Count(*count), _NO_COUNT), [0, 0])
            held[0] += result in _STRIKES
            held[1] += 1
    return {group: Counted(*held) for group, held in sums.items()}


def _ball_meant(frame: "pd.DataFrame") -> list[bool]:
    """Return whether each pitch was asked for off the plate, before it was thrown."""
    return [
        when != "after" and any(part in target for part in ("off-", "above", "below"))
        for target, when in zip(words(frame, "target"), words(frame, "target_when"), strict=True)
    ]


def _in_pens(frame: "pd.DataFrame", pitch: str, at: "Level") -> Counted:
    """Return the strikes of bullpen throws with a call: as the catcher saw, else by the place."""
    kinds, called, targets = (words(frame, name) for name in ("pitch", "called", "target"))
    said, placed = numbers(frame, "strike"), _placed(frame, at)
    strike = np.where(np.isfinite(said), said, placed)
    meant = _ball_meant(frame)
    held = [
        strike[i]
        for i in range(len(frame))
        if kinds[i] == pitch
        and (targets[i] or called[i])
        and called[i] in ("", pitch)
        and not meant[i]
        and np.isfinite(strike[i])
    ]
    return Counted(int(sum(held)), len(held))


def _placed(frame: "pd.DataFrame", at: "Level") -> Floats:
    """Return 1 where a throw crossed in the zone, 0 where it did not, nan where nobody saw."""
    edges = zone_of_rows(frame, at.zone)
    side, height = numbers(frame, "side_in"), numbers(frame, "height_in")
    inside = (np.abs(side) <= HALF_WIDTH_IN) & (height <= edges[:, 0]) & (height >= edges[:, 1])
    out = np.where(np.isfinite(side) & np.isfinite(height), inside.astype(float), np.nan)
    for i, cell in enumerate(words(frame, "cell")):
        if np.isnan(out[i]) and cell not in ("", "unknown"):
            out[i] = float(not any(part in cell for part in ("off-", "above", "below")))
    return out


@cache
def _kernel(sd: float) -> Floats:
    """Return the chance of each grid point given each other, normal differences, rows sum to 1."""
    rows = np.exp(-0.5 * ((_GRID[None, :] - _GRID[:, None]) / max(sd, 0.01)) ** 2)
    return np.asarray(rows / rows.sum(axis=1, keepdims=True))


def _power(found: Counted, centre: float) -> Floats:
    """Return the log likelihood of the strikes for each difference, its largest value nought."""
    p = expit(centre + _GRID)
    power = found.strikes * np.log(p) + (found.thrown - found.strikes) * np.log1p(-p)
    return np.asarray(power - power.max())


def _like(found: Counted, centre: float) -> Floats:
    """Return the likelihood of the strikes for each difference, its largest value one."""
    return np.exp(_power(found, centre))


def _over(kernel: Floats, like: Floats) -> Floats:
    """Return the likelihood summed over what a group may differ by, never quite nought."""
    return np.maximum(kernel @ like, 1e-300)


def _above(centre: float, mark: float) -> Floats:
    """Return how much of each grid cell's share is at or above a mark."""
    if not 0.0 < mark < 1.0:
        return np.full(len(_GRID), float(mark <= 0.0))
    edge = log(mark / (1.0 - mark)) - centre
    step = float(_GRID[1] - _GRID[0])
    return np.clip((_GRID - edge) / step + 0.5, 0.0, 1.0)


def _posterior(
    pitches: tuple[str, ...], seen: Sequence[Mapping[str, Counted]], at: "Level"
) -> tuple[Strikes, ...]:
    """Return the strikes of every pitch: each leans on the pitcher's others."""
    wider = 1.0 if at.name == "pro" else AMATEURS_WIDER
    centres = [_centre(pitch, at) for pitch in pitches]
    sums = [_groups_of(found, centre, wider) for found, centre in zip(seen, centres, strict=True)]
    likes = [_own_like(found, groups, centre) for found, groups, centre in zip(
        seen, sums, centres, strict=True)]  # fmt: skip
    between = _kernel(TYPE_SD * wider)
    told = [np.log(_over(between, like)) for like in likes]
    prior = -0.5 * (_GRID / (PITCHER_SD * wider)) ** 2
    out = []
    for i, pitch in enumerate(pitches):
        others = prior + sum((t for j, t in enumerate(told) if j != i), np.zeros(len(_GRID)))
        pitcher = np.exp(others - others.max())
        own = likes[i] * (pitcher @ between)
        out.append(_strikes(pitch, centres[i], own / own.sum(), sums[i], seen[i]))
    return tuple(out)


def _centre(pitch: str, at: "Level") -> float:
    usual = usual_strikes(at, family(pitch))
    return log(usual / (1.0 - usual))


def _groups_of(
    found: Mapping[str, Counted], centre: float, wider: float
) -> dict[str, tuple[Floats, Floats]]:
    """Return, for each group, how it may differ from the pitch, and its likelihood."""
    return {
        group: (
            _kernel(GROUP_SD[group] * wider),
            _like(found.get(group, Counted(0, 0)), centre + offset),
        )
        for group, offset in offsets().items()
    }


def _own_like(
    found: Mapping[str, Counted], groups: Mapping[str, tuple[Floats, Floats]], centre: float
) -> Floats:
    """Return the likelihood of all that was seen for each difference of the pitch."""
    power = _power(found.get(_NO_COUNT, Counted(0, 0)), centre)
    pen = _like(found.get(_PEN, Counted(0, 0)), centre + PEN_OFFSET)
    power = power + np.log(_over(_kernel(PEN_SD), pen))
    for kernel, like in groups.values():
        power = power + np.log(_over(kernel, like))
    return np.asarray(np.exp(power - power.max()))


def _strikes(
    pitch: str,
    centre: float,
    own: Floats,
    groups: Mapping[str, tuple[Floats, Floats]],
    found: Mapping[str, Counted],
) -> Strikes:
    by_group = {}
    for group, (kernel, like) in groups.items():
        mass = like * ((own / _over(kernel, like)) @ kernel)
        by_group[group] = _share(mass, centre + offsets()[group], found.get(group, Counted(0, 0)))
    games = [n for group, n in found.items() if group != _PEN]
    all_of = Counted(sum(n.strikes for n in games), sum(n.thrown for n in games))
    pen = found.get(_PEN, Counted(0, 0))
    overall = _share(own, centre, all_of)
    return Strikes(pitch, overall, MappingProxyType(by_group), pen, centre, own, groups)


def _share(mass: Floats, centre: float, found: Counted) -> ShareOf:
    """Return mean and central 90 % of a share whose difference has this mass on the grid."""
    mass = mass / mass.sum()
    share = expit(centre + _GRID)
    below = np.cumsum(mass) - 0.5 * mass
    low, high = np.interp([0.05, 0.95], below, share)
    return ShareOf(float(mass @ share), (float(low), float(high)), found)
