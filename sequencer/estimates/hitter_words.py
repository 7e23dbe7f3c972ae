"""What is believed of a hitter in a coach's words: what sets him apart, and what is not known."""

from math import erf, sqrt
from typing import Final

import numpy as np

from sequencer.estimates.arrays import Floats
from sequencer.estimates.traits import INDEX, TRAIT_TABLE

#: The traits a coach asks for first.
MAIN: Final = ("contact", "power", "chase", "zone_swing")
USUAL: Final = "the level's usual hitter"
#: How notes begin that say marks and pitches disagree.
BY_THE_MARKS: Final = "Marks and pitches disagree"
#: Chances at which a thing is said to be sure or fairly sure, and below which it is not said.
_SURE, _FAIRLY, _WORTH_SAYING = 0.975, 0.85, 0.7
#: Prior spreads from the league at which a trait is worth saying; share of its spread that a trait
#: keeps while nothing is known of it; the most that are said.
_APART: Final = 0.35
_UNKNOWN: Final = 0.9
_MOST_SAID: Final = 3
#: Marks and pitches disagree at this chance of the opposite; or when this share of what the marks
#: said is gone and chance alone would do so seldom (two-sided 5 %).
_OPPOSITE: Final = 0.9
_MOST_GONE: Final = 2 / 3
_UNLIKELY: Final = 1.96


def says(start: Floats, mean: Floats, sd: Floats, prior: Floats, n: int) -> tuple[str, ...]:
    """Return the traits farthest from the league and how surely, and what cannot be known yet.

    Parameters
    ----------
    start : array (traits,)
        What the marks alone say.
    mean, sd : array (traits,)
        What is believed, and its spread.
    prior : array (traits,)
        Spread of the level's hitters.
    n : int
        Pitches behind it.
    """
    apart = np.abs(mean) / prior
    told = []
    for i in np.argsort(-apart, kind="stable")[:_MOST_SAID]:
        surely = _below(float(abs(mean[i]) / sd[i]))
        if apart[i] >= _APART and surely >= _WORTH_SAYING:
            marked = start[i] != 0.0 and sd[i] > _UNKNOWN * prior[i]
            how = "by the marks" if marked else _how_sure(surely)
            more = "more" if mean[i] > 0.0 else "less"
            told.append(f"{TRAIT_TABLE[i].says} {more} than most, {how}")
    unknown = [name for name in MAIN if sd[INDEX[name]] > _UNKNOWN * prior[INDEX[name]]]
    return (*(told or [_nothing(bool(start.any()), n)]), *_not_yet(unknown, n))


def _below(x: float) -> float:
    """Return the chance that a standard normal number is below x."""
    return 0.5 * (1.0 + erf(x / sqrt(2.0)))


def _how_sure(chance: float) -> str:
    return "sure" if chance >= _SURE else "fairly sure" if chance >= _FAIRLY else "perhaps"


def _counted(n: int) -> str:
    return f"{n} pitch" + "es" * (n != 1)


def _nothing(marked: bool, n: int) -> str:
    if n:
        return f"{_counted(n)}: nothing yet sets him apart from {USUAL}"
    return f"his marks do not set him apart from {USUAL}" if marked else (
        f"nothing known of him: {USUAL}"
    )  # fmt: skip


def _not_yet(unknown: list[str], n: int) -> tuple[str, ...]:
    """Say which of the main traits his pitches have not shown yet."""
    if not n or not unknown:
        return ()
    what = [TRAIT_TABLE[INDEX[name]].says for name in unknown]
    listed = " or ".join(filter(None, [", ".join(what[:-1]), what[-1]]))
    return (f"{_counted(n)} cannot tell yet whether he {listed}",)


def disagreements(
    start: Floats, mean: Floats, sd: Floats, prior: Floats, n: int
) -> tuple[str, ...]:
    """Return where pitches contradict marks, as sentences; arguments as in `says`.

    Either the opposite has become likely, nine to one, or most of what they said is gone and the
    mean has come back further than chance would move it (by about what was learnt).
    """
    said = []
    for i in np.flatnonzero(np.abs(start) > 0.5 * prior):
        sign = float(np.sign(start[i]))
        more, less = ("more", "less") if sign > 0 else ("less", "more")
        back = 1.0 - float(mean[i] / start[i])
        learnt = sqrt(max(prior[i] ** 2 - sd[i] ** 2, 1e-12))
        if _below(-sign * float(mean[i] / sd[i])) >= _OPPOSITE:
            end = f"by his {_counted(n)} {less}"
        elif back > _MOST_GONE and back * abs(start[i]) > _UNLIKELY * learnt:
            end = f"his {_counted(n)} show hardly any of it"
        else:
            continue
        said.append(
            f"{BY_THE_MARKS}: by the marks he {TRAIT_TABLE[i].says} {more} than most, {end}."
        )
    return tuple(said)
