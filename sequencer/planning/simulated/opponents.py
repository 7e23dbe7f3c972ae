"""Hitters of several minds, each a policy of looks in every state: count and last pitch.

Policies are held as looks weigh parts: (hitters, 12, lasts, 2 * parts), see `faced`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np

from sequencer.baseball.count import CARD_ROWS, COUNT_GROUPS, COUNTS, card_row
from sequencer.estimates.hitter import HitterBelief
from sequencer.estimates.minds import MINDS
from sequencer.estimates.next_pitch import Seen
from sequencer.estimates.reading import Reading
from sequencer.planning import beliefs as beliefs_room
from sequencer.planning.arrays import Bools, Floats, Ints
from sequencer.planning.beliefs import FAST, HIGHEST, LOWEST, NODES, SOFT
from sequencer.planning.factored import FactoredGame
from sequencer.planning.lasts import shown
from sequencer.planning.looks import KINDS, PARTS
from sequencer.planning.outcomes import Tables
from sequencer.planning.simulated.by_hand import GROUP_OF, LEAGUE_COUNTS
from sequencer.planning.simulated.sampler import Played

BEST_REPLY: Final = "best reply"
READS: Final = "reads the log"
GUESSES: Final = "guesses by count"
HABIT: Final = "his habit"
#: Every mind, the most dangerous first, and what it is.
OPPONENTS: Final = MappingProxyType(
    {
        BEST_REPLY: "knows the mix of every count and looks for what gains most over the at-bat",
        READS: "learns the mix from the log by count, side and last pitch, and replies best to it",
        GUESSES: "sits on what the log shows most, fastball or soft, in such counts",
        HABIT: "looks as the book says he does",
        "sits fastball": "always looks for a fastball, takes and protects as he does by habit",
        "sits soft": "always looks for a soft pitch, takes and protects as he does by habit",
        "random": "takes, drives or protects by chance, looking for anything anywhere",
    }
)

#: What a hitter at the plate can go by of what a dugout sees.
_SEES: Final = ("bats", "card row", "count", "previous")
_READERS: Final = tuple(mind for mind in MINDS if set(mind.contexts) <= set(_SEES))
_CARD_ROW: Final = np.array([tuple(CARD_ROWS).index(card_row(count)) for count in COUNTS])
_DRIVE, _PROTECT = KINDS.index(("drive", "whole")), KINDS.index(("protect", "whole"))


def habit(game: FactoredGame) -> Floats:
    """Look as every hitter of a game usually does."""
    by_side = np.moveaxis(game.factors.habit_parts, 0, 2)
    usual = by_side.reshape(*by_side.shape[:2], 1, 2 * PARTS)
    repeated: Floats = np.repeat(usual, game.sizes[1], axis=2)
    return repeated


def sits(hitters: Sequence[HitterBelief], belief: Floats, lasts: int) -> Floats:
    """Look with a belief in each count, (12,); how ready they are is their habit."""
    take = np.stack([one.take_share.reshape(12) for one in hitters])
    protect = np.stack([one.protect.reshape(12) for one in hitters])
    policy = np.zeros((len(hitters), 12, 2, PARTS))
    policy[..., 0] = take[..., None]
    for side in (FAST, SOFT):
        nodes = beliefs_room.weights(belief, side)
        for kind, ready in ((_DRIVE, 1.0 - protect), (_PROTECT, protect)):
            shares = ((1.0 - take) * ready)[..., None] * nodes
            policy[:, :, side, _nodes(kind)] += shares
    return _every_last(policy, lasts)


def at_random(game: FactoredGame) -> Floats:
    """Take, drive or protect alike often, with any belief and area alike; takes as patience goes.

    What patience does not let him take he swings at, either way alike.
    """
    ceiling = game.factors.ceiling
    taken = ceiling / 3.0
    policy = np.zeros((*ceiling.shape, 2, PARTS))
    policy[..., 0] = taken[..., None]
    grid = np.array(beliefs_room.BELIEFS)
    by_ready = {ready: sum(one == ready for one, _ in KINDS) for ready, _ in KINDS}
    for side in (FAST, SOFT):
        nodes = beliefs_room.weights(grid, side).mean(axis=0)
        for kind, (ready, _) in enumerate(KINDS):
            share = (1.0 - taken) / len(by_ready) / by_ready[ready]
            policy[:, :, side, _nodes(kind)] = share[..., None] * nodes
    return _every_last(policy, game.sizes[1])


def unlearned(game: FactoredGame, hitters: Sequence[HitterBelief]) -> dict[str, Floats]:
    """Return the policies that hang on nothing that was pitched."""
    lasts = game.sizes[1]
    return {
        HABIT: habit(game),
        "sits fastball": sits(hitters, np.full(12, HIGHEST), lasts),
        "sits soft": sits(hitters, np.full(12, LOWEST), lasts),
        "random": at_random(game),
    }


@dataclass(frozen=True, eq=False)
class Watched:
    """What a dugout makes of a log of pitches.

    Attributes
    ----------
    guess : array (12,)
        The chance of a fast pitch that he who guesses by count gives.
    read : array (hitters, 4, 3, lasts, calls)
        The mix of calls that he who reads the log expects.
    """

    guess: Floats
    read: Floats

    def guesses(self, hitters: Sequence[HitterBelief], lasts: int) -> Floats:
        """Return the looks of him who guesses by count."""
        return sits(hitters, self.guess, lasts)


def watch(log: Played, tables: Tables, bats: Sequence[str], usual: Floats) -> Watched:
    """Let a dugout read a log pitch by pitch.

    Speed and side of the next pitch are read as `estimates.reading` does, by what is seen at the
    plate. Which target of these it will be is counted over the whole log.

    Parameters
    ----------
    log : Played
        The pitcher's last pitches, to hitters of the tables.
    tables : Tables
    bats : sequence of str
        R or L of each hitter.
    usual : array (12, calls)
        What is expected before anything was seen: the league's mix.
    """
    fast = np.array([tables.seen_as.get(c.pitch, c.family) == "fast" for c in tables.calls])
    return Watched(_guess(log, fast, usual), _read(log, tables, bats, usual))


def _guess(log: Played, fast: Bools, usual: Floats) -> Floats:
    """(12,): sure of what was thrown most in such counts, by the league where none was seen."""
    share = usual @ fast
    seen = np.zeros((len(COUNT_GROUPS), 2))
    np.add.at(seen, (GROUP_OF[3 * log.balls + log.strikes], fast[log.call].astype(np.intp)), 1.0)
    soft, quick = (seen[GROUP_OF] + np.column_stack([1.0 - share, share])).T
    return np.where(quick >= soft, HIGHEST, LOWEST)


def _read(log: Played, tables: Tables, bats: Sequence[str], usual: Floats) -> Floats:
    label = _labels(tables)
    side = np.array([one == "L" for one in bats], dtype=np.int64)
    count = (3 * log.balls + log.strikes).astype(np.int64)
    columns = {
        "bats": side[log.hitter],
        "card row": _CARD_ROW[count],
        "count": count,
        "previous": log.last.astype(np.int64),
    }
    nobody = np.zeros(len(log), dtype=np.int64)
    seen = Seen(label[log.call], int(label.max()) + 1, columns, nobody)
    chances = _expected(Reading.of(seen, _READERS), sorted(set(side.tolist())), tables)
    counts = np.bincount(log.call, minlength=label.size) + LEAGUE_COUNTS * usual.mean(axis=0)
    of_label = np.bincount(label, weights=counts)
    within = np.where(of_label[label] > 0.0, counts / np.maximum(of_label[label], 1e-12), 0.0)
    own = np.array([chances[one] for one in side.tolist()])
    mix = own[..., label] * within
    shape = (len(bats), 4, 3, len(tables.lasts), label.size)
    whole: Floats = (mix / mix.sum(axis=-1, keepdims=True)).reshape(shape)
    return whole


def _labels(tables: Tables) -> Ints:
    """Return what each call shows, speed and side, by number: (calls,)."""
    seen = [shown(call, tables.seen_as.get(call.pitch, call.family)) for call in tables.calls]
    words = [f"{one.speed} {one.side}" for one in seen]
    every = tuple(dict.fromkeys(words))
    return np.array([every.index(word) for word in words], dtype=np.int64)


def _expected(reading: Reading, sides: Sequence[int], tables: Tables) -> dict[int, Floats]:
    """By side hit from, (12, lasts, labels): what is expected in every state."""
    lasts = range(len(tables.lasts))
    return {
        side: np.array(
            [
                [
                    reading.expect(
                        {
                            "bats": side,
                            "card row": int(_CARD_ROW[count]),
                            "count": count,
                            "previous": last,
                        }
                    ).reader
                    for last in lasts
                ]
                for count in range(12)
            ]
        )
        for side in sides
    }


def _nodes(kind: int) -> slice:
    return slice(1 + NODES * kind, 1 + NODES * (kind + 1))


def _every_last(policy: Floats, lasts: int) -> Floats:
    """(hitters, 12, lasts, 2 * parts) of (hitters, 12, 2, parts): alike after every last pitch."""
    flat = policy.reshape(*policy.shape[:2], 1, 2 * PARTS)
    repeated: Floats = np.repeat(flat, lasts, axis=2)
    return repeated
