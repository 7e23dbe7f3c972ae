"""Why a call: one line in plain words, from the numbers of the very call.

What he looks for comes from the looks that are played here, what the call does is the part of its
runs that beats the other calls by most, and what a miss costs is the worth of a ball. Nothing is
said that these numbers do not carry.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from sequencer.planning.arrays import Bools, Floats
from sequencer.planning.looks import TAKE, Look, expecting
from sequencer.planning.stages import BALL, END, FOUL, STRIKE

#: Runs below which a part of a call's worth is not a reason, and points of a hundred below which a
#: difference is not worth saying (assumptions).
MATTERS: Final = 0.001
POINTS: Final = 2.0
_PARTS: Final = (BALL, STRIKE, FOUL, END)
_EVEN: Final = "as good as the others here, and it keeps him guessing"
_HITS: Final = "what he hits off it"
#: Said against a call that no part of its runs speaks against.
ALIKE: Final = "much like the others here"
_WORDS: Final = {
    BALL: "a ball",
    STRIKE: "a strike looking or swinging",
    FOUL: "fouled off",
    END: "put in play",
}


@dataclass(frozen=True, eq=False)
class State:
    """The numbers of one state, one hitter.

    Attributes
    ----------
    outcomes : array (calls, looks, 5)
        Chances of ball, strike, foul, end and hit by pitch.
    end_runs : array (calls, looks)
    after : array (calls, 3)
        Runs after a ball, a strike and a foul on each call.
    brings : array (looks,)
        What he brings to the pitch: his mix of looks.
    looks : tuple of Look
    allowed : array (calls,)
    value : float
        Runs from here.
    """

    outcomes: Floats
    end_runs: Floats
    after: Floats
    brings: Floats
    looks: tuple[Look, ...]
    allowed: Bools
    value: float


def why(call: int, state: State) -> str:
    """Return one line on a call in one state."""
    cost = float(state.after[call, 0]) - state.value
    return f"{_expects(state)}; {_does(call, state)}; a ball costs {cost:.2f} runs"


def _expects(state: State) -> str:
    """Say what he brings, from the share of taking and the mean belief of his swings."""
    takes = sum(
        float(share)
        for share, look in zip(state.brings, state.looks, strict=True)
        if look.readiness == TAKE.readiness
    )
    if takes > 0.5:
        return "he is mostly taking"
    belief = sum(
        float(share) * look.belief
        for share, look in zip(state.brings, state.looks, strict=True)
        if look.readiness != TAKE.readiness
    )
    return f"he is {expecting(belief / (1.0 - takes))}"


def _does(call: int, state: State) -> str:
    """Say the part that saves most against the other calls, with its number beside theirs."""
    if not _others(call, state).any():
        return "the only call left"
    part = _part(call, state, 1.0)
    if not part:
        return _EVEN
    return part if part.startswith(_HITS) else f"this is {part}"


def against(call: int, state: State) -> str:
    """Say the part that costs most against the other calls, with its number beside theirs."""
    if not _others(call, state).any():
        return "the only call left"
    return _part(call, state, -1.0) or ALIKE


def _others(call: int, state: State) -> Bools:
    others = state.allowed.copy()
    others[call] = False
    return others


def _part(call: int, state: State, sign: float) -> str:
    """Say the part that saves (or with -1 costs) most and matters; empty when none does."""
    others = _others(call, state)
    chances = np.einsum("clk,l->ck", state.outcomes, state.brings)
    ends = np.einsum("cl,cl,l->c", state.outcomes[..., END], state.end_runs, state.brings)
    saved = _saved(call, others, chances, ends, state.after)
    for part in sorted(_PARTS, key=lambda one: -sign * saved[one]):
        mine, theirs = 100 * chances[call, part], 100 * chances[others, part].mean()
        if sign * saved[part] < MATTERS:
            break
        if part == END and _by_what_it_does(call, others, chances, ends, sign):
            than = "less" if sign > 0.0 else "more"
            return f"{_HITS} does {than} than off the others"
        if abs(mine - theirs) >= POINTS:
            return f"{_WORDS[part]} {mine:.0f} in 100, the others {theirs:.0f}"
    return ""


def _saved(
    call: int, others: Bools, chances: Floats, ends: Floats, after: Floats
) -> dict[int, float]:
    """Return runs each part saves against the mean of the other calls, positive for the pitcher.

    Parts are held against the worth of the mean other call, so that they add up to its edge.
    """
    parts = np.stack(
        [
            chances[:, BALL] * after[:, 0],
            chances[:, STRIKE] * after[:, 1],
            chances[:, FOUL] * after[:, 2],
            ends,
        ],
        axis=1,
    )
    level = parts[others].sum(axis=1).mean()
    relative = parts - level * chances[:, list(_PARTS)]
    saved = relative[others].mean(axis=0) - relative[call]
    return dict(zip(_PARTS, (float(x) for x in saved), strict=True))


def _by_what_it_does(call: int, others: Bools, chances: Floats, ends: Floats, sign: float) -> bool:
    """Whether a ball in play saves (costs) by what it does, not by how often there is one."""
    mine = ends[call] / max(float(chances[call, END]), 1e-9)
    theirs = ends[others].sum() / max(float(chances[others, END].sum()), 1e-9)
    as_often = sign * (chances[call, END] - chances[others, END].mean()) >= 0.0
    return bool(sign * (theirs - mine) > 0.0 and as_often)
