"""Minds that name the next pitch from what a dugout can see, each learning only from the past.

A mind keeps counts of what followed in each context and smooths them toward a simpler mind. The
reader weighs the minds by how well they have done so far, so that it is never far worse than the
best of them and leans on none before it has earned it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import pitches

if TYPE_CHECKING:
    import pandas as pd

Codes = NDArray[np.int64]
Floats = NDArray[np.float64]
Words = NDArray[np.str_]

#: Pitches a simpler mind counts for in each context of a finer one. Assumption: half a dozen games
#: of one count outweigh it.
PRIOR_PITCHES: Final = 10.0
#: Weight that returns to an even split among the minds at each pitch, so that a mind that was
#: wrong early can come back (fixed share; Herbster and Warmuth 1998, Machine Learning 32, 151-178;
#: the rate itself is an assumption).
FORGETTING: Final = 0.01


@dataclass(frozen=True)
class Mind:
    """A way of reading: it counts what followed in each `context`, smoothed toward `simpler`.

    Attributes
    ----------
    name : str
    context : tuple of str
        Columns of a `Seen` that make a context; none for the favourite.
    simpler : str
        Name of the mind it starts from; "" starts from an even guess.
    """

    name: str
    context: tuple[str, ...]
    simpler: str = ""


#: The minds, simpler ones first.
MINDS: Final = (
    Mind("favourite", ()),
    Mind("by count", ("count",), "favourite"),
    Mind("by hitter's side and count", ("bats", "count"), "by count"),
    Mind("by count and last pitch", ("count", "previous"), "by count"),
)
#: The best forward constant: always the pitch thrown most so far.
CONSTANT: Final = MINDS[0].name


@dataclass(frozen=True)
class Seen:
    """What a dugout sees of each pitch, in the order thrown; every array has shape (pitches,).

    `label` is what came, from 0 to `labels` - 1; the `columns` hold codes of any kind (-1 is
    unknown) known before the pitch: "count", "bats", "previous". `group` keeps apart pitchers
    whose habits are not each other's.
    """

    label: Codes
    labels: int
    columns: Mapping[str, Codes]
    group: Codes

    def __len__(self) -> int:
        return len(self.label)


@dataclass(frozen=True)
class Forward:
    """Chances given before each pitch, from earlier pitches only.

    Attributes
    ----------
    label : ndarray, shape (pitches,)
    minds : dict
        Mind -> chances, shape (pitches, labels).
    reader : ndarray, shape (pitches, labels)
        The minds combined.
    weights : ndarray, shape (pitches, minds)
        What the reader gave each mind.
    """

    label: Codes
    minds: dict[str, Floats]
    reader: Floats
    weights: Floats

    @property
    def constant(self) -> Floats:
        """Chances of the best forward constant, (pitches, labels)."""
        return self.minds[CONSTANT]

    def right(self, chances: Floats) -> NDArray[np.bool_]:
        """Return whether naming the likeliest pitch would have been right, (pitches,)."""
        named: NDArray[np.bool_] = chances.argmax(axis=1) == self.label
        return named

    def evidence(self) -> Floats:
        """Return the running log likelihood ratio of reader to constant, nats, (pitches,)."""
        at = np.arange(len(self.label))
        ratio = np.log(self.reader[at, self.label]) - np.log(self.constant[at, self.label])
        return np.asarray(np.cumsum(ratio), dtype=float)


def forward(seen: Seen, minds: Sequence[Mind] = MINDS) -> Forward:
    """Let every mind name each pitch from those before it, and combine them.

    Parameters
    ----------
    seen : Seen
        Pitches in the order thrown.
    minds : sequence of Mind
        Simpler ones before those that start from them; the first is the constant.

    Returns
    -------
    Forward
        Every chance is positive; rows sum to one. The first pitch of all gets an even guess.
    """
    chances: dict[str, Floats] = {}
    for mind in minds:
        start = chances.get(mind.simpler)
        chances[mind.name] = _learn(seen, mind, start)
    stacked = np.stack([chances[mind.name] for mind in minds], axis=1)
    reader, weights = combine(stacked, seen.label)
    return Forward(seen.label, chances, reader, weights)


def _learn(seen: Seen, mind: Mind, simpler: Floats | None) -> Floats:
    """Return forward chances: counts so far in this pitch's context over a simpler mind's."""
    if simpler is None:
        simpler = np.full((len(seen), seen.labels), 1 / seen.labels)
        prior = 1.0
    else:
        prior = PRIOR_PITCHES
    context = contexts([seen.group, *(seen.columns[name] for name in mind.context)])
    before = counts_before(context, seen.label, seen.labels)
    chances: Floats = before + prior * simpler
    chances /= before.sum(axis=1, keepdims=True) + prior
    return chances


def contexts(columns: Sequence[Codes]) -> Codes:
    """Return a number for each distinct combination of columns, from 0, (pitches,)."""
    number = np.zeros(len(columns[0]), dtype=np.int64)
    for column in columns:
        if len(column):
            number = number * (int(column.max()) + 2) + column + 1
            number = np.unique(number, return_inverse=True)[1].astype(np.int64)
    return number


def counts_before(context: Codes, label: Codes, labels: int) -> Floats:
    """Count each label in each pitch's context before it, (pitches, labels)."""
    order = np.argsort(context, kind="stable")
    ordered = np.zeros((len(label) + 1, labels))
    ordered[np.arange(1, len(label) + 1), label[order]] = 1
    running = np.cumsum(ordered, axis=0)[:-1]
    start = np.searchsorted(context[order], context[order])
    counts = np.empty_like(running)
    counts[order] = running - running[start]
    return counts


def combine(chances: Floats, label: Codes) -> tuple[Floats, Floats]:
    """Weigh minds by their past.

    Parameters
    ----------
    chances : ndarray, shape (pitches, minds, labels)
    label : ndarray, shape (pitches,)

    Returns
    -------
    reader : ndarray, shape (pitches, labels)
    weights : ndarray, shape (pitches, minds)
        Before each pitch; proportional to the chances a mind gave to what then came, with a
        little of the weight shared out again at each pitch.
    """
    pitches_, minds, _labels = chances.shape
    given = chances[np.arange(pitches_), :, label]
    weights = np.empty((pitches_, minds))
    now = np.full(minds, 1 / minds)
    for i in range(pitches_):
        weights[i] = now
        now = now * given[i]
        now = (1 - FORGETTING) * now / now.sum() + FORGETTING / minds
    return np.einsum("pm,pml->pl", weights, chances), weights


@dataclass(frozen=True)
class Watched:
    """Pitches in words, in the order thrown; every array has shape (pitches,).

    `at_bat` differs between at-bats of one game and between games.
    """

    pitch: Words
    balls: Codes
    strikes: Codes
    bats: Words
    pitcher: Words
    at_bat: Words

    def __len__(self) -> int:
        return len(self.pitch)

    def then(self, later: "Watched") -> "Watched":
        """Return these pitches followed by later ones."""
        names = (each.name for each in fields(self))
        return Watched(*(np.concatenate([getattr(self, n), getattr(later, n)]) for n in names))

    def seen(self) -> tuple[Seen, tuple[str, ...]]:
        """Return what a dugout saw, and the pitch types behind the labels."""
        words, label = np.unique(self.pitch, return_inverse=True)
        label = label.astype(np.int64)
        same = self.at_bat[1:] == self.at_bat[:-1]
        columns = {
            "count": self.balls * 3 + self.strikes,
            "bats": _coded(self.bats),
            "previous": np.concatenate(([-1], np.where(same, label[:-1], -1)))[: len(self)],
        }
        names = tuple(str(word) for word in words)
        return Seen(label, max(len(names), 1), columns, _coded(self.pitcher)), names


def watched_in(frame: "pd.DataFrame") -> Watched:
    """Read a log in the order thrown.

    Parameters
    ----------
    frame : DataFrame
        Columns `pitch`, `balls`, `strikes`, `game`, `at_bat`, `pitcher`, and `bats`, `intent`,
        `pitcher_id`, `game_id` where there are. Pitches of unknown type, pitch-outs and
        intentional balls are left out.
    """
    known = frame["pitch"].isin([word for word in pitches.TYPES if word != "unknown"])
    if "intent" in frame:
        known &= frame["intent"].fillna("") == ""
    kept = frame.loc[known]
    game = kept["game_id" if "game_id" in kept else "game"]
    pitcher = kept["pitcher_id" if "pitcher_id" in kept else "pitcher"]
    return Watched(
        _strings(kept["pitch"]),
        kept["balls"].to_numpy(dtype=np.int64),
        kept["strikes"].to_numpy(dtype=np.int64),
        _strings(kept["bats"].fillna("")) if "bats" in kept else np.full(len(kept), ""),
        _strings(pitcher),
        np.char.add(np.char.add(_strings(game), " "), _strings(kept["at_bat"])),
    )


def _strings(values: "pd.Series[Any]") -> Words:
    return np.array([str(value) for value in values], dtype=np.str_)


def _coded(words: Words) -> Codes:
    return np.unique(words, return_inverse=True)[1].astype(np.int64)
