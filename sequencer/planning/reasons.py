"""Why a call: one line in plain words, from the numbers of the very call.

What the look expects comes from the looks that are played here; what the call does is the part of
its runs that beats the other calls by most.
"""

from typing import Final

import numpy as np

from sequencer.planning.arrays import Bools, Floats
from sequencer.planning.looks import Look, expecting
from sequencer.planning.stages import BALL, END, FOUL, HIT_BY_PITCH, STRIKE

#: Runs below which a part of a call's worth is not a reason (assumption).
MATTERS: Final = 0.002
_PARTS: Final = ("ball", "strike", "foul", "contact")


def why(
    call: int,
    outcomes: Floats,
    end_runs: Floats,
    after: Floats,
    looks_mix: Floats,
    looks: tuple[Look, ...],
    allowed: Bools,
) -> str:
    """Return one line on a call in one state.

    Parameters
    ----------
    call : int
        Which call.
    outcomes : array (calls, looks, 5)
        Chances of ball, strike, foul, end and hit by pitch here.
    end_runs : array (calls, looks)
    after : array (calls, 3)
        Runs after a ball, a strike and a foul on each call.
    looks_mix : array (looks,)
        What he brings to the pitch here.
    looks : tuple of Look
    allowed : array (calls,)
        The calls it is held against.
    """
    chances = np.einsum("clk,l->ck", outcomes, looks_mix)
    ends = np.einsum("cl,cl,l->c", outcomes[..., END], end_runs, looks_mix)
    edge = _edges(call, chances, ends, after, allowed)
    return f"{_expects(looks_mix, looks)}; {_does(call, chances, ends, edge, allowed)}"


def _expects(mix: Floats, looks: tuple[Look, ...]) -> str:
    """What he brings, from the shares of taking and the mean belief of his swings."""
    takes = float(sum(share for share, look in zip(mix, looks, strict=True) if _is_take(look)))
    if takes > 0.5:
        return "he is mostly taking"
    swings = [(share, look.belief) for share, look in zip(mix, looks, strict=True) if share > 0.0]
    total = sum(share for share, _ in swings) - takes
    belief = sum(share * belief for share, belief in swings if belief > 0.0) / max(total, 1e-9)
    return f"he is {expecting(belief)}"


def _is_take(look: Look) -> bool:
    return look.readiness == "take"


def _edges(
    call: int, chances: Floats, ends: Floats, after: Floats, allowed: Bools
) -> dict[str, float]:
    """Runs that each part saves against the mean of the calls allowed, positive for the pitcher.

    Each part is held against the worth of the mean call, so that the parts add up.
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
    level = parts.sum(axis=1)[allowed].mean() / chances[allowed][:, :HIT_BY_PITCH].sum(axis=1).mean()
    relative = parts - level * chances[:, [BALL, STRIKE, FOUL, END]]
    saved = relative[allowed].mean(axis=0) - relative[call]
    return dict(zip(_PARTS, (float(x) for x in saved), strict=True))


def _does(
    call: int, chances: Floats, ends: Floats, edge: dict[str, float], allowed: Bools
) -> str:
    """The part that saves most, with its number beside the other calls' mean."""
    part = max(edge, key=lambda name: edge[name])
    if edge[part] < MATTERS:
        return "no worse than the others, and it keeps him guessing"
    others = chances[allowed].mean(axis=0)
    mine = chances[call]
    if part == "contact":
        return _contact(mine, others, float(ends[call]), float(ends[allowed].mean()))
    words = {
        "ball": f"a ball {_often(mine[BALL])}, the other calls {_often(others[BALL])}",
        "strike": f"strike or miss {_often(mine[STRIKE])}, the other calls {_often(others[STRIKE])}",
        "foul": f"fouled off {_often(mine[FOUL])}, the other calls {_often(others[FOUL])}",
    }
    return words[part]


def _contact(mine: Floats, others: Floats, runs: float, mean_runs: float) -> str:
    if mine[END] < others[END]:
        return f"put in play {_often(mine[END])}, the other calls {_often(others[END])}"
    if runs < mean_runs:
        return "what he puts in play does little"
    return "no worse than the others, and it keeps him guessing"


def _often(chance: float) -> str:
    """A chance as times in a hundred."""
    return f"{100 * chance:.0f} in 100"
