"""What happens to a pitch in a league: swing, miss, foul, ball in play; taken, strike or ball."""

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any, Final

import numpy as np

from sequencer.baseball.pitches import FAMILIES
from sequencer.baseball.zone import HALF_WIDTH_IN
from sequencer.estimates import coefficients
from sequencer.estimates.arrays import Floats, expit, logit
from sequencer.estimates.coefficients import AT_THE_BAT, PLAYS, Coefficients, Mix
from sequencer.estimates.doubt import SEED
from sequencer.estimates.level_shift import (
    LevelShift,
    dearer,
    moved_mix,
    shift_between,
    shift_to,
    with_errors,
)
from sequencer.estimates.surface import near
from sequencer.estimates.traits import trait_offsets
from sequencer.estimates.umpires import USUAL_EDGES, Edges

__all__ = ["PLAYS", "League", "LevelShift", "Steps", "load", "shift_between", "shift_to"]

#: What a belief is worth (log odds per nat of surprise, and standard deviations): logistic fits on
#: 15,000 swings of open professional pitches, clustered by pitcher. An association, not a trial.
SURPRISE_MISS: Final = (0.30, 0.13)
SURPRISE_FOUL: Final = (0.16, 0.11)
#: Steps that a level moves by added log odds.
_LOG_ODDS: Final = ("miss", "hit_by_pitch")


@dataclass(frozen=True, slots=True)
class Steps:
    """What happens to one pitch at (u, v) in a count; every array has the broadcast shape.

    Attributes
    ----------
    swing_ready : log odds of a swing given that he is not taking.
    miss : log odds of a miss given a swing.
    foul : log odds of a foul given contact.
    called : log odds of a called strike given a take and no hit by pitch.
    in_play : runs of a ball in play, to the hitting side, relative to an average plate appearance.
    hit_by_pitch : probability of being hit given a take.
    takes : share of pitches taken whatever comes, by the league's (or the given) habit.
    """

    swing_ready: Floats
    miss: Floats
    foul: Floats
    called: Floats
    in_play: Floats
    hit_by_pitch: Floats
    takes: Floats

    @property
    def swing(self) -> Floats:
        """Log odds of a swing, takes included."""
        return logit((1.0 - self.takes) * expit(self.swing_ready))


@dataclass(frozen=True, eq=False)
class League:
    """A level's league.

    Attributes
    ----------
    level : str
    fitted : Coefficients
        What the steps are computed from.
    shift : LevelShift
        How this level differs from what was fitted.
    take_share : array (4, 3)
        Share of pitches the league's hitter takes whatever comes.
    fast_share : array (4, 3)
        Share of fast pitches, which is also what its hitter expects.
    mix : Mix
        Where the league's pitches go by family and count; see `location_mix`, `pitch_share`.
    play_share, play_runs : array (plays,)
        Share of each of `PLAYS` among balls in play, and its runs in an average situation.
    patience : float
        How far above habit a hitter may take (share): the patience ceiling.
    unusual : array (3, 4, 3)
        Nats by which each family surprises, in each count, who expects what the league throws
        there, over the family's own mean; see `unusual`.
    surprise_miss, surprise_foul : float
        Log odds per nat of surprise on a miss given a swing, a foul given contact.
    surprise_miss_sd, surprise_foul_sd : float
        Their standard deviations.
    edges : Edges
        How far the edges of the called zone lie from the level's: today's umpire.
    """

    level: str
    fitted: Coefficients
    shift: LevelShift
    take_share: Floats
    fast_share: Floats
    mix: Mix
    play_share: Floats
    play_runs: Floats
    patience: float
    unusual: Floats
    surprise_miss: float = SURPRISE_MISS[0]
    surprise_miss_sd: float = SURPRISE_MISS[1]
    surprise_foul: float = SURPRISE_FOUL[0]
    surprise_foul_sd: float = SURPRISE_FOUL[1]
    edges: Edges = USUAL_EDGES

    @classmethod
    def of(cls, fitted: Coefficients, shift: LevelShift, level: str = "pro") -> "League":
        """Return fitted coefficients moved by a shift."""
        mix = moved_mix(fitted.mix, shift)
        share = with_errors(fitted.plays.share, shift.error_share)
        runs = fitted.plays.runs * dearer(shift.runs_per_game)
        fast = mix.family[0]
        miss = fitted.surprise.get("miss", SURPRISE_MISS)
        foul = fitted.surprise.get("foul", SURPRISE_FOUL)
        return cls(
            level, fitted, shift, fitted.take_share, fast, mix, share, runs, shift.patience,
            unusual(mix.family, fitted.mix.family), *miss, *foul,
        )  # fmt: skip

    @property
    def pitch_share(self) -> Floats:
        """Share of fast, breaking and off-speed pitches by balls and strikes, (3, 4, 3)."""
        return self.mix.family

    def location_mix(self, balls: int, strikes: int, u: Floats, v: Floats) -> Floats:
        """Return densities (3, ...) of fast, breaking and off-speed at locations in a count.

        Each family integrates to its share of the count, so that the three add up to one.
        """
        parts = [
            self.mix.family[f, balls, strikes]
            * np.tensordot(self.mix.weights[f, balls, strikes], self.mix.density(f, u, v), 1)
            for f in range(3)
        ]
        return np.array(parts)

    def steps(
        self,
        family: str,
        u: Any,
        v: Any,
        balls: Any,
        strikes: Any,
        same_side: Any,
        traits: Floats | None = None,
        *,
        protect: Any = None,
        take_share: Floats | None = None,
        left: Any = 0.5,
        season: Any = 0,
    ) -> Steps:
        """Return the steps of one family's pitch.

        Parameters
        ----------
        family : str
            fast, breaking, off-speed or unknown.
        u, v, balls, strikes, same_side : arrays that broadcast
            Location in zone halves, the count, and 1 when the pitcher throws from the side he hits
            from (0 when not, between when unknown). Work is least when u and v have axes of their
            own: (places, 1, 1) against balls (4, 1) and strikes (3,).
        traits : array (traits,) or (hitters, traits), optional
            A hitter's; the league's hitter when not given. Of several, what traits move leads with
            (hitters,).
        protect : array, optional
            1 where he protects, 0 where he drives; with two strikes he protects when not given.
        take_share : array (4, 3), optional
            Habit behind `swing`; the league's when not given.
        left, season : arrays, optional
            Whether he hits left-handed, and the year: how that season's umpires call such hitters.
            Left out, the called zone is that of the latest season for a hitter of either side.
        """
        u, v, b, s, same = (
            np.asarray(x, dtype=np.float64) for x in (u, v, balls, strikes, same_side)
        )
        guard = np.asarray(s == 2 if protect is None else protect, dtype=np.float64)
        raw = self._raw(family, u, v, b, s, same, guard)
        x, y = self.called_at(u, v)
        raw["called"] = self.fitted.umpires.told(raw["called"], x, y, left, season)
        if family in FAMILIES:
            nats = self.unusual[FAMILIES.index(family)][b.astype(np.intp), s.astype(np.intp)]
            raw["miss"] = raw["miss"] + self.surprise_miss * nats
            raw["foul"] = raw["foul"] + self.surprise_foul * nats
        if traits is not None:
            add = trait_offsets(traits, family, u, v, guard)
            moved = ("swing", "miss", "foul", "in_play", "hit_by_pitch")
            raw |= {name: raw[name] + getattr(add, name) for name in moved}
        habit = self.take_share if take_share is None else take_share
        takes = habit[b.astype(np.intp), s.astype(np.intp)]
        return Steps(
            swing_ready=raw["swing"],
            miss=raw["miss"],
            foul=raw["foul"],
            called=raw["called"],
            in_play=self._at_level(raw["in_play"]),
            hit_by_pitch=expit(raw["hit_by_pitch"]),
            takes=takes,
        )

    def _raw(
        self, family: str, u: Floats, v: Floats, b: Floats, s: Floats, same: Floats, guard: Floats
    ) -> dict[str, Floats]:
        """Return every step as fitted, log odds moved to the level, runs still as fitted."""
        narrowed, reached = self.called_at(u, v), (near(u), near(v))
        raw = {}
        for name, surface in self.fitted.steps.items():
            x, y = reached if name in AT_THE_BAT else narrowed if name == "called" else (u, v)
            place = surface.at(family, x, y, same, guard) + surface.in_count(x, y, b, s)
            raw[name] = place + getattr(self.shift, name, 0.0) if name in _LOG_ODDS else place
        return raw

    def called(
        self, family: str, u: Any, v: Any, balls: Any, strikes: Any, edges: Any = None
    ) -> Floats:
        """Return log odds of a called strike: the step of that name, alone.

        Parameters
        ----------
        family, u, v, balls, strikes
            As in `steps`.
        edges : three arrays that broadcast with them, optional
            In place of the league's own; see `umpires.Edges`.
        """
        u, v, b, s = (np.asarray(x, dtype=np.float64) for x in (u, v, balls, strikes))
        x, y = self.called_at(u, v, edges)
        surface, none = self.fitted.steps["called"], np.zeros(())
        place = surface.at(family, x, y, none, none) + surface.in_count(x, y, b, s)
        return self.fitted.umpires.told(place, x, y)

    def called_at(self, u: Floats, v: Floats, edges: Any = None) -> tuple[Floats, Floats]:
        """Return where, as fitted, a place is called as it is in this level's zone and today's."""
        wide, tall, up = self.edges if edges is None else edges
        edge, half = self.shift.called_edge_in, self.shift.half_height_in
        return u / (1.0 + (edge + wide) / HALF_WIDTH_IN), (v - up / half) / (
            1.0 + (edge + tall) / half
        )

    def moved_by(self, step: str) -> float:
        """Return what the level adds to a step everywhere (runs near the league's own, in play)."""
        if step == "in_play":
            usual = float(self.fitted.plays.share @ self.fitted.plays.runs)
            return float(self._at_level(np.array(usual))) - usual
        return float(getattr(self.shift, step)) if step in _LOG_ODDS else 0.0

    def doubt(self, step: str, family: str, u: Any, v: Any) -> Floats:
        """Return the standard error of a step at locations; see `doubt.Doubt`.

        It is that of the fit (at 1-1, the hitter from either side alike): what moving it to a
        level adds is not in it. Not a number where the file does not say.

        Parameters
        ----------
        step : str
            One of `coefficients.STEPS`.
        family : str
            fast, breaking, off-speed or unknown.
        u, v : arrays that broadcast
            Location in zone halves.
        """
        u, v = np.broadcast_arrays(*(np.asarray(x, dtype=np.float64) for x in (u, v)))
        if self.fitted.doubt is None:
            return np.full(u.shape, np.nan)
        if step == "called":
            u, v = self.called_at(u, v)
        return self.fitted.doubt.error(step, family, u, v)

    def resampled(self, k: int) -> "League":
        """Return this league as the k-th resampled fit has it, from nought.

        Coefficients, takes and what surprise is worth are drawn anew within what the fit may be
        off by; where pitches go and what the level moves stay.

        Raises
        ------
        BadInput
            If the file holds no such fit.
        """
        fitted = coefficients.resampled(self.fitted, k)
        miss, foul = (
            mean + sd * float(z)
            for (mean, sd), z in zip(
                (
                    (self.surprise_miss, self.surprise_miss_sd),
                    (self.surprise_foul, self.surprise_foul_sd),
                ),
                np.random.default_rng([SEED, len(coefficients.STEPS), k]).standard_normal(2),
                strict=True,
            )
        )
        return replace(
            self, fitted=fitted, take_share=fitted.take_share, surprise_miss=miss,
            surprise_foul=foul,
        )  # fmt: skip

    def plays(self, runs: Any) -> Floats:
        """Return shares (..., plays), in the order of `PLAYS`, of balls in play worth `runs`.

        Shares lean from the league's with the quality of contact until they are worth `runs` in
        an average situation, within what plays can be worth.
        """
        lean, _, worth, quality = self._leaning
        lean_here = np.interp(np.asarray(runs, dtype=np.float64), worth, lean)
        share = self.play_share * np.exp(lean_here[..., None] * quality)
        return np.asarray(share / share.sum(-1, keepdims=True))

    def _at_level(self, runs: Floats) -> Floats:
        """Return what contact worth `runs` where it was fitted is worth at this level."""
        if self.shift.error_share is None and self.shift.runs_per_game is None:
            return runs + self.shift.in_play
        _, fitted, here, _ = self._leaning
        return np.interp(runs, fitted, here) + self.shift.in_play

    @cached_property
    def _leaning(self) -> tuple[Floats, Floats, Floats, Floats]:
        """Lean (leans,), worth of balls in play so leaning as fitted and here, quality (plays,)."""
        plays = self.fitted.plays
        quality = plays.quality - plays.share @ plays.quality
        lean = np.linspace(-8.0, 12.0, 201)
        weights = np.exp(lean[:, None] * quality)
        fitted = (weights * plays.share) @ plays.runs / (weights @ plays.share)
        here = (weights * self.play_share) @ self.play_runs / (weights @ self.play_share)
        return lean, fitted, here, quality


#: Share of pitches thrown in each count: Retrosheet's 2016, 2019 and 2020 seasons. The information
#: used here was obtained free of charge from and is copyrighted by Retrosheet. Interested parties
#: may contact Retrosheet at www.retrosheet.org.
COUNT_SHARE: Final = np.array(
    [
        [0.2557, 0.1277, 0.0652],
        [0.1002, 0.1022, 0.0954],
        [0.0343, 0.0535, 0.0827],
        [0.0105, 0.0222, 0.0503],
    ]
)


#: Least chance that surprise is reckoned from, nearly a belief's own end.
_SELDOM: Final = 0.02


def unusual(family: Floats, fitted: Floats) -> Floats:
    """Return how far each family surprises in each count by being seldom thrown there, (3, 4, 3).

    Surprise is minus the log of the chance of the pitch, fast or not, to him who expects what is
    thrown. Nought is what each family came to in the fitted league: its fitted steps hold that
    much, and have no term for a family in a count to hold more. On 7,489 swings of the open data
    the steps alone left .33 (standard error .17) a nat on a miss to be explained, and .1 (.16) on
    a foul, which is what surprise is worth. Adding a type makes no misses by itself.

    Parameters
    ----------
    family : array (3, 4, 3)
        Shares of the families by count where it is played.
    fitted : array (3, 4, 3)
        The same where the steps were fitted.
    """
    seen = fitted * COUNT_SHARE
    centre = (seen * _nats(fitted)).sum((1, 2)) / np.maximum(seen.sum((1, 2)), 1e-12)
    return np.asarray(_nats(family) - centre[:, None, None])


def _nats(family: Floats) -> Floats:
    fast = np.clip(family[0], _SELDOM, 1.0 - _SELDOM)
    return np.asarray(-np.log(np.stack([fast, 1.0 - fast, 1.0 - fast])))


@lru_cache(maxsize=16)
def load(level: str = "17-18", path: Path | None = None) -> League:
    """Return the league of a level, from the committed coefficients or a file of `sequencer fit`.

    Raises
    ------
    BadInput
        If the level is unknown or the file is no coefficient file.
    """
    fitted = coefficients.read() if path is None else coefficients.read(path)
    return League.of(fitted, shift_between(fitted, level), level)
