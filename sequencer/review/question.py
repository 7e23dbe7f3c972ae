"""What a pattern asks of a pitcher's log: under which condition what comes more often."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import pitches
from sequencer.review.coded import HEIGHTS, SIDES, Coded, Codes, Label
from sequencer.review.usual import Usual, numbered

Held = Literal["game", "count", "bats", "pitcher"]
Facts = Mapping[str, str | int | bool]

#: A pitch type thrown less often than this is asked about with its family only.
FEWEST_OF_A_TYPE: Final = 8
#: Parts of the false alarms allowed: for habits that the trade names first, and for others
#: (assumption).
FIRST: Final = 1.0
LATER: Final = 0.1
#: Fewest pitches a question is asked of. Common practice, no source.
FEWEST_PITCHES: Final = 20
#: A contrast whose count has a smaller variance than this by chance can hardly move; its skewed
#: tail would only dull the others. Depends on margins alone, so it cannot favour a finding.
SMALLEST_VARIANCE: Final = 1.0


@dataclass(frozen=True)
class Condition:
    """What an opponent can know before the pitch: classes of a factor, and the words for them."""

    where: Facts
    phrase: str
    members: tuple[int, ...]


@dataclass(frozen=True)
class Pattern:
    """One kind of habit.

    Attributes
    ----------
    id, question : str
        Its name in JSON; what it asks, in a coach's words.
    factor : str
        What the condition is about, for sentences: "count", "catcher".
    label : {"pitch", "side", "height"}
        What an opponent would predict.
    held : tuple
        What a pitch's usual rates go by: the game, and the rest of these together.
    classes : callable
        Coded log -> class of each pitch; -1 leaves it out.
    conditions : callable
        (coded log, classes present) -> conditions worth asking about.
    whole_games : bool
        The factor may be constant within a game, so that games, not pitches, are shuffled.
    repeats : bool
        Classes are the labels before: also ask whether he repeats, and whether he changes.
    run : int
        Of those: how many pitches before, all alike.
    weight : float
        Its part of the false alarms allowed for each thing asked: `FIRST` or `LATER`.
    of_days : bool
        It tells what is true of one day that is over, which is no habit.
    of_hitters : bool
        The factor is a hitter's own: where hitters differ anyway, hitters are shuffled.
    """

    id: str
    question: str
    factor: str
    label: Label
    held: tuple[Held, ...]
    classes: Callable[[Coded], Codes]
    conditions: Callable[[Coded, tuple[int, ...]], tuple[Condition, ...]]
    whole_games: bool = False
    repeats: bool = False
    run: int = 1
    weight: float = LATER
    of_days: bool = False
    of_hitters: bool = False


@dataclass(frozen=True)
class Contrast:
    """One directed comparison: `what` comes more often under `condition` than it would."""

    condition: Condition
    what: Facts
    does: str
    inside: NDArray[np.bool_]
    weights: NDArray[np.float64]


@dataclass(frozen=True)
class Question:
    """A pattern put to one log.

    Attributes
    ----------
    rows : ndarray, shape (pitches,)
        Positions in the coded log.
    classes, labels : ndarray, shape (pitches,)
        Codes from 0.
    factors : tuple of ndarray, each of shape (pitches,)
        Codes from 0 of what is held.
    contrasts : tuple of Contrast
        `weights` (classes, labels): what a pitch of this class and label adds to its count.
    """

    pattern: Pattern
    rows: Codes
    classes: Codes
    labels: Codes
    factors: tuple[Codes, ...]
    contrasts: tuple[Contrast, ...]

    def __len__(self) -> int:
        return len(self.rows)

    @property
    def shape(self) -> tuple[int, int]:
        """Numbers of classes and of labels."""
        classes, labels = self.contrasts[0].weights.shape
        return classes, labels

    @property
    def share(self) -> float:
        """Its part of the false alarms allowed, against other questions: by all it asks at once."""
        conditions = {str(contrast.condition.where) for contrast in self.contrasts}
        classes, labels = self.shape
        free = min(len(conditions), classes - 1) * (labels - 1) + self.pattern.repeats
        return self.pattern.weight * free

    @cached_property
    def weights(self) -> NDArray[np.float64]:
        """Weights of all contrasts, (contrasts, classes, labels)."""
        return np.stack([contrast.weights for contrast in self.contrasts])

    @cached_property
    def usual(self) -> Usual:
        """How often each label would usually come."""
        return Usual.of(self.factors, self.labels, self.shape[1])

    @cached_property
    def table(self) -> NDArray[np.float64]:
        """Pitches by class and label."""
        return cross(self.classes, self.labels, self.shape)


def ask(
    pattern: Pattern,
    log: Coded,
    *,
    also_held: tuple[Held, ...] = (),
    also: tuple[Codes, ...] = (),
) -> Question | None:
    """Put a pattern to a log, or return None where there is nothing to compare.

    Parameters
    ----------
    pattern : Pattern
    log : Coded
        Pitches of one pitcher, or of one caller.
    also_held : tuple
        More to hold, such as the pitcher when callers are compared: all the rest is held within it.
    also : tuple of ndarray, each of shape (pitches of the log,)
        Codes of further things to hold, each by itself.
    """
    classes, labels = pattern.classes(log), log.label(pattern.label)
    rows = np.flatnonzero((classes >= 0) & (labels >= 0))
    if len(rows) < FEWEST_PITCHES:
        return None
    present, known = np.unique(classes[rows]), np.unique(labels[rows])
    if len(known) < 2 or len(present) < 2:
        return None
    if pattern.repeats:
        present = known = np.union1d(present, known)
    classes, labels = np.searchsorted(present, classes[rows]), np.searchsorted(known, labels[rows])
    return Question(
        pattern,
        rows,
        classes.astype(np.int64),
        labels.astype(np.int64),
        held_by(pattern.held, log.only(rows), also_held, tuple(one[rows] for one in also)),
        _contrasts(pattern, log, present, known, np.bincount(labels, minlength=len(known))),
    )


def held_by(
    held: tuple[Held, ...],
    log: Coded,
    also_held: tuple[Held, ...] = (),
    also: tuple[Codes, ...] = (),
) -> tuple[Codes, ...]:
    """Return the factors that usual rates go by: the game, the situation, and what is held more."""
    within = [_held(log, each) for each in also_held]
    situation = [_held(log, each) for each in held if each != "game"]
    columns = [[*within, log.game]] if "game" in held else []
    columns += [[*within, *situation]] if situation or (within and not columns) else []
    columns += [[one] for one in also]
    return tuple(combined(each, len(log)) for each in columns)


def combined(columns: list[Codes], size: int) -> Codes:
    """Return a number for each distinct combination of several columns of codes, from 0."""
    found = np.zeros(size, dtype=np.int64)
    for column in columns:
        found, _ = numbered(found * (int(column.max()) + 2) + column + 1)
    return found


def _held(log: Coded, held: Held) -> Codes:
    columns = {"game": log.game, "count": log.count_group, "bats": log.bats}
    return columns.get(held, log.pitcher)


def _contrasts(
    pattern: Pattern, log: Coded, present: Codes, known: Codes, sizes: Codes
) -> tuple[Contrast, ...]:
    """Cross every condition with every label."""
    conditions = pattern.conditions(log, tuple(present.tolist()))
    found = []
    for condition in conditions:
        inside = np.isin(present, condition.members)
        for what, does, members in options(pattern.label, known, sizes):
            weights = np.outer(inside, np.isin(known, members)).astype(float)
            found.append(Contrast(condition, what, does, inside, weights))
    return (*found, *(_repeats(pattern, present, known) if pattern.repeats else ()))


def _repeats(pattern: Pattern, present: Codes, known: Codes) -> tuple[Contrast, ...]:
    """Ask whether the same pitch comes again more, or less, often than it would."""
    same = (present[:, None] == known[None, :]).astype(float)
    key, phrase = _ANY[pattern.run]
    any_pitch = Condition({key: "any"}, phrase, tuple(present.tolist()))
    inside = np.ones(len(present), dtype=bool)
    return (
        Contrast(any_pitch, {"repeat": True}, "throws the same pitch again", inside, same),
        Contrast(any_pitch, {"repeat": False}, "changes to another pitch", inside, 1 - same),
    )


_ANY: Final = {
    1: ("previous", "After any pitch"),
    2: ("twice", "After two of one type running"),
}


def options(label: Label, known: Codes, sizes: Codes) -> list[tuple[Facts, str, tuple[int, ...]]]:
    """Return what can be predicted: (JSON words, verb phrase, codes of the label)."""
    if label == "side":
        does = {"in": "comes in", "middle": "goes over the middle", "away": "goes away"}
        return [({"side": SIDES[k]}, does[SIDES[k]], (k,)) for k in known.tolist()]
    if label == "height":
        does = {"up": "goes up", "belt": "goes belt-high", "down": "goes down"}
        return [({"height": HEIGHTS[k]}, does[HEIGHTS[k]], (k,)) for k in known.tolist()]
    return _pitch_options(known, sizes)


def _pitch_options(known: Codes, sizes: Codes) -> list[tuple[Facts, str, tuple[int, ...]]]:
    """Return the types thrown, and each family that has several of them."""
    families: dict[str, list[int]] = {}
    for code in known.tolist():
        families.setdefault(family_of(code), []).append(code)
    found: list[tuple[Facts, str, tuple[int, ...]]] = []
    for code, size in zip(known.tolist(), sizes.tolist(), strict=True):
        family = family_of(code)
        if size >= FEWEST_OF_A_TYPE or len(families[family]) == 1:
            word = type_word(code)
            found.append(({"pitch": word, "family": family}, f"throws {the(word)}", (code,)))
    for family, members in families.items():
        if len(members) > 1 and family != "unknown":
            word = FAMILY_WORDS[family]
            found.append(({"family": family}, f"throws {word}", tuple(members)))
    return found


#: Families as a coach says them.
FAMILY_WORDS: Final = {
    "fast": "a fastball of any kind",
    "breaking": "a breaking ball of any kind",
    "off-speed": "an off-speed pitch of any kind",
}
_TYPES: Final = tuple(pitches.TYPES)


def type_word(code: int) -> str:
    """Return the word of a pitch type's code."""
    return _TYPES[code]


def family_of(code: int) -> str:
    """Return the family of a pitch type's code."""
    return pitches.TYPES[_TYPES[code]]


def the(word: str) -> str:
    """Return a pitch type with its article, as a coach says it."""
    spoken = {"off-speed": "the off-speed pitch", "other": "one of his other pitches"}
    return spoken.get(word, f"the {word}")


def cross(rows: Codes, columns: Codes, shape: tuple[int, int]) -> NDArray[np.float64]:
    """Count pitches by two columns of codes, (rows, columns)."""
    counts = np.bincount(rows * shape[1] + columns, minlength=shape[0] * shape[1])
    return counts.reshape(shape).astype(float)
