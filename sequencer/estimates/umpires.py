"""How the called zone differs from season to season, and what is left to doubt of a new one.

Whole seasons of called pitches differ more than counting can explain: the edges lie elsewhere (in
2012 left-handed hitters got two inches more away), and they sharpen with the years. A league
fitted mostly on one season is sure of that season's edge and wrong of the next. So each season and
hitter's side departs from the common surface by a few numbers with a prior fitted among seasons, a
trend runs through the years, and a season never seen is told with the departures averaged over.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final, NamedTuple

import numpy as np

from sequencer.estimates import newton
from sequencer.estimates.arrays import Floats, Ints, expit
from sequencer.estimates.surface import OUTSIDE, Rows, Surface, design, shape

#: Names of `features`' columns: a step up or down beyond each edge, and a slope farther out.
FEATURES: Final = (
    "level", "in", "away", "up", "down", "off in", "off away", "above", "below"
)  # fmt: skip
#: Where an edge's step stands and how wide it is, zone halves (an inch and a half).
_EDGE, _WIDTH = 0.95, 0.15
#: Standard deviations among seasons, and among the sides of one, log odds (a half outside, for the
#: slopes): by expectation and maximisation on the four seasons of called pitches in the open data,
#: 2011 to 2023 (.2 to .3, .8 to .9, 1.6 to 2.3).
APART: Final = np.array([0.25] + [0.85] * 4 + [2.0] * 4)
#: The same for the trend over `YEARS`: what moves with the years is how sharp the edge is, not
#: where (measured: with places free to move as well, seasons left out were told worse).
TREND: Final = np.array([0.6] + [0.3] * 4 + [4.0] * 4)
YEARS: Final = 8.0
#: Years beyond the latest season that the trend is carried on (assumption).
CARRIED: Final = 5.0
#: Years over which a season's departure is forgotten by a factor e: seasons near in time are alike
#: (assumption, checked on seasons held out).
FORGOTTEN: Final = 5.0
#: Called pitches of one season that are fitted, evenly thinned: a season's edge is known to a tenth
#: of an inch long before (measured: all 370,000 of one season gain .0005 nats there).
ENOUGH: Final = 60_000
#: How much of what a part without dates departs by is its own again: logs kept alike may be years
#: apart (measured with dates left out: at nought games held out are told worse, at one sources).
KEPT_ALIKE: Final = 0.6
#: Numbers of seasons below this are no years: parts of a log that say no date (`fit_data`).
FIRST_YEAR: Final = 1000
_NEVER: Final = 1e8


class Edges(NamedTuple):
    """How far one umpire's called zone lies from his level's, inches; see `todays_zone`.

    Attributes
    ----------
    wide : either side edge is farther out
    tall : top and bottom are farther out
    up : the whole zone is higher
    """

    wide: float = 0.0
    tall: float = 0.0
    up: float = 0.0


#: The zone as the level has it.
USUAL_EDGES: Final = Edges()


@dataclass(frozen=True, slots=True)
class Umpires:
    """What of the called zone is of a side, a year or a season.

    Attributes
    ----------
    side : (9,) by `FEATURES`, a left-handed hitter less a right-handed one
    year : (9,) over `YEARS`, nought at `latest`
    latest : the season that the common surface is of; 0 when none is known
    seasons : season -> (2, 9): its departure, and that of its left-handed hitters less the others;
        below `FIRST_YEAR` a part of a log without dates, alike to nothing but itself
    """

    side: Floats = field(default_factory=lambda: np.zeros(len(FEATURES)))
    year: Floats = field(default_factory=lambda: np.zeros(len(FEATURES)))
    latest: int = 0
    seasons: Mapping[int, Floats] = field(default_factory=dict)

    def told(self, place: Floats, u: Floats, v: Floats, left: Any = 0.5, season: Any = 0) -> Floats:
        """Return log odds of a called strike, given those of the common surface, `place`.

        Parameters
        ----------
        place, u, v : arrays that broadcast
        left : array
            One for a left-handed hitter, nought for a right-handed one, a half when not known.
        season : array of int
            Year; 0 for one not known, which is taken to be the one after the latest.
        """
        form = features(u, v)
        return np.asarray((place + self.added(form, left, season)) / self.doubt(form, left, season))

    def added(self, form: Floats, left: Any, season: Any) -> Floats:
        """Return what side, year and season add at places of these features (..., 9)."""
        half, season = np.asarray(left, dtype=np.float64) - 0.5, self._known_as(season)
        total = half * (form @ self.side) + self._past(season) * (form @ self.year)
        kin, _ = self._kin(season)
        for i, (whole, side) in enumerate(self.seasons.values()):
            total = total + kin[..., i] * (form @ whole + half * (form @ side))
        return np.asarray(total)

    def doubt(self, form: Floats, left: Any, season: Any) -> Floats:
        """Return how much flatter log odds are for not knowing the season's departure.

        The mean of a logistic curve over a normal doubt: MacKay (1992), "The evidence framework
        applied to classification networks", Neural Computation 4(5), 720-736.
        """
        half = np.asarray(left, dtype=np.float64) - 0.5
        variance = form**2 @ APART**2 * (1.0 + half**2)
        _, unknown = self._kin(self._known_as(season))
        return np.asarray(np.sqrt(1.0 + np.pi / 8.0 * unknown * variance))

    def _known_as(self, season: Any) -> Ints:
        """Return the season each is told by: the next after the latest when it is none of ours."""
        season = np.asarray(season, dtype=np.intp)
        met = np.isin(season, np.array(list(self.seasons), dtype=np.intp))
        after = self.latest + int(self.latest > 0)
        return np.asarray(np.where((season >= FIRST_YEAR) | met, season, after), dtype=np.intp)

    def _past(self, season: Ints) -> Floats:
        past = np.minimum(season - self.latest, CARRIED) / YEARS
        dated = (season >= FIRST_YEAR) & (self.latest > 0)
        return np.asarray(np.where(dated, past, 0.0), dtype=np.float64)

    def _kin(self, season: Ints) -> tuple[Floats, Floats]:
        """Return the weight of each known season, (..., seasons), and the share left unknown.

        Departures are a first-order autoregression in time, told from those that are known (simple
        kriging; Krige 1951): a known season tells itself and leaves nothing unknown.
        """
        known = np.array(list(self.seasons), dtype=np.intp)
        if not known.size:
            return np.zeros((*season.shape, 0)), np.zeros(season.shape)
        years, at = np.unique(season, return_inverse=True)
        to = _alike(years, known) * np.where(years < FIRST_YEAR, KEPT_ALIKE, 1.0)[:, None]
        weight = to @ np.linalg.inv(_alike(known, known))
        unknown = np.clip(1.0 - (weight * to).sum(1), 0.0, 1.0)
        shape = season.shape
        return weight[at].reshape(*shape, known.size), unknown[at].reshape(shape)


def _alike(seasons: Ints, others: Ints) -> Floats:
    """Return how alike departures are, (seasons, others): by years between, else not at all."""
    apart = np.abs(seasons[:, None] - others)
    dated = (seasons[:, None] >= FIRST_YEAR) & (others >= FIRST_YEAR)
    return np.asarray(np.where(dated, np.exp(-apart / FORGOTTEN), apart == 0), dtype=np.float64)


def features(u: Floats, v: Floats) -> Floats:
    """Return what departures are made of, (..., 9), in the order of `FEATURES`."""
    u, v = np.broadcast_arrays(u, v)
    steps = (expit((x - _EDGE) / _WIDTH) for x in (-u, u, v, -v))
    form = shape(u, v)
    outside = (form[..., i] for i in OUTSIDE)
    return np.stack([form[..., 0], *steps, *outside], axis=-1)


def thinned(season: Ints) -> Ints:
    """Return which called pitches are fitted: of every season at most `ENOUGH`, evenly."""
    kept = []
    for year in np.unique(season):
        own = np.flatnonzero(season == year)
        kept.append(own[:: -(-len(own) // ENOUGH)])
    return np.sort(np.concatenate(kept))


def fit_called(
    rows: Rows, called: Floats, start: Surface, penalty: Floats
) -> tuple[Surface, Umpires]:
    """Fit the common surface and every departure from it together.

    Parameters
    ----------
    rows, called : Rows, array (n,)
        Taken pitches, and whether each was called a strike.
    start, penalty : Surface, array (coefficients,)
        Mean and precision of the common surface's prior.
    """
    years = [int(year) for year in np.unique(rows.season) if year > 0]
    dated = [year for year in years if year >= FIRST_YEAR]
    latest, k = max(dated, default=0), len(FEATURES)
    half = rows.left - 0.5
    past = np.where(rows.season >= FIRST_YEAR, (rows.season - latest) / YEARS, 0.0)
    blocks = [half, past]
    for year in years:
        own = (rows.season == year).astype(np.float64)
        blocks += [own, own * half]
    by = np.stack(blocks, axis=1)
    stiff = [1.0 / APART**2, _or_never(1.0 / TREND**2, len(dated) > 1)]
    stiff += [_or_never(1.0 / APART**2, len(years) > 1)] * (len(blocks) - 2)
    found = newton.logistic(
        _matrix(rows, by, start.side),
        called,
        np.concatenate([penalty, *stiff]),
        np.concatenate([start.vector(), np.zeros(k * len(blocks))]),
    ).coefficients
    size = start.vector().size
    own = found[size:].reshape(len(blocks), k)
    seasons = {year: own[2 + 2 * i : 4 + 2 * i] for i, year in enumerate(years)}
    return start.with_vector(found[:size]), Umpires(own[0], own[1], latest, seasons)


def _or_never(precision: Floats, can: bool) -> Floats:
    """Return a prior's precision, or one that holds at nought: one season departs from none."""
    return precision if can else np.full_like(precision, _NEVER)


def _matrix(rows: Rows, by: Floats, side: int) -> Callable[[slice], Floats]:
    def matrix(part: slice) -> Floats:
        own = rows.take(part)
        form = features(own.u, own.v)
        more = by[part][:, :, None] * form[:, None, :]
        return np.concatenate([design(own, side), more.reshape(len(own), -1)], axis=1)

    return matrix
