"""A pitcher as the book knows him: one belief for each pitch he throws."""

from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from sequencer.estimates.arrays import Floats

#: A lost pitch spreads this many times as wide as a thrown one (assumption).
LOST_WIDER: Final = 2.5
_NORMAL_95: Final = 1.6449


@dataclass(frozen=True, slots=True)
class PitchBelief:
    """One pitch of a pitcher.

    Attributes
    ----------
    pitch, family : str
    bias : array (2,)
        Mean of actual minus target in inches: side (positive to the catcher's right), height
        (positive up).
    cov : array (2, 2)
        Spread of one throw about target plus bias, inches squared, observation error taken out.
    bias_cov : array (2, 2)
        How surely the bias is known, inches squared.
    freedom : float
        Degrees of freedom behind `cov` (prior weight and charted throws).
    lost : float
        Share of pitches that slip and spread `LOST_WIDER` times as wide.
    charted : int
        Throws with a target asked before them.
    thrown : int
        Throws counted for strikes.
    strike_share : float
    strike_interval : tuple of float
        Central 90 % of its posterior.
    shelved : bool
        Not there today.
    evidence : str
        Why, in a coach's words; empty when nothing is to be said.
    """

    pitch: str
    family: str
    bias: Floats
    cov: Floats
    bias_cov: Floats
    freedom: float
    lost: float
    charted: int
    thrown: int
    strike_share: float
    strike_interval: tuple[float, float]
    shelved: bool = False
    evidence: str = ""

    @property
    def spread(self) -> float:
        """Inches: the root mean of the variances to the side and in height."""
        return float(np.sqrt(np.trace(self.cov) / 2.0))

    @property
    def mean_miss(self) -> float:
        """Inches from target plus bias to the ball, on average: of a round Gaussian."""
        return self.spread * float(np.sqrt(np.pi / 2.0))

    @property
    def spread_sd(self) -> float:
        """Inches: how surely the spread is known."""
        return 0.5 * self.spread * float(np.sqrt(self._doubt()))

    @property
    def spread_interval(self) -> tuple[float, float]:
        """Inches: central 90 % of the spread.

        Its square is taken for a scaled inverse chi-square of the same mean and variance, whose
        quantiles are Wilson and Hilferty's (1931).
        """
        freedom = 4.0 + 2.0 / self._doubt()
        tail = _NORMAL_95 * np.sqrt(2.0 / (9.0 * freedom))
        chi = freedom * (1.0 - 2.0 / (9.0 * freedom) + np.array([tail, -tail])) ** 3
        low, high = self.spread * np.sqrt((freedom - 2.0) / chi)
        return float(low), float(high)

    def _doubt(self) -> float:
        """Return the relative variance of the mean of the two variances.

        Of an inverse Wishart of `freedom` + 3 degrees (Press, Applied Multivariate Analysis): a
        round spread is better known than a long one.
        """
        sizes = np.linalg.eigvalsh(self.cov)
        long = float((sizes**2).sum() / sizes.sum() ** 2)
        freedom = max(self.freedom, 3.0)
        return 2.0 / (freedom - 2.0) * (long + (1.0 - long) / (freedom + 1.0))

    def bias_may_be(self, inches: Floats, inside: float = 0.9) -> bool:
        """Return whether a bias (2,) lies in the ellipse that holds his with this probability.

        The marginal of a normal-inverse-Wishart mean is a t with `freedom` + 2 degrees; its squared
        distance is twice an F(2, freedom + 2), whose quantile has this closed form.
        """
        away = np.asarray(inches, dtype=np.float64) - self.bias
        limit = self.freedom * ((1.0 - inside) ** (-2.0 / (self.freedom + 2.0)) - 1.0)
        return bool(away @ np.linalg.solve(self.bias_cov, away) <= limit)

    def mixture(self) -> tuple[tuple[float, Floats, Floats], ...]:
        """Return weight, mean (2,) and covariance (2, 2) of each part of actual minus target."""
        return (
            (1.0 - self.lost, self.bias, self.cov),
            (self.lost, self.bias, self.cov * LOST_WIDER**2),
        )


class Alike(NamedTuple):
    """Two of his types that no hitter could tell apart."""

    first: str
    second: str


@dataclass(frozen=True, slots=True)
class PitcherBelief:
    """A pitcher as the book knows him.

    Attributes
    ----------
    name, throws, level : str
        `throws` is R or L.
    arsenal : tuple of PitchBelief
        His most thrown pitch comes first.
    notes : tuple of str
    alike : tuple of Alike
        Pairs that look the same: of one family the one thrown better for strikes is offered, of two
        families both are, and to the hitter both are of the family of the more thrown.
    """

    name: str
    throws: str
    level: str
    arsenal: tuple[PitchBelief, ...]
    notes: tuple[str, ...] = ()
    alike: tuple[Alike, ...] = ()

    @property
    def available(self) -> tuple[PitchBelief, ...]:
        """The pitches that are not shelved today, and of those that look the same the better."""
        return self.offered()

    def offered(self, never: tuple[str, ...] = ()) -> tuple[PitchBelief, ...]:
        """Return the pitches to plan with; one a coach will `never` have stands for no other."""
        there = [pitch for pitch in self.arsenal if not pitch.shelved]
        kept: list[str] = []
        for pitch in sorted(there, key=lambda p: (p.pitch in never, -p.strike_share)):
            if pitch.pitch in never or not any(
                self._same(pitch, self.pitch(other)) for other in kept if other not in never
            ):
                kept.append(pitch.pitch)
        return tuple(pitch for pitch in there if pitch.pitch in kept)

    def seen_as(self, name: str) -> str:
        """Return the family a hitter takes a pitch for: its own, or that of one it looks like.

        Raises
        ------
        KeyError
            If he does not throw it.
        """
        names = [pitch.pitch for pitch in self.arsenal]
        own = self.pitch(name)
        for other in self.arsenal[: names.index(name)]:
            if self._look_alike(own, other) and other.family != own.family:
                return other.family
        return own.family

    def alike_notes(self) -> tuple[str, ...]:
        """Return what is to be said of pitches of today that look the same."""
        there = {pitch.pitch for pitch in self.arsenal if not pitch.shelved}
        return tuple(self._said_alike(*pair) for pair in self.alike if set(pair) <= there)

    def _said_alike(self, first: str, second: str) -> str:
        one, other = self.pitch(first), self.pitch(second)
        if one.family != other.family:
            names = [pitch.pitch for pitch in self.arsenal]
            less = max(first, second, key=names.index)
            more = min(first, second, key=names.index)
            return (
                f"To a hitter the {less} looks the same as the {more}: it counts as "
                f"{self.seen_as(less)}, not as another speed."
            )
        better = max(one, other, key=lambda pitch: pitch.strike_share).pitch
        worse = second if better == first else first
        return (
            f"To a hitter the {worse} looks the same as the {better}: the {better} is planned, "
            "he throws it more for strikes."
        )

    def _same(self, one: PitchBelief, other: PitchBelief) -> bool:
        return one.family == other.family and self._look_alike(one, other)

    def _look_alike(self, one: PitchBelief, other: PitchBelief) -> bool:
        return any({one.pitch, other.pitch} == set(pair) for pair in self.alike)

    def pitch(self, name: str) -> PitchBelief:
        """Return one pitch of the arsenal; raises KeyError when he does not throw it."""
        for belief in self.arsenal:
            if belief.pitch == name:
                return belief
        raise KeyError(name)
