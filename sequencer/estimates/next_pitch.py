"""The next pitch as a dugout could name it: minds that learn only from the past, and their reader.

The door to `watched` (what is seen), `minds` (who reads, and how), `context_tree`, `fixed_share`
(how the minds are weighed) and `boosted` (trees, where they are asked for).
"""

from collections.abc import Callable, Sequence
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
    "Forward",
    "Mind",
    "Outsider",
    "Seen",
    "Watched",
    "forward",
    "known_before",
    "watched_in",
)

#: A mind that is no counting mind: one pitcher's pitches -> chances, (pitches, labels), positive,
#: each row from earlier pitches only.
Outsider = Callable[[Seen], Floats]
#: Name of the minds combined that see only what he has thrown.
_BLIND: Final = minds.BLIND


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

    def nats(self, chances: Floats) -> Floats:
        """Return the loss of each pitch: minus the log of the chance given to it, (pitches,)."""
        return np.asarray(-np.log(chances[np.arange(len(self.label)), self.label]))

    def evidence(self) -> Floats:
        """Return the running log likelihood ratio of reader to constant, nats, (pitches,)."""
        return np.asarray(np.cumsum(self.nats(self.constant) - self.nats(self.reader)))


def forward(
    seen: Seen, who: Sequence[Mind] = MINDS, outsiders: dict[str, Outsider] | None = None
) -> Forward:
    """Let every mind name each pitch from those before it, and combine them.

    Pitchers are read apart: neither what a mind has learnt of one nor what the reader has learnt
    of the minds bears on another.

    Parameters
    ----------
    seen : Seen
        Pitches in the order thrown.
    who : sequence of Mind
        The first is the constant.
    outsiders : dict, optional
        Further minds by name, such as `boosted.mind`.

    Returns
    -------
    Forward
        Every chance is positive; rows sum to one. The first pitch of all gets an even guess.
    """
    outsiders = outsiders or {}
    names = [*(mind.name for mind in who), *outsiders]
    chances = {name: np.empty((len(seen), seen.labels)) for name in names}
    reader, weights = np.empty((len(seen), seen.labels)), np.empty((len(seen), len(names)))
    for rows in _pitchers(seen.group):
        own = seen.only(rows)
        found = _each(own, who, outsiders)
        for name, each in zip(names, found, strict=True):
            chances[name][rows] = each
        reader[rows], weights[rows] = fixed_share.combine(np.stack(found, axis=1), own.label)
    return Forward(seen.label, chances, reader, weights)


def _pitchers(group: Codes) -> list[NDArray[np.intp]]:
    """Return the places of each pitcher's pitches."""
    order = np.argsort(group, kind="stable")
    return np.split(order, np.flatnonzero(np.diff(group[order])) + 1) if len(group) else []


def _each(own: Seen, who: Sequence[Mind], outsiders: dict[str, Outsider]) -> list[Floats]:
    contexts = Contexts(own.columns, own.label, own.labels)
    counting = [minds.chances(mind, contexts) for mind in who]
    return counting + [outsider(own) for outsider in outsiders.values()]
