"""What the pitch before showed, and what that does to this one: set here and nowhere else.

A state of the at-bat remembers as much of the last pitch as `Memory.state` says, and `effects` say
what of it pays. Last pitches after which nothing pays are one state with none.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from sequencer.planning.arrays import Floats, Ints
from sequencer.planning.assumed import Assumed
from sequencer.planning.calls import Call

NONE: Final = "none"
_ROWS: Final = {"up": ("up", "above", "high"), "down": ("down", "below", "low")}


class Shown(NamedTuple):
    """What a hitter sees of a call: speed (fast, soft), side (in, middle, away), height."""

    speed: str
    side: str
    height: str


def shown(call: Call, family: str) -> Shown:
    """Return what a call shows; `family` is what the hitter takes the pitch for."""
    words = call.target.split("-")
    rows = [row for row, names in _ROWS.items() if any(name in words for name in names)]
    return Shown("fast" if family == "fast" else "soft", call.side, (*rows, "belt")[0])


class Effect(NamedTuple):
    """Something the last pitch does to a miss: when (last, this), and by how many log odds."""

    name: str
    applies: Callable[[Shown, Shown], bool]
    log_odds: Callable[[Assumed], float]


@dataclass(frozen=True, eq=False)
class Memory:
    """What is remembered of the last pitch, and what pays.

    Attributes
    ----------
    state : callable
        The name of what was shown. Pitches of one name must have the same effects.
    effects : tuple of Effect
    """

    state: Callable[[Shown], str]
    effects: tuple[Effect, ...]


def _crossed_over(last: Shown, now: Shown) -> bool:
    return last.speed != now.speed and last.side == now.side != "middle"


USUAL: Final = Memory(
    lambda seen: f"{seen.speed} {seen.side}",
    (
        Effect(
            "same side, other speed", _crossed_over, lambda assumed: assumed.same_side_other_speed
        ),
    ),
)
NOTHING: Final = Memory(lambda seen: NONE, ())


@dataclass(frozen=True, eq=False)
class Lasts:
    """The last pitches that a game tells apart.

    Attributes
    ----------
    names : tuple of str
        The first is none.
    next_last : array (calls,)
        Which of them each call leaves.
    kinds : array (lasts, calls)
        Which of `log_odds` a call gains after a last pitch.
    log_odds : array (kinds,)
        What is added to the log odds of a miss; the first is nothing.
    """

    names: tuple[str, ...]
    next_last: Ints
    kinds: Ints
    log_odds: Floats


def lasts_of(
    calls: Sequence[Call], families: Sequence[str], memory: Memory, assumed: Assumed
) -> Lasts:
    """Return what calls show one another.

    Parameters
    ----------
    calls : sequence of Call
    families : sequence of str
        What the hitter takes each call for.
    memory : Memory
    assumed : Assumed
    """
    seen = [shown(call, family) for call, family in zip(calls, families, strict=True)]
    states = {memory.state(one): one for one in seen}
    paying = {
        name: [tuple(effect.applies(last, now) for effect in memory.effects) for now in seen]
        for name, last in states.items()
    }
    nothing = (False,) * len(memory.effects)
    told = {name: kinds for name, kinds in paying.items() if any(map(any, kinds))}
    names = (NONE, *told)
    every = list(dict.fromkeys([nothing, *(kind for kinds in told.values() for kind in kinds)]))
    by_last = [[nothing] * len(seen), *told.values()]
    sizes = np.array([effect.log_odds(assumed) for effect in memory.effects])
    left = [memory.state(one) for one in seen]
    return Lasts(
        names,
        np.array([names.index(name) if name in told else 0 for name in left], dtype=np.intp),
        np.array([[every.index(kind) for kind in kinds] for kinds in by_last], dtype=np.intp),
        np.array([float(sizes @ np.array(kind, dtype=float)) for kind in every]),
    )
