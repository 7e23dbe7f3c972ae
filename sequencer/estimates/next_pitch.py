"""The next pitch as a dugout could name it: minds that learn only from the past, and their reader.

The door to `watched` (what is seen), `minds` (who reads, and how), `context_tree`, `fixed_share`
(how the minds are weighed) and `boosted` (trees, where they are asked for).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.estimates import fixed_share, minds
from sequencer.estimates.arrays import Floats
from sequencer.estimates.minds import CONSTANT, MINDS, Mind
from sequencer.estimates.visits import Codes, Contexts
from sequencer.estimates.watched import Seen, Watched, known_before, watched_in

__all__ = (
    "CONSTANT",
    "MINDS",
    "SAME",
    "Forward",
    "Mind",
    "Outsider",
    "Seen",
    "Watched",
    "forward",
    "known_before",
    "watched_in",
)

#: Chances that differ by less than this part are the same.
SAME: Final = 1e-9
#: A mind that is no counting mind: one pitcher's pitches -> chances, (pitches, labels), positive,
#: each row from earlier pitches only.
Outsider = Callable[[Seen], Floats]


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
    blind : ndarray, shape (pitches, labels)
        The same of those minds alone that see nothing but what he has thrown (no contexts).
    weights : ndarray, shape (pitches, minds)
        What the reader gave each mind.
    """

    label: Codes
    minds: dict[str, Floats]
    reader: Floats
    blind: Floats
    weights: Floats

    @property
    def constant(self) -> Floats:
        """Chances of the best forward constant, (pitches, labels)."""
        return self.minds[CONSTANT]

    def right(self, chances: Floats) -> Floats:
        """Return how often naming the likeliest pitch would have been right, (pitches,).

        Nought or one; where several are likeliest alike, one of them is drawn. Otherwise the order
        of the labels would decide early pitches, and a constant be worse than it is.
        """
        likeliest = chances >= (1.0 - SAME) * chances.max(axis=1, keepdims=True)
        right = likeliest[np.arange(len(self.label)), self.label]
        return np.asarray(right / likeliest.sum(axis=1), dtype=np.float64)

    def nats(self, chances: Floats) -> Floats:
        """Return the loss of each pitch: minus the log of the chance given to it, (pitches,)."""
        return np.asarray(-np.log(chances[np.arange(len(self.label)), self.label]))

    def evidence(self) -> Floats:
        """Return the running log likelihood ratio of the reader to the blind, nats, (pitches,).

        For a pitcher who draws each pitch from his mix as the blind know it, the ratio is a
        martingale, which passes 20 on one night in 20 at most (Ville 1939). Against the mix of all
        his games it is none: on open nights with types shuffled within each game it passed 20 on
        35 in 100, against the blind on 3.5; simulated mixes that move by .5 in log odds, 18 and 0.
        """
        return np.asarray(np.cumsum(self.nats(self.blind) - self.nats(self.reader)))


def forward(
    seen: Seen, who: Sequence[Mind] = MINDS, outsiders: Mapping[str, Outsider] | None = None
) -> Forward:
    """Let every mind name each pitch from those before it, and combine them.

    Pitchers are read apart: neither what a mind has learnt of one nor what the reader has learnt
    of the minds bears on another.

    Parameters
    ----------
    seen : Seen
        Pitches in the order thrown.
    who : sequence of Mind
        The first is the constant and sees nothing but what he has thrown.
    outsiders : mapping, optional
        Further minds by name, such as `boosted.mind`.

    Returns
    -------
    Forward
        Every chance is positive; rows sum to one. The first pitch of all gets an even guess.
    """
    outsiders = outsiders or {}
    names = [*(mind.name for mind in who), *outsiders]
    chances = {name: np.empty((len(seen), seen.labels)) for name in names}
    reader, blind = (np.empty((len(seen), seen.labels)) for _ in range(2))
    weights = np.empty((len(seen), len(names)))
    sightless = [i for i, mind in enumerate(who) if not mind.contexts]
    for rows in _pitchers(seen.group):
        own = seen.only(rows) if len(rows) < len(seen) else seen
        found = np.stack(_each(own, who, outsiders), axis=1)
        for i, name in enumerate(names):
            chances[name][rows] = found[:, i]
        reader[rows], weights[rows] = fixed_share.combine(found, own.label)
        blind[rows], _ = fixed_share.combine(found[:, sightless], own.label)
    return Forward(seen.label, chances, reader, blind, weights)


def _pitchers(group: Codes) -> list[NDArray[np.intp]]:
    """Return the places of each pitcher's pitches."""
    order = np.argsort(group, kind="stable")
    return np.split(order, np.flatnonzero(np.diff(group[order])) + 1) if len(group) else []


def _each(own: Seen, who: Sequence[Mind], outsiders: Mapping[str, Outsider]) -> list[Floats]:
    contexts = Contexts(own.columns, own.label, own.labels)
    counting = [minds.chances(mind, contexts) for mind in who]
    return counting + [outsider(own) for outsider in outsiders.values()]
