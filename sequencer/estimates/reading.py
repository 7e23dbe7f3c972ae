"""A pitcher's reader carried from pitch to pitch: what `forward` says, one pitch at a time.

Between two pitches of a game nobody waits for all earlier ones to be counted again. A reading is a
value: `after` gives the next one and leaves it as it was, so an undone pitch costs nothing.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import exp, log
from typing import NamedTuple

import numpy as np

from sequencer.estimates import context_tree, fixed_share, minds
from sequencer.estimates.arrays import Floats
from sequencer.estimates.minds import MINDS, Mind
from sequencer.estimates.visits import Contexts, Visits
from sequencer.estimates.watched import Seen

Chances = list[float]
#: Codes of the columns that make a context.
Key = tuple[int, ...]


class Node(NamedTuple):
    """What a mind knows of one context: what came there, and the log odds that memory ends."""

    counts: tuple[float, ...]
    ends: float


#: The contexts of each depth of one mind.
Depths = tuple[dict[Key, Node], ...]


@dataclass(frozen=True)
class Expected:
    """Chances of the next pitch, each of length `labels`."""

    minds: list[Chances]
    reader: Chances
    blind: Chances

    @property
    def constant(self) -> Chances:
        """Chances of the best forward constant."""
        return self.minds[0]


@dataclass(frozen=True)
class Reading:
    """What the minds know of one pitcher so far.

    Attributes
    ----------
    labels : int
        Kinds of pitch.
    who : tuple of Mind
        The first is the constant.
    columns : frozenset of str
        What is seen of each pitch.
    depths : tuple of Depths
        What each mind knows.
    weights, blind_weights : list of float
        What the reader, and the blind, give each of their minds next.
    """

    labels: int
    who: tuple[Mind, ...]
    columns: frozenset[str]
    depths: tuple[Depths, ...]
    weights: Chances
    blind_weights: Chances

    @classmethod
    def of(cls, seen: Seen, who: Sequence[Mind] = MINDS) -> "Reading":
        """Return what is known of one pitcher after all these pitches of his."""
        contexts = Contexts(seen.columns, seen.label, seen.labels)
        found = [minds.chances(mind, contexts) for mind in who]
        at = np.arange(len(seen))
        given = np.stack([chances[at, seen.label] for chances in found], axis=1)
        blind = [i for i, mind in enumerate(who) if not mind.contexts]
        depths = tuple(_depths(mind, contexts) for mind in who)
        weights, blind_weights = _last_weights(given), _last_weights(given[:, blind])
        columns = frozenset(seen.columns)
        return cls(seen.labels, tuple(who), columns, depths, weights, blind_weights)

    def expect(self, now: Mapping[str, int]) -> Expected:
        """Return the chances of the next pitch.

        Parameters
        ----------
        now : mapping
            Codes of the columns before it, as in `Seen.columns`.
        """
        found = [
            _mixed(_by_depth(mind, depths, self._keys(mind, now), self.labels), mind)
            for mind, depths in zip(self.who, self.depths, strict=True)
        ]
        blind = [each for each, mind in zip(found, self.who, strict=True) if not mind.contexts]
        reader = _weighed(self.weights, found)
        return Expected(found, reader, _weighed(self.blind_weights, blind))

    def after(self, now: Mapping[str, int], label: int) -> "Reading":
        """Return what is known once a pitch was thrown, given what was seen before it."""
        found, depths = [], []
        for mind, known in zip(self.who, self.depths, strict=True):
            keys = self._keys(mind, now)
            steps = _by_depth(mind, known, keys, self.labels)
            found.append(_mixed(steps, mind)[label])
            depths.append(_learnt(mind, known, keys, steps, label))
        blind = [given for given, mind in zip(found, self.who, strict=True) if not mind.contexts]
        return Reading(
            self.labels,
            self.who,
            self.columns,
            tuple(depths),
            _next_weights(self.weights, found),
            _next_weights(self.blind_weights, blind),
        )

    def _keys(self, mind: Mind, now: Mapping[str, int]) -> list[Key]:
        codes = tuple(int(now[name]) for name in mind.contexts if name in self.columns)
        return [codes[:depth] for depth in range(len(codes) + 1)]


def _by_depth(
    mind: Mind, known: Depths, keys: list[Key], labels: int
) -> list[tuple[Node, Chances]]:
    """Return each depth's node and chances, the root first; see `minds.by_depth`."""
    nothing = Node((0.0,) * labels, 0.0)
    coarser, weight = [1.0 / labels] * labels, minds.EVEN_GUESS
    steps = []
    for nodes, key in zip(known, keys, strict=True):
        node = nodes.get(key, nothing)
        scale = 1.0 / (sum(node.counts) + weight)
        coarser = [
            (count + weight * chance) * scale
            for count, chance in zip(node.counts, coarser, strict=True)
        ]
        steps.append((node, coarser))
        weight = minds.COARSER_COUNTS
    return steps


def _mixed(steps: list[tuple[Node, Chances]], mind: Mind) -> Chances:
    """Return a mind's chances from those of its depths; see `context_tree.weigh`."""
    mixed = steps[-1][1]
    if mind.weighs:
        for node, own in steps[-2::-1]:
            mixed = _either(node.ends, own, mixed)
    return mixed


def _either(ends: float, own: Chances, deeper: Chances) -> Chances:
    share = 1.0 / (1.0 + exp(-min(max(ends, -700.0), 700.0)))
    return [share * a + (1.0 - share) * b for a, b in zip(own, deeper, strict=True)]


def _learnt(
    mind: Mind, known: Depths, keys: list[Key], steps: list[tuple[Node, Chances]], label: int
) -> Depths:
    """Return a mind's contexts with one more pitch in those it was thrown in."""
    learnt: list[dict[Key, Node]] = []
    deeper: Chances | None = None
    for nodes, key, (node, own) in zip(known[::-1], keys[::-1], steps[::-1], strict=True):
        counts = [mind.keep * count for count in node.counts]
        counts[label] += 1.0
        ends = node.ends + (log(own[label]) - log(deeper[label]) if deeper else 0.0)
        learnt.append({**nodes, key: Node(tuple(counts), ends)})
        deeper = _either(node.ends, own, deeper) if deeper else own
    return tuple(learnt[::-1])


def _weighed(weights: Chances, chances: list[Chances]) -> Chances:
    return [
        sum(weight * chance for weight, chance in zip(weights, kind, strict=True))
        for kind in zip(*chances, strict=True)
    ]


def _next_weights(now: Chances, given: Chances) -> Chances:
    """Return the weights after one more pitch; see `fixed_share.weights`."""
    best = max(given)
    earned = [weight * chance / best for weight, chance in zip(now, given, strict=True)]
    kept, part = (1.0 - fixed_share.SHARED) / sum(earned), fixed_share.SHARED / len(now)
    return [kept * weight + part for weight in earned]


def _last_weights(given: Floats) -> Chances:
    """Return the weights after all of some pitches."""
    if not len(given):
        return [1.0 / given.shape[1]] * given.shape[1]
    now: Chances = fixed_share.weights(given)[-1].tolist()
    return _next_weights(now, given[-1].tolist())


def _depths(mind: Mind, seen: Contexts) -> Depths:
    """Return what a mind knows of every context after all of some pitches."""
    names = [name for name in mind.contexts if name in seen.columns]
    chances = minds.by_depth(names, mind.keep, seen)
    visits = [seen.visits(names[:depth]) for depth in range(len(names) + 1)]
    found: list[dict[Key, Node]] = []
    gains, mixed = np.zeros(len(seen.label)), chances[-1]
    for depth in range(len(names), -1, -1):
        own, met = chances[depth], visits[depth]
        if depth < len(names):
            gains = context_tree.gained(own, mixed, seen.label)
        ends = met.before(gains[:, None])
        found.append(_nodes(names[:depth], mind, met, ends[:, 0] + gains, seen))
        mixed = context_tree.either(ends, own, mixed)
    return tuple(found[::-1])


def _nodes(
    names: list[str], mind: Mind, met: Visits, ends: Floats, seen: Contexts
) -> dict[Key, Node]:
    """Return every context's counts and log odds after the last pitch in it."""
    last = met.last()
    counts = mind.keep * seen.counts(names, mind.keep)[last]
    counts[np.arange(len(last)), seen.label[last]] += 1.0
    keys = [seen.columns[name][last].tolist() for name in names]
    codes: Iterable[Key] = zip(*keys, strict=True) if keys else [()] * len(last)
    rows = zip(codes, counts.tolist(), ends[last].tolist(), strict=True)
    return {code: Node(tuple(count), end) for code, count, end in rows}
