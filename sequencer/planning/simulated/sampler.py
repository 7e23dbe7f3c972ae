"""At-bats played pitch by pitch: all at once, one pitch of each at a time."""

from dataclasses import dataclass, fields

import numpy as np

from sequencer.planning.arrays import Floats, Ints
from sequencer.planning.factored import FactoredGame
from sequencer.planning.looks import PARTS
from sequencer.planning.stages import BALL, END, FOUL, HIT_BY_PITCH, STRIKE, TWO_STRIKES

#: How an at-bat ends, in the order of `Played.end`; a pitch that ends none is nought.
GOES_ON, WALK, STRIKEOUT, IN_PLAY, HIT = range(5)


@dataclass(frozen=True, eq=False)
class Pitching:
    """What every call comes to in every state, against looks that are fixed.

    Attributes
    ----------
    chances : array (hitters, 12, lasts, calls, 5)
        Of ball, strike, foul, end, hit by pitch.
    end_runs, call_runs : arrays (hitters, 12, lasts, calls)
        Expected runs given an end; runs by the way.
    next_last : array (calls,)
    ends : array (hitters, 3)
        Runs of a walk, a strikeout and a hit by pitch.
    """

    chances: Floats
    end_runs: Floats
    call_runs: Floats
    next_last: Ints
    ends: Floats

    @classmethod
    def of(cls, game: FactoredGame, policy: Floats) -> "Pitching":
        """Read a game against looks as they weigh parts, (hitters, 12, lasts, 2 * parts)."""
        hitters, lasts = game.sizes[:2]
        parts = game.factors.parts
        by_side = np.moveaxis(policy.reshape(hitters, 12, lasts, 2, PARTS), 3, 0)
        way = parts.by_the_way + game.ruled[..., None]
        by_the_way = np.broadcast_to(way[:, :, None], parts.runs.shape)

        def read(whole: Floats) -> Floats:
            counts = [game.factors.by_call(whole[:, n], by_side[:, :, n]) for n in range(12)]
            return np.stack(counts, axis=1)

        chances = np.stack([read(part) for part in parts.chances], axis=-1)
        runs, often = read(parts.runs), chances[..., END]
        end_runs = np.divide(runs, often, out=np.zeros_like(runs), where=often > 0.0)
        ends = np.column_stack([game.walk, game.strikeout, game.hit_by_pitch])
        return cls(chances, end_runs, read(by_the_way), game.next_last, ends)


@dataclass(frozen=True, eq=False)
class Played:
    """Pitches in the order thrown, at-bat after at-bat; every array has shape (pitches,).

    Attributes
    ----------
    at_bat, hitter, balls, strikes, last, call : the state, and what was called in it.
    outcome : ball, strike, foul, end or hit by pitch.
    end : how the at-bat ended on it: see `GOES_ON`.
    runs : by the way and at the end; an end counts what it is worth on average.
    """

    at_bat: Ints
    hitter: Ints
    balls: Ints
    strikes: Ints
    last: Ints
    call: Ints
    outcome: Ints
    end: Ints
    runs: Floats

    def __len__(self) -> int:
        return len(self.call)

    def first(self, pitches: int) -> "Played":
        """Return the first of these pitches."""
        return Played(*(getattr(self, each.name)[:pitches] for each in fields(self)))


def play(pitching: Pitching, mix: Floats, up: Ints, rng: np.random.Generator) -> Played:
    """Play at-bats from 0-0 to their ends.

    Two ways of mixing calls that are played with generators of one seed meet the same chance.

    Parameters
    ----------
    pitching : Pitching
    mix : array (hitters, 4, 3, lasts, calls)
    up : array (at-bats,)
        Who hits in each.
    rng : numpy Generator
    """
    choose = np.cumsum(mix.reshape(mix.shape[0], 12, *mix.shape[3:]), axis=-1)
    come = np.cumsum(pitching.chances, axis=-1)
    balls, strikes, last = (np.zeros(len(up), dtype=np.intp) for _ in range(3))
    live, thrown = np.arange(len(up)), []
    while live.size:
        chance = rng.random((2, len(up)))[:, live]
        b, s, where = balls[live], strikes[live], (up[live], 3 * balls[live] + strikes[live])
        call = _drawn(choose[(*where, last[live])], chance[0])
        state = (*where, last[live], call)
        outcome = _drawn(come[state], chance[1])
        end = _ended(b, s, outcome)
        runs = pitching.call_runs[state] + _end_runs(pitching, state, end)
        thrown.append(Played(live, up[live], b, s, last[live], call, outcome, end, runs))
        balls[live] += outcome == BALL
        strikes[live] += (outcome == STRIKE) | ((outcome == FOUL) & (s < TWO_STRIKES))
        last[live] = pitching.next_last[call]
        live = live[end == GOES_ON]
    columns = [np.concatenate([getattr(one, each.name) for one in thrown])
               for each in fields(Played)]  # fmt: skip
    order = np.argsort(columns[0], kind="stable")
    return Played(*(column[order] for column in columns))


def _drawn(cumulated: Floats, chance: Floats) -> Ints:
    """Return which of some shares each chance falls on, (n,) for (n, shares) summed up."""
    place: Ints = (chance[:, None] * cumulated[:, -1:] >= cumulated).sum(axis=1)
    return np.asarray(np.minimum(place, cumulated.shape[1] - 1), dtype=np.intp)


def _ended(balls: Ints, strikes: Ints, outcome: Ints) -> Ints:
    ends = np.select(
        [
            (outcome == BALL) & (balls == 3),
            (outcome == STRIKE) & (strikes == TWO_STRIKES),
            outcome == END,
            outcome == HIT_BY_PITCH,
        ],
        [WALK, STRIKEOUT, IN_PLAY, HIT],
        GOES_ON,
    )
    return np.asarray(ends, dtype=np.intp)


def _end_runs(pitching: Pitching, state: tuple[Ints, ...], end: Ints) -> Floats:
    """Return what each end is worth, nought where the at-bat goes on."""
    walk, strikeout, hit = pitching.ends[state[0]].T
    runs = np.select(
        [end == WALK, end == STRIKEOUT, end == IN_PLAY, end == HIT],
        [walk, strikeout, pitching.end_runs[state], hit],
        0.0,
    )
    return np.asarray(runs, dtype=np.float64)
