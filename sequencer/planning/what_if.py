"""What if: a call the coach prefers, in some counts, always or as often as he says; what it costs.

Two costs, both in runs a plate appearance. If the hitter can count on it: the at-bat is solved
again with that much of it given, everything else at its best, and held against the solved plan. If
it comes as a surprise: it is called against what he brings to the plan as it stands.
"""

import re
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from sequencer.baseball.count import Count
from sequencer.errors import BadInput
from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.at_bat import evaluate_tables
from sequencer.planning.calls import Call, Wanted
from sequencer.planning.coach import read_wanted, where_said
from sequencer.planning.factored import FactoredGame
from sequencer.planning.looks import Look
from sequencer.planning.open_games import OpenSolution, solve_open
from sequencer.planning.reasons import ALIKE, POINTS, State, against
from sequencer.planning.solved import RULED_OUT, Solved
from sequencer.planning.stages import COUNTS_BACKWARD, END, TWO_STRIKES
from sequencer.planning.suggest import Ready

#: Runs to which two-strike states, which fouls tie to themselves, are carried (a chosen precision),
#: and the steps that takes at most: fouls keep a third or so of what is left.
_PRECISION: Final = 1e-9
_STEPS: Final = 100
#: Runs per 100 plate appearances too few to be told from nothing.
_NOTHING: Final = 0.05
_SHARE: Final = re.compile(r"^(?:(\d+)\s+(?:in|of)\s+(100|10)|(\d+)\s*%|(half))(?:\s+of)?\s+")


@dataclass(frozen=True, slots=True)
class Preferred:
    """What the coach would rather call: a call, in some counts, so often (1 is always)."""

    call: Wanted
    counts: tuple[Count, ...]
    share: float = 1.0

    def __str__(self) -> str:
        often = "" if self.share == 1.0 else f"{100 * self.share:.0f} in 100 "
        return f"{often}{self.call} {where_said(self.counts)}"


@dataclass(frozen=True, slots=True)
class Answer:
    """What a preferred call costs against one hitter.

    Attributes
    ----------
    preferred : Preferred
    hitter : str
    known, surprise : float
        Runs a plate appearance: if he can count on it, and if it comes as a surprise.
    why : str
        One line from its numbers, in the first of its counts.
    knowing : str
        What he would best bring if he knew of it.
    note : str
        What the question was taken for, when not as it was asked.
    """

    preferred: Preferred
    hitter: str
    known: float
    surprise: float
    why: str
    knowing: str
    note: str = ""

    @property
    def says(self) -> str:
        """The answer in one sentence."""
        known, surprise = 100.0 * self.known, 100.0 * self.surprise
        if known < _NOTHING:
            cost = "costs nothing, even if he can count on it"
        else:
            cost = f"costs {known:.1f} per 100 times up if he can count on it, {_cost(surprise)}"
        told = f"; if he knows it he is {self.knowing}" if known >= _NOTHING else ""
        why = "" if told and self.why == ALIKE else f"; {self.why}"
        noted = f" ({self.note})" if self.note else ""
        return f"{self.preferred}: {cost}{why}{told}{noted}"

    def as_json(self) -> dict[str, Any]:
        """Return the answer as JSON values."""
        return {
            "call": str(self.preferred.call),
            "counts": [str(count) for count in self.preferred.counts],
            "share": self.preferred.share,
            "cost_known": self.known,
            "cost_surprise": self.surprise,
            "says": self.says,
        }


def _cost(surprise: float) -> str:
    if surprise <= -_NOTHING:
        return f"saves {-surprise:.1f} if it comes as a surprise"
    return f"{max(surprise, 0.0):.1f} if it comes as a surprise"


def read_preferred(text: str) -> Preferred:
    """Read a question such as `curveball 0-0`, `3 of 10 changeup away when behind`.

    Raises
    ------
    BadInput
        If the call, the place, the counts or the share is not known.
    """
    words = " ".join(text.lower().split()).removeprefix("what if ").rstrip("?")
    often = _SHARE.match(words)
    share = 1.0
    if often:
        part, whole, percent, _ = often.groups()
        share = int(part) / int(whole) if part else int(percent) / 100.0 if percent else 0.5
    if not 0.0 < share <= 1.0:
        raise BadInput(f"'{text}' asks for none, or more than all: say 3 of 10, or no number.")
    call, counts = read_wanted(words[often.end() :] if often else words)
    return Preferred(call, counts, share)


def what_if(solved: Solved, preferred: Preferred, names: tuple[str, ...]) -> tuple[Answer, ...]:
    """Return what a preferred call costs against each hitter of a solved plan.

    Parameters
    ----------
    solved : Solved
    preferred : Preferred
    names : tuple of str
        Of the hitters.

    Raises
    ------
    BadInput
        If the plan has no such call, or the coach's own rules leave it out.
    """
    calls = solved.tables.calls
    meant, note = _meant(calls, preferred.call)
    if not (meant & solved.tables.allowed).any(axis=1).all():
        raise BadInput(f"Your rules leave no {preferred.call}: take them back to ask about it.")
    game = solved.game
    forced, looks = _forced(game, solved.safe, meant, preferred)
    known = np.maximum(forced - solved.safe[:, 0, 0, 0], 0.0)
    picked, surprise = _surprise(game, solved, meant, preferred)
    states = [Ready(solved, h).state(preferred.counts[0]) for h in range(len(names))]
    return tuple(
        Answer(
            preferred,
            name,
            float(known[h]),
            float(surprise[h]),
            against(int(picked[h]), states[h]),
            _brings(states[h], looks[h], int(picked[h])),
            note,
        )
        for h, name in enumerate(names)
    )


def _brings(state: State, brought: Look, call: int) -> str:
    """Say what he would bring if he knew of it, and how much more he would put in play."""
    if brought.readiness == "take":
        return "taking"
    like = [
        i for i, one in enumerate(state.looks) if one._replace(belief=brought.belief) == brought
    ]
    look = min(like, key=lambda i: abs(state.looks[i].belief - brought.belief))
    ends = state.outcomes[call, :, END]
    mine, now = 100.0 * float(ends[look]), 100.0 * float(ends @ state.brings)
    more = f" and puts {mine:.0f} in 100 in play, now {now:.0f}" if mine - now >= POINTS else ""
    return brought.says + more


def _meant(calls: tuple[Call, ...], wanted: Wanted) -> tuple[Bools, str]:
    """Return which calls are meant, and a note where he cannot aim as finely as was asked."""
    named = np.array([wanted.names(call) for call in calls])
    if not named.any():
        held = ", ".join(dict.fromkeys(call.pitch for call in calls))
        raise BadInput(f"There is no {wanted.pitch} in this plan: it has {held}.")
    aimed = named & np.array([wanted.aims(call) for call in calls])
    if aimed.any():
        return aimed, ""
    side = wanted.target.replace("off-", "").rpartition("-")[2]
    coarse = named & np.array([Wanted(wanted.pitch, side).aims(call) for call in calls])
    if side in ("in", "away") and coarse.any():
        return coarse, f"he cannot aim it so finely: taken as {wanted.pitch} {side}"
    return named, f"he cannot aim it there: taken as any {wanted.pitch}"


def _forced(
    game: FactoredGame, safe: Floats, meant: Bools, preferred: Preferred
) -> tuple[Floats, list[Look]]:
    """Return runs of an at-bat with so much of the calls given, (hitters,), and his best looks.

    These are what each hitter brings most to the first of the counts.
    """
    values = game.blank_values()
    values[:, :4, :3] = safe
    looks: list[Look] = []
    for balls, strikes in COUNTS_BACKWARD:
        before = [c for c in preferred.counts if c.balls >= balls and c.strikes >= strikes]
        if not before:
            continue  # no preferred call can come after this count
        share = preferred.share if (balls, strikes) in preferred.counts else 0.0
        near: OpenSolution | None = None
        for _ in range(_STEPS if strikes == TWO_STRIKES else 1):
            near = _stage(game, values, (balls, strikes), meant, share, near)
            found = near.value.reshape(game.sizes[:2])
            moved = float(np.abs(found - values[:, balls, strikes]).max())
            values[:, balls, strikes] = found
            if moved < _PRECISION:
                break
        if (balls, strikes) == preferred.counts[0] and near is not None:
            looks = [near.most_played(h * game.sizes[1]) for h in range(len(safe))]
    return values[:, 0, 0, 0], looks


def _stage(
    game: FactoredGame,
    values: Floats,
    count: tuple[int, int],
    meant: Bools,
    share: float,
    near: OpenSolution | None,
) -> OpenSolution:
    """Solve a count's states, starting near a solution.

    Giving a share to some calls is the game whose rows are pairs: one of them for the share, any
    call for the rest.
    """
    rest = np.flatnonzero(game.allowed.any(axis=0)) if share < 1.0 else np.zeros(1, dtype=np.intp)
    own = np.flatnonzero(meant) if share > 0.0 else np.zeros(1, dtype=np.intp)
    first, second = (axis.ravel() for axis in np.meshgrid(own, rest, indexing="ij"))
    may = game.allowed[:, first] | (share == 0.0)
    may &= game.allowed[:, second] | (share == 1.0)
    games = game.open_games(game.whole_terms(values, *count), 3 * count[0] + count[1])
    allowed = np.repeat(may, game.sizes[1], axis=0)
    return solve_open(games.paired(first, second, share, allowed), near)


def _surprise(
    game: FactoredGame, solved: Solved, meant: Bools, preferred: Preferred
) -> tuple[Ints, Floats]:
    """Return the best of the calls in the first count, (hitters,), and what it costs unforeseen."""
    trust = solved.trust[:, None, None, None, None]
    brings = trust * solved.tables.habit + (1.0 - trust) * solved.looks
    now = evaluate_tables(game, solved.mix, brings).value
    values = game.blank_values()
    values[:, :4, :3] = now
    mix, picked = solved.mix.copy(), np.zeros(len(now), dtype=np.intp)
    barred = ~(meant & solved.tables.allowed)[:, None, :]
    for balls, strikes in preferred.counts:
        runs = np.matmul(game.stage(values, balls, strikes), brings[:, balls, strikes, :, :, None])
        meant_runs = np.where(barred, np.inf, runs[..., 0])
        best = meant_runs.argmin(axis=2)
        if (meant_runs.min(axis=2) - runs[..., 0].min(axis=2)).max() > RULED_OUT / 2.0:
            raise BadInput(f"Your rules leave no {preferred}: take them back to ask about it.")
        called = np.eye(mix.shape[-1])[best]
        mix[:, balls, strikes] *= 1.0 - preferred.share
        mix[:, balls, strikes] += preferred.share * called
        if (balls, strikes) == preferred.counts[0]:
            picked = best[:, 0]
    return picked, evaluate_tables(game, mix, brings).value[:, 0, 0, 0] - now[:, 0, 0, 0]
