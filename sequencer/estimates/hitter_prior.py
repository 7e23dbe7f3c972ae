"""How much hitters differ: the spread of every trait, by marginal likelihood over many hitters.

Each hitter's likelihood is taken as Gaussian about his own mode (Laplace), where the traits can be
summed out; the spreads that make all hitters likeliest are found, the modes move with them, and so
on until they rest. Each spread has a half-normal prior whose mean is what is published or assumed,
and its mean over what is left possible is taken: a spread that the hitters say nothing about stays
there, and none is ever nought. What was counted over many more hitters without places (how
much their shares of swings differ, say) is evidence too, about the sum of what traits do to it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, NamedTuple

import numpy as np

from sequencer.estimates.arrays import Bools, Floats
from sequencer.estimates.hitter import posterior
from sequencer.estimates.hitter_data import Seen
from sequencer.estimates.scoring import losses
from sequencer.estimates.traits import FOUND, TRAIT_TABLE, TRAITS, assumed_sd

_ROUNDS: Final = 30
_STEPS: Final = 10
#: Log spreads that move less than this are at rest.
_STILL: Final = 2e-3
#: Least curvature that a prior lends a spread, so that a step near nought is not a leap.
_LEAST: Final = 0.05
#: Scale of a half-normal distribution of mean one.
_SCALE_OF_MEAN: Final = float(np.sqrt(np.pi / 2.0))
#: How far a spread is looked for: times its mode or its scale.
_WIDEST: Final = 5.0
#: Prior weights: published (Carleton 2007, reliability .70 at 50 and 100 plate appearances, 3.8
#: pitches each), and counted over 990 seasons of 600 pitches or more (see `_COUNTED`).
PUBLISHED_WEIGHT: Final = MappingProxyType({"swing": 80.0, "miss": 75.0})
COUNTED_WEIGHT: Final = MappingProxyType({"swing": 106.0, "miss": 47.0})
#: How much hitters differ in shares, log odds (runs of a ball in play), by beta-binomial likelihood
#: (moments for runs) over 990 seasons of 600 pitches or more. Retrosheet 2016, 2019, 2020; obtained
#: free of charge from and copyrighted by Retrosheet, www.retrosheet.org.
_COUNTED: Final = (
    ("swing", "all", 0.194),
    ("swing", "first pitch", 0.395),
    ("swing", "two strikes", 0.215),
    ("miss", "all", 0.333),
    ("in_play", "all", 0.0346),
)
#: How far other seasons and hitters may differ from those counted, in log spread (assumption).
_COUNTED_ERROR: Final = 0.1
#: Prior means of the spreads; and those that the located pitches hardly show and that are held.
SCALE: Final = assumed_sd()
HELD: Final = np.array([trait.source != FOUND for trait in TRAIT_TABLE])
#: Hitters of one source from which its own level of each step is taken out (common practice).
FEWEST_HITTERS: Final = 30


class Total(NamedTuple):
    """How much hitters differ in a share as counted, and what each trait has to do with it.

    Attributes
    ----------
    name : the share
    weight : (traits,) part of each trait's variance in the share's, in log odds (or runs)
    sd : counted spread ; log_error : standard error of its logarithm
    """

    name: str
    weight: Floats
    sd: float
    log_error: float


@dataclass(frozen=True, slots=True)
class Spreads:
    """What was found, in the order of `TRAITS`.

    Attributes
    ----------
    sd : spread of each trait, its posterior mean while the others stand
    log_error : posterior standard deviation of its logarithm; 1.1 where only the prior speaks
    scale : mean of the prior
    gain : log marginal likelihood over that of the scales, nats
    hitters, pitches : how many it rests on
    """

    sd: Floats
    log_error: Floats
    scale: Floats
    gain: float
    hitters: int
    pitches: int


def fit_spreads(
    data: Sequence[Seen],
    take: Floats,
    scale: Floats,
    *,
    held: Bools | None = None,
    totals: Sequence[Total] = (),
) -> Spreads:
    """Return the spreads of traits among hitters.

    Parameters
    ----------
    data : sequence of Seen
        What each hitter did.
    take : array (4, 3)
        The league's habit of taking.
    scale : array (traits,)
        Mean of each spread's half-normal prior.
    held : array (traits,) of bool, optional
        Traits whose spread stays what `scale` says.
    totals : sequence of Total
        Spreads of shares counted elsewhere.
    """
    free = np.ones(len(scale), dtype=np.bool_) if held is None else ~held
    evidence = _Evidence(scale, free, tuple(totals))
    sd = scale.copy()
    modes = np.zeros((len(data), len(sd)))
    for _ in range(_ROUNDS):
        pulls, known = _about_modes(data, take, sd, modes)
        before, sd = sd, evidence.likeliest(pulls, known, sd)
        if np.max(np.abs(np.log(sd / before))) < _STILL:
            break
    pulls, known = _about_modes(data, take, sd, modes)
    gain = _log_marginal(pulls, known, sd) - _log_marginal(pulls, known, scale)
    mean, error = evidence.means(pulls, known, sd)
    return Spreads(mean, error, scale, gain, len(data), sum(one.n for one in data))


def _about_modes(
    data: Sequence[Seen], take: Floats, sd: Floats, modes: Floats
) -> tuple[Floats, Floats]:
    """Return each hitter's likelihood, exp(pull x - x known x / 2), about his mode, kept in place.

    Shapes (hitters, traits) and (hitters, traits, traits).
    """
    known = np.empty((*modes.shape, modes.shape[1]))
    pulls = np.empty_like(modes)
    for h, one in enumerate(data):
        modes[h] = posterior(one, np.zeros_like(sd), sd, take, first=modes[h])[0]
        gradient, known[h] = one.scores(modes[h], take)
        pulls[h] = gradient + known[h] @ modes[h]
    return pulls, known


def _log_marginal(pulls: Floats, known: Floats, sd: Floats) -> float:
    mean, cov = _posteriors(pulls, known, sd)
    shrunk = np.linalg.slogdet(cov / np.outer(sd, sd))[1]
    return 0.5 * float(np.sum(shrunk) + np.sum(pulls * mean))


def _posteriors(pulls: Floats, known: Floats, sd: Floats) -> tuple[Floats, Floats]:
    cov = np.asarray(np.linalg.inv(known + np.diag(sd**-2.0)), dtype=np.float64)
    return np.asarray(np.einsum("hij,hj->hi", cov, pulls), dtype=np.float64), cov


@dataclass(frozen=True, slots=True)
class _Evidence:
    """What is known of the spreads beside the hitters: half-normal priors and counted totals."""

    scale: Floats
    free: Bools
    totals: tuple[Total, ...]

    def likeliest(self, pulls: Floats, known: Floats, sd: Floats) -> Floats:
        """Return the spreads at rest for these likelihoods, by Newton steps on logarithms."""
        log_sd = np.log(sd)
        for _ in range(_STEPS):
            slope, curvature = self.slope(pulls, known, np.exp(log_sd))
            move = np.clip(np.linalg.solve(curvature, slope), -0.5, 0.5)
            log_sd = log_sd + move
            if np.max(np.abs(move)) < _STILL / 4.0:
                break
        return np.exp(log_sd)

    def slope(self, pulls: Floats, known: Floats, sd: Floats) -> tuple[Floats, Floats]:
        """Return slope and expected curvature of the log posterior in log spreads.

        With x ~ N(m, V) after the data, a spread's slope is E x^2 / sd^2 - 1 summed over hitters;
        its curvature is a variance component's: 2 ((T - V) / sd sd)^2 summed.
        """
        mean, cov = _posteriors(pulls, known, sd)
        scaled = cov / np.outer(sd, sd)
        slope = ((mean / sd) ** 2 + np.diagonal(scaled, axis1=1, axis2=2) - 1.0).sum(0)
        curvature = 2.0 * ((np.eye(len(sd)) - scaled) ** 2).sum(0)
        prior = (sd / (_SCALE_OF_MEAN * self.scale)) ** 2
        slope += 1.0 - prior
        curvature += np.diag(2.0 * np.maximum(prior, _LEAST))
        for total in self.totals:
            part = total.weight * sd**2
            variance = float(part.sum())
            away = 0.5 * np.log(variance) - np.log(total.sd)
            slope -= away / total.log_error**2 * part / variance
            curvature += np.outer(part, part) / (variance * total.log_error) ** 2
        slope = np.where(self.free, slope, 0.0)
        curvature = np.where(np.outer(self.free, self.free), curvature, np.eye(len(sd)))
        return slope, curvature

    def means(self, pulls: Floats, known: Floats, sd: Floats) -> tuple[Floats, Floats]:
        """Return each spread's posterior mean, and the standard deviation of its logarithm."""
        mean, error = sd.copy(), np.zeros(len(sd))
        traits, cov = _posteriors(pulls, known, sd)
        for j in np.flatnonzero(self.free).tolist():
            most = _WIDEST * max(sd[j], self.scale[j])
            grid = np.exp(np.log(most) + np.linspace(-9.0, 0.0, 180))
            log = self._along(j, grid, traits[:, j], cov[:, j, j], sd)
            mass = grid * np.exp(log - log.max())
            mass /= mass.sum()
            mean[j] = mass @ grid
            error[j] = np.sqrt(mass @ np.log(grid) ** 2 - (mass @ np.log(grid)) ** 2)
        return mean, error

    def _along(self, j: int, grid: Floats, trait: Floats, variance: Floats, sd: Floats) -> Floats:
        """Return the log posterior of one spread on a grid, the others where they are.

        `trait` and `variance` are each hitter's under `sd`; a prior precision that is greater by d
        divides the determinant by 1 + d variance, and takes d trait^2 / (1 + d variance) from the
        quadratic form.
        """
        more = grid**-2.0 - sd[j] ** -2.0
        wider = 1.0 + variance[:, None] * more
        log = -0.5 * (np.log(wider) + more * trait[:, None] ** 2 / wider).sum(0)
        log -= len(trait) * np.log(grid) + 0.5 * (grid / (_SCALE_OF_MEAN * self.scale[j])) ** 2
        for total in self.totals:
            others = float((total.weight * sd**2).sum() - total.weight[j] * sd[j] ** 2)
            away = 0.5 * np.log(others + total.weight[j] * grid**2) - np.log(total.sd)
            log -= 0.5 * (away / total.log_error) ** 2
        return np.asarray(log)


def total_of(
    data: Sequence[Seen],
    name: str,
    take: Floats,
    sd: float,
    log_error: float,
    which: Callable[[Seen], Bools] | None = None,
) -> Total:
    """Return a counted spread with what each trait does to the share over these pitches.

    Parameters
    ----------
    data : sequence of Seen
        Pitches that stand for what hitters see.
    name : str
        A step: swing, miss, foul, in_play (runs).
    sd, log_error : float
        As in `Total`.
    which : callable, optional
        Rows of the step that the share is about; all when not given.
    """
    moved, spread, n = np.zeros(len(TRAITS)), 0.0, 0
    zero = np.zeros(len(TRAITS))
    for one in data:
        if name == "in_play":
            slope, p = one.struck.load, np.full(len(one.struck.runs), np.nan)
        else:
            part = one.part(name)
            slope, p = part.slope(zero, take), part.chance(zero, take)
        use = slice(None) if which is None else which(one)
        moved, spread, n = moved + slope[use].sum(0), spread + float(p[use].sum()), n + len(p[use])
    mean = spread / n
    steep = 1.0 if name == "in_play" else mean * (1.0 - mean)
    return Total(name, (moved / n / steep) ** 2, sd, log_error)


def counted_totals(data: Sequence[Seen], take: Floats) -> tuple[Total, ...]:
    """Return the counted spreads, with what each trait does to those shares over these pitches."""
    rows: dict[str, Callable[[Seen], Bools] | None] = {
        "all": None,
        "first pitch": lambda one: one.swings.first,
        "two strikes": lambda one: one.swings.strikes == 2,
    }
    return tuple(
        total_of(data, step, take, sd, _COUNTED_ERROR, rows[part]) for step, part, sd in _COUNTED
    )


def centred(data: Sequence[Seen], take: Floats) -> list[Seen]:
    """Return the hitters of one source with its own level of every step taken out.

    A season or a day that swings or misses more than the league would otherwise count as hitters
    that differ. Too few hitters are left as they are: their level is their own.
    """
    if len(data) < FEWEST_HITTERS:
        return list(data)
    by = {name: _level(data, name, take) for name in ("swing", "miss", "foul")}
    return [one.moved(by) for one in data]


def _level(data: Sequence[Seen], name: str, take: Floats) -> float:
    """Return the log odds to be added to a step so that it comes out as often as it did."""
    moved, zero = 0.0, np.zeros(len(TRAITS))
    for _ in range(30):
        came = said = steep = 0.0
        for one in data:
            part = one.moved({name: moved}).part(name)
            p = part.chance(zero, take)
            came, said = came + float(part.outcome.sum()), said + float(p.sum())
            steep += float((p * (1.0 - p)).sum())
        step = (came - said) / max(steep, 1e-9)
        moved += float(np.clip(step, -1.0, 1.0))
        if abs(step) < 1e-6:
            break
    return moved


def implied_weight(
    data: Seen, name: str, take: Floats, sd: Floats, *, draws: int = 400, seed: int = 0
) -> tuple[float, float]:
    """Return the mean share of a step over these rows and the prior weight that spreads imply.

    A share p whose talent varies by var is pulled to the mean by n0 = p (1 - p) / var observations.

    Parameters
    ----------
    data : Seen
        Rows that stand for what hitters see.
    name : str
        swing, miss or foul.
    """
    part = data.part(name)
    traits = np.random.default_rng(seed).normal(size=(draws, len(sd))) * sd
    shares = np.array([part.chance(one, take).mean() for one in traits])
    mean = float(shares.mean())
    return mean, mean * (1.0 - mean) / float(shares.var())


def loss(data: Seen, mean: Floats, take: Floats) -> float:
    """Return what swings, misses and fouls cost together, nats a pitch.

    Parameters
    ----------
    data : Seen
        Pitches that the traits were not learnt from.
    mean : array (traits,)
    take : array (4, 3)
        The league's habit of taking.
    """
    total = 0.0
    for name in ("swing", "miss", "foul"):
        part = data.part(name)
        total += float(losses(part.outcome, part.chance(mean, take)).sum())
    return total / max(data.n, 1)
