"""What happens to a pitch in a league: swing, miss, foul, ball in play; taken, strike or ball."""

from dataclasses import dataclass

import numpy as np

from sequencer.estimates.arrays import Floats, expit, logit
from sequencer.estimates.traits import trait_offsets


@dataclass(frozen=True, slots=True)
class Steps:
    """What happens to one pitch at (u, v) in a count; every array has the broadcast shape.

    Attributes
    ----------
    swing : log odds of a swing by the league's (or the given) habit: takes included.
    swing_ready : log odds of a swing given that he is not taking.
    miss : log odds of a miss given a swing.
    foul : log odds of a foul given contact.
    called : log odds of a called strike given a take and no hit by pitch.
    in_play : runs of a ball in play, to the hitting side, relative to an average plate appearance.
    hit_by_pitch : probability of being hit given a take.
    """

    swing: Floats
    swing_ready: Floats
    miss: Floats
    foul: Floats
    called: Floats
    in_play: Floats
    hit_by_pitch: Floats


@dataclass(frozen=True, slots=True)
class League:
    """A level's league.

    Attributes
    ----------
    level : str
    take_share : array (4, 3): share of pitches the league's hitter takes whatever comes.
    fast_share : array (4, 3): share of fast pitches, which is also what its hitter expects.
    patience : how far above habit a hitter may take (share), the patience ceiling.
    surprise_miss, surprise_foul : log odds per nat of surprise, on a miss given a swing, a foul
    given contact.
    surprise_miss_sd, surprise_foul_sd : their standard deviations.
    mean_surprise : nats; surprise is centred on it.
    """

    level: str
    take_share: Floats
    fast_share: Floats
    patience: float
    surprise_miss: float = 0.30
    surprise_miss_sd: float = 0.13
    surprise_foul: float = 0.16
    surprise_foul_sd: float = 0.11
    mean_surprise: float = 0.60

    def steps(
        self,
        family: str,
        u: Floats,
        v: Floats,
        balls: Floats,
        strikes: Floats,
        same_side: Floats,
        traits: Floats | None = None,
        *,
        protect: Floats | None = None,
        take_share: Floats | None = None,
    ) -> Steps:
        """Return the steps of one family's pitch.

        Parameters
        ----------
        family : fast, breaking, off-speed or unknown.
        u, v, balls, strikes, same_side : arrays that broadcast; same_side is 1 when the pitcher
        throws from the side
            he hits from.
        traits : (traits,) vector of a hitter, none for the league's.
        protect : 1 where he protects, 0 where he drives; with two strikes he protects when it is
        not given.
        take_share : (4, 3) habit behind `swing`, the league's when not given.
        """
        u, v, b, s, same = (
            np.asarray(x, dtype=np.float64) for x in (u, v, balls, strikes, same_side)
        )
        guard = np.asarray(s == 2 if protect is None else protect, dtype=np.float64)
        shape = np.broadcast(u, v, b, s, same, guard)
        zero = np.zeros(shape.shape)
        r2 = (u**2 + v**2) / 1.3
        soft = float(family != "fast")
        habit = self.take_share if take_share is None else take_share
        ready = zero + 2.6 - 1.6 * r2 + 0.5 * guard
        miss = zero - 2.0 + 0.75 * r2 + 0.7 * soft - 0.1 * guard
        foul = zero + 0.0 + 0.05 * r2
        runs = zero + 0.10 - 0.075 * guard - 0.05 * r2 - 0.01 * soft
        called = (
            zero
            + 8.0 * (1.05 - np.maximum(np.abs(u), np.abs(v)))
            + 0.25 * (b - 1)
            - 0.45 * (s - 0.7)
        )
        hit = zero + 0.03 * expit((-u - 2.2) / 0.2)
        if traits is not None:
            add = trait_offsets(traits, family, u, v, guard)
            ready, miss, foul, runs = (
                ready + add.swing,
                miss + add.miss,
                foul + add.foul,
                runs + add.in_play,
            )
            hit = expit(logit(hit) + add.hit_by_pitch)
        takes = habit[b.astype(np.intp), s.astype(np.intp)]
        swing = logit((1.0 - takes) * expit(ready))
        return Steps(swing, ready, miss, foul, called, runs, hit)


_TAKE = (
    1.0
    - np.array(
        [[37.39, 71.12, 85.30], [57.49, 76.29, 88.01], [56.49, 80.41, 90.16], [9.72, 73.85, 92.57]]
    )
    / 92.57
)
_PATIENCE = {"pro": 1.0, "college": 0.5, "17-18": 0.25, "15-16": 0.25}


def load(level: str = "17-18") -> League:
    """Return the league of a level."""
    fast = np.array([[0.65, 0.56, 0.5], [0.7, 0.59, 0.5], [0.82, 0.66, 0.55], [0.94, 0.85, 0.68]])
    return League(level, _TAKE, fast, _PATIENCE.get(level, 0.1))
