"""Does a measured tell give a type away? Rank tests within games and bullpens, and areas."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import comb
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from sequencer.baseball.tells import TELLS
from sequencer.review.question import the
from sequencer.review.statistics import area_interval, permutation_p
from sequencer.review.tell_seen import MOST_MORE
from sequencer.review.tell_words import needs_more, told

Floats = NDArray[np.float64]

#: Shuffles behind a p that is not exact.
SHUFFLES: Final = 3999
#: Where what was measured is no likely tell, an area this far from a guess is looked for (chosen
#: here: a pair told apart three times in four).
_PLAIN: Final = 0.25
#: From this far on, what was measured is what is looked for.
_LIKELY: Final = 0.15
#: Most pairs of pitches for which the exact law of the rank sum is worked out.
_EXACT_UP_TO: Final = 2500

#: (game or bullpen, type, number) of a pitch on which a tell was measured.
Measure = tuple[str, str, float]


@dataclass(frozen=True)
class MeasuredTell:
    """A number held against one type and all the others.

    Attributes
    ----------
    tell, pitch, unit : str
        `unit` is what the number is in, "" where that is not known.
    measured, other_measured : int
    median, other_median, mean, other_mean : float
    units : int
        Games and bullpens in which it was measured; ranks are compared within them.
    p, q : float or None
        Two-sided; over everything asked of the pitcher. None where no order of the numbers could
        have been found with so few.
    flagged : bool
    area : float
        Area under the ROC curve: how often a pitch of the type has the larger number of a pair
        thrown the same day, halves for ties. .5 tells nothing; towards 0 the type has the smaller.
    interval : tuple of two float
        95 % of the area.
    could_find : float or None
        Smallest area above .5 that would have been found four times in five; None when not even 1.
    needs : int or None
        How many more of the type, measured, would find an area as far from .5; None when that is
        not the way. Both after Noether (1987), JASA 82, 645-647, without strata.
    says, fix : str
    same_as : str
        The flagged type without which nothing is left of this: the same tell, seen another way.
    """

    tell: str
    pitch: str
    unit: str
    measured: int
    other_measured: int
    median: float
    other_median: float
    mean: float
    other_mean: float
    units: int
    p: float | None
    q: float | None
    flagged: bool
    area: float
    interval: tuple[float, float]
    could_find: float | None
    needs: int | None
    says: str
    fix: str = ""
    same_as: str = ""


@dataclass(frozen=True)
class Gauged:
    """A measured tell and a type before it is known what else was asked."""

    tell: str
    pitch: str
    measures: tuple[Measure, ...]
    area: float
    p: float
    askable: bool


@dataclass(frozen=True)
class _Unit:
    """The numbers of one game or bullpen: of the type, and of the rest."""

    ones: Floats
    rest: Floats

    @property
    def ranks(self) -> Floats:
        """Ranks of all numbers, the type's first; ties share theirs."""
        from scipy.stats import rankdata

        ranks: Floats = rankdata(np.concatenate([self.ones, self.rest]))
        return ranks

    @property
    def pairs(self) -> int:
        return len(self.ones) * len(self.rest)

    @property
    def larger(self) -> float:
        """Pairs in which the type has the larger number (Mann and Whitney's U)."""
        ones = len(self.ones)
        return float(self.ranks[:ones].sum() - ones * (ones + 1) / 2)


def gauge(tell: str, measures: Sequence[Measure], rng: np.random.Generator) -> list[Gauged]:
    """Return a measured tell asked of every type; of two types once, of the rarer.

    Nothing of a type that no game or bullpen has beside another. Not askable is what cannot reach
    5 % whatever the order of the numbers.
    """
    types = sorted({pitch for _, pitch, _ in measures})
    if len(types) == 2:
        thrown = [pitch for _, pitch, _ in measures]
        types = [min(types, key=thrown.count)]
    gauged = []
    for pitch in types:
        units = _units(measures, pitch)
        if not units:
            continue
        pairs = sum(unit.pairs for unit in units)
        area = sum(unit.larger for unit in units) / pairs
        orders = 1
        for unit in units:
            orders *= comb(len(unit.ones) + len(unit.rest), len(unit.ones))
        p = rank_p([(unit.ones, unit.rest) for unit in units], rng)
        gauged.append(Gauged(tell, pitch, tuple(measures), area, p, 2 / orders <= 0.05))
    return gauged


def _units(measures: Sequence[Measure], pitch: str) -> list[_Unit]:
    """Return the games and bullpens in which the type and others were measured."""
    units = []
    for name in dict.fromkeys(unit for unit, _, _ in measures):
        here = [(thrown == pitch, value) for unit, thrown, value in measures if unit == name]
        ones = np.array([value for is_one, value in here if is_one], dtype=float)
        rest = np.array([value for is_one, value in here if not is_one], dtype=float)
        if len(ones) and len(rest):
            units.append(_Unit(ones, rest))
    return units


def rank_p(units: Sequence[tuple[Floats, Floats]], rng: np.random.Generator) -> float:
    """Return the two-sided p of rank sums within strata.

    Parameters
    ----------
    units : sequence of (ones, rest)
        The numbers of each stratum.

    Notes
    -----
    One stratum without ties: the exact law (Mann and Whitney 1947). Else types are shuffled within
    strata, each stratum's rank sum weighed by 1 / (its size + 1) (van Elteren 1960).
    """
    if len(units) == 1:
        ones, rest = units[0]
        untied = len(np.unique(np.concatenate(units[0]))) == len(ones) + len(rest)
        if untied and len(ones) * len(rest) <= _EXACT_UP_TO:
            from scipy.stats import mannwhitneyu

            return float(mannwhitneyu(ones, rest, method="exact").pvalue)
    off = 0.0
    shuffled = np.zeros(SHUFFLES)
    for ones, rest in units:
        ranks = _Unit(ones, rest).ranks
        weighed = (ranks - ranks.mean()) / (len(ranks) + 1)
        off += float(weighed[: len(ones)].sum())
        deals = rng.permuted(np.tile(weighed, (SHUFFLES, 1)), axis=1)
        shuffled += deals[:, : len(ones)].sum(axis=1)
    return permutation_p(int((np.abs(shuffled) >= abs(off) - 1e-9).sum()), SHUFFLES)


def p_without(gauged: Gauged, types: Collection[str], rng: np.random.Generator) -> float:
    """Return the p of a measured tell and a type when the pitches of other types are left out."""
    left = [each for each in gauged.measures if each[1] not in types]
    units = _units(left, gauged.pitch)
    return rank_p([(unit.ones, unit.rest) for unit in units], rng) if units else 1.0


def report(gauged: Gauged, q: float | None, level: float, flag: float) -> MeasuredTell:
    """Return what a measured tell says of a type; the arguments are those of `tell_seen.answer`."""
    ones = np.array([value for _, pitch, value in gauged.measures if pitch == gauged.pitch])
    rest = np.array([value for _, pitch, value in gauged.measures if pitch != gauged.pitch])
    units = _units(gauged.measures, gauged.pitch)
    compared = sum(len(unit.ones) for unit in units), sum(len(unit.rest) for unit in units)
    flagged = q is not None and q <= flag
    known = TELLS.get(gauged.tell)
    unit = known.unit if known else ""
    interval = area_interval(gauged.area, *compared)
    likely = abs(gauged.area - 0.5) >= _LIKELY
    found = 0.5 + smallest_lead(*compared, level)
    needs = 0 if flagged else _more(*compared, abs(gauged.area - 0.5) if likely else _PLAIN, level)
    counts = _counts(gauged, unit, ones, rest)
    after = (
        _named(gauged.area, interval)
        if flagged
        else _doubt(gauged.pitch, q, needs, likely, found if found < 1 else None)
    )
    return MeasuredTell(
        tell=gauged.tell,
        pitch=gauged.pitch,
        unit=unit,
        measured=len(ones),
        other_measured=len(rest),
        median=float(np.median(ones)),
        other_median=float(np.median(rest)),
        mean=float(ones.mean()),
        other_mean=float(rest.mean()),
        units=len(units),
        p=None if q is None else gauged.p,
        q=q,
        flagged=flagged,
        area=gauged.area,
        interval=interval,
        could_find=found if found < 1 else None,
        needs=needs,
        says=f"{counts} {after}",
    )


def smallest_lead(ones: int, rest: int, level: float, power: float = 0.8) -> float:
    """Return how far an area is from .5 that a rank test at a two-sided `level` finds (Noether)."""
    reach = float(ndtri(1 - level / 2) + ndtri(power))
    return reach * float(np.sqrt((1 / ones + 1 / rest) / 12))


def _more(ones: int, rest: int, lead: float, level: float) -> int | None:
    """Return how many more of the type find an area `lead` from .5, None for more than a season."""
    if smallest_lead(ones, rest, level) <= lead:
        return 0
    spare = 12 * lead**2 / (ndtri(1 - level / 2) + ndtri(0.8)) ** 2 - 1 / rest
    if spare <= 0 or 1 / spare - ones > MOST_MORE:
        return None
    return int(np.ceil(1 / spare)) - ones


def _counts(gauged: Gauged, unit: str, ones: Floats, rest: Floats) -> str:
    with_unit = f" {unit}" if unit else ""
    return (
        f"{told(gauged.tell)} on {the(gauged.pitch)}: {np.median(ones):.3g}{with_unit} against "
        f"{np.median(rest):.3g} (middle of {len(ones)} and of {len(rest)} others)."
    )


def _named(area: float, interval: tuple[float, float]) -> str:
    low, high = interval
    if area < 0.5:
        area, low, high = 1 - area, 1 - high, 1 - low
    return (
        "Of one such pitch and one other of the same day it names the right one "
        f"{100 * area:.0f} times in 100 ({100 * low:.0f} to {100 * high:.0f}); 50 is a guess."
    )


def _doubt(
    pitch: str, q: float | None, needs: int | None, likely: bool, found: float | None
) -> str:
    start = "That can be chance" if q is not None else "Too few to tell"
    if needs is None:
        return f"{start}; more of all his pitches have to be measured."
    if needs:
        sought = "it" if likely else "one that names three pairs of four"
        return f"{start}; to find {sought} {needs_more(needs, pitch)}"
    if likely or found is None:
        return f"{start}."
    return f"{start}; one that names {100 * found:.0f} pairs of 100 would most likely be found."
