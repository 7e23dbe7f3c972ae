"""Does a tell that is seen or not give a type away? Exact tests within games and bullpens."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from sequencer.review.effect import GAMES_FROM, RESAMPLES
from sequencer.review.exact import exact_test, more_needed, smallest_share
from sequencer.review.question import the
from sequencer.review.statistics import wilson
from sequencer.review.tell_words import needs_more, others, told

#: Where what was seen is no likely tell, one is looked for that differs by this much (chosen here:
#: half of the pitches is a plain tell, one an opponent would wait for).
PLAIN: Final = 0.5
#: From this difference on, what was seen is what is looked for.
_LIKELY: Final = 0.25
#: More than this is not asked of anyone: a season's pitches of one type (common practice).
MOST_MORE: Final = 256

#: (game or bullpen, type, whether it was seen) of a pitch on which a tell was watched.
Look = tuple[str, str, bool]


@dataclass(frozen=True)
class SeenTell:
    """A tell held against one type and all the others.

    Attributes
    ----------
    tell, pitch : str
    seen, watched, other_seen, other_watched : int
        On the type, and on the pitcher's other types.
    units : int
        Games and bullpens in which it was watched; the test compares within them.
    p, q : float or None
        Exact, two-sided; over everything asked of the pitcher. None where no count of tells could
        have been found with so few watched.
    flagged : bool
    present : bool
        Whether seeing it, or not seeing it, says the type.
    right, usual : float or None
        How often an observer who so names the type is right among the pitches watched, and how
        often the type came; None where he never would have.
    interval : tuple of two float
        95 %, Wilson's, or by drawing games and bullpens again where that is wider.
    could_find : float or None
        Smallest share on the type that would have been found four times in five, the others as
        seen; None when not even a tell on every one would.
    needs : int or None
        How many more of the type, watched, would find it as often; None when that many is not the
        way (more than `MOST_MORE`, or too few of the others). Taken without strata.
    says, fix : str
    same_as : str
        The flagged type without which nothing is left of this: the same tell, seen another way.
    """

    tell: str
    pitch: str
    seen: int
    watched: int
    other_seen: int
    other_watched: int
    units: int
    p: float | None
    q: float | None
    flagged: bool
    present: bool
    right: float | None
    usual: float
    interval: tuple[float, float]
    could_find: float | None
    needs: int | None
    says: str
    fix: str = ""
    same_as: str = ""


@dataclass(frozen=True)
class Asked:
    """A tell and a type before it is known what else was asked: its counts and its exact p."""

    tell: str
    pitch: str
    looks: tuple[Look, ...]
    p: float
    askable: bool


def ask(tell: str, looks: Sequence[Look]) -> list[Asked]:
    """Return a tell asked of every type; of two types once, of the one that shows it more.

    Not askable is what cannot reach 5 % whatever was seen, at the margins there are (Tarone 1990,
    Biometrics 46, 515-522).
    """
    types = sorted({pitch for _, pitch, _ in looks})
    if len(types) == 2:
        share = {each: _share(looks, each) for each in types}
        types = [max(types, key=lambda each: share[each])]
    asked = []
    for pitch in types:
        test = exact_test(_tables(looks, pitch))
        asked.append(Asked(tell, pitch, tuple(looks), test.either, test.least <= 0.05))
    return asked


def p_without(asked: Asked, types: Collection[str]) -> float:
    """Return the exact p of a tell and a type when the pitches of other types are left out."""
    looks = [look for look in asked.looks if look[1] not in types]
    return exact_test(_tables(looks, asked.pitch)).either


def _share(looks: Sequence[Look], pitch: str) -> float:
    seen = [shown for _, thrown, shown in looks if thrown == pitch]
    return sum(seen) / len(seen)


def _tables(
    looks: Sequence[Look], pitch: str
) -> np.ndarray[tuple[int, int, int], np.dtype[np.int64]]:
    """Return a table of each game or bullpen: the type and the rest, seen and not."""
    units = {unit: place for place, unit in enumerate(dict.fromkeys(unit for unit, _, _ in looks))}
    tables = np.zeros((len(units), 2, 2), dtype=np.int64)
    for unit, thrown, shown in looks:
        tables[units[unit], int(thrown != pitch), int(not shown)] += 1
    return tables


def answer(asked: Asked, q: float | None, level: float, flag: float, seed: int) -> SeenTell:
    """Return what a tell says of a type.

    Parameters
    ----------
    q : float or None
        None for what could not be asked.
    level : float
        Two-sided level of one question, for what could have been found.
    flag : float
        q from which on it is told as one.
    """
    (seen, unseen), (other_seen, other_unseen) = (
        _tables(asked.looks, asked.pitch).sum(axis=0).tolist()
    )
    watched, other_watched = seen + unseen, other_seen + other_unseen
    share, other = seen / watched, other_seen / other_watched
    present = share >= other
    right, interval = _right(asked, present, seed)
    flagged = q is not None and q <= flag
    found = smallest_share(watched, other_watched, other, level)
    likely = abs(share - other) >= _LIKELY
    aim = share if likely else other + PLAIN if other <= 1 - PLAIN else other - PLAIN
    needs = 0 if flagged else more_needed(watched, other_watched, aim, other, level, most=MOST_MORE)
    usual = watched / (watched + other_watched)
    often = "" if present else "less "
    counts = (
        f"{told(asked.tell)} {often}on {the(asked.pitch)}: {seen} of {watched} against "
        f"{other_seen} of {others(other_watched)}."
    )
    after = (
        _acted(asked.pitch, present, right, interval, usual)
        if flagged
        else _doubt(asked, q, needs, likely, found)
    )
    return SeenTell(
        tell=asked.tell,
        pitch=asked.pitch,
        seen=seen,
        watched=watched,
        other_seen=other_seen,
        other_watched=other_watched,
        units=len({unit for unit, _, _ in asked.looks}),
        p=None if q is None else asked.p,
        q=q,
        flagged=flagged,
        present=present,
        right=right,
        usual=usual,
        interval=interval,
        could_find=found,
        needs=needs,
        says=f"{counts} {after}".strip(),
    )


def _acted(
    pitch: str, present: bool, right: float | None, interval: tuple[float, float], usual: float
) -> str:
    if right is None:
        return ""
    low, high = (100 * end for end in interval)
    return (
        f"Whoever looks for {the(pitch)} when he {'sees it' if present else 'does not see it'} is "
        f"right {100 * right:.0f} times in 100 ({low:.0f} to {high:.0f}); without it "
        f"{100 * usual:.0f}."
    )


def _doubt(
    asked: Asked, q: float | None, needs: int | None, likely: bool, found: float | None
) -> str:
    start = "That can be chance" if q is not None else "Too few to tell"
    if needs is None:
        return f"{start}; more of all his pitches have to be watched."
    if needs:
        sought = "it" if likely else "one that is there half the time more"
        return f"{start}; to find {sought} {needs_more(needs, asked.pitch)}"
    if q is None:
        return f"{start}: watch {the(asked.pitch)} and his others in the same game or bullpen."
    if likely or found is None:
        return f"{start}."
    return f"{start}; one on {100 * found:.0f} of 100 would most likely have been found."


def _right(asked: Asked, present: bool, seed: int) -> tuple[float | None, tuple[float, float]]:
    """Return how often the type came when the tell said so, and an interval."""
    acted = [(unit, pitch == asked.pitch) for unit, pitch, shown in asked.looks if shown == present]
    if not acted:
        return None, (0.0, 1.0)
    right = sum(came for _, came in acted)
    low, high = wilson(right, len(acted))
    units = list(dict.fromkeys(unit for unit, _ in acted))
    if len(units) >= GAMES_FROM:
        by_unit = np.zeros((len(units), 2))
        for unit, came in acted:
            by_unit[units.index(unit)] += (came, 1)
        rng = np.random.default_rng(seed)
        draws = rng.multinomial(len(units), np.full(len(units), 1 / len(units)), size=RESAMPLES)
        drawn = draws @ by_unit
        ends = np.quantile(drawn[:, 0] / drawn[:, 1], (0.025, 0.975))
        low, high = min(low, float(ends[0])), max(high, float(ends[1]))
    return right / len(acted), (low, high)
