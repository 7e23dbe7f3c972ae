"""Findings of one pitcher's (or caller's) log: every question's answer, and what was told twice."""

import zlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Final

import numpy as np
from numpy.typing import NDArray

from sequencer.review import whole_games
from sequencer.review.by_hitter import differing
from sequencer.review.chains import Chain, answer_by_chain
from sequencer.review.coded import Coded, Codes, Label
from sequencer.review.effect import Resampler, gains
from sequencer.review.patterns import PATTERNS
from sequencer.review.question import SMALLEST_VARIANCE, Contrast, Held, Pattern, Question, ask
from sequencer.review.screen import FLAG, Dealer, Tested, across, answer, within
from sequencer.review.statistics import mutual_information, smallest_found
from sequencer.review.usual import Usual

Floats = NDArray[np.float64]

#: Two findings are one habit when the second is not so many standard deviations out any more once
#: the first is held: the one-sided level of one question in twelve (assumption).
STILL_THERE: Final = 2.64
#: False alarms allowed for days that were not like the others. Nobody could read such a day before
#: it came, so it shares no account with habits, and less is allowed for it (assumption).
FLAG_DAYS: Final = 0.01


@dataclass(frozen=True)
class Finding:
    """One directed contrast of one pattern.

    Attributes
    ----------
    pattern : Pattern
    contrast : Contrast
    pitches : int
        Pitches that met the condition.
    count, expected : float
        Of them, how many were `what`; how many would have been if `where` told nothing.
    gain, interval : float, (float, float)
        Extra right guesses per 100 of all his pitches.
    z, past : float
        Count less expected, in standard deviations by chance, and how far past its bar that is.
    p, q : float
        1 when the question could not be tested; `why_not` then says why.
    bits : float
        What the whole factor tells about the label, bits per pitch, bias-corrected.
    rows : ndarray
        Positions in the coded log of the pitches that met the condition.
    right : bool or None
        The plan would have it so; None without a plan.
    same_as : str
        The pattern of which this is another view; "" for none.
    """

    pattern: Pattern
    contrast: Contrast
    pitches: int
    count: float
    expected: float
    gain: float
    interval: tuple[float, float]
    z: float
    past: float
    p: float
    q: float
    bits: float
    rows: Codes
    why_not: str = ""
    right: bool | None = None
    same_as: str = ""

    @property
    def flagged(self) -> bool:
        """True when this is a habit and not chance (q at most .05)."""
        return self.q <= FLAG

    @property
    def share(self) -> float:
        """Share of `what` under the condition."""
        return self.count / max(self.pitches, 1)

    @property
    def expected_share(self) -> float:
        """Share there would be if the condition told nothing."""
        return self.expected / max(self.pitches, 1)


@dataclass(frozen=True)
class _Asked:
    """A question answered; `added` are the rows and what each adds to a contrast over the usual.

    `by_unit` tells that whole games or hitters were shuffled.
    """

    question: Question
    tested: Tested
    added: Callable[[int], tuple[Codes, Floats]]
    why_not: str = ""
    by_unit: bool = False

    @property
    def pattern(self) -> Pattern:
        return self.question.pattern


@dataclass(frozen=True)
class Asking:
    """Puts questions to one log: usual rates and logs drawn by them are made once for all.

    Attributes
    ----------
    log : Coded
    key : tuple of int
        Seed, and the pitcher's own number.
    also_held : tuple
        More to hold in every question.
    hitters : mapping
        Label -> who each pitch was thrown to, where hitters differ in it (`by_hitter`).
    """

    log: Coded
    key: tuple[int, ...]
    also_held: tuple[Held, ...] = ()
    hitters: Mapping[Label, Codes] = field(default_factory=dict)
    dealers: dict[tuple[object, ...], tuple[Usual, Dealer]] = field(default_factory=dict)

    def rng(self, *words: str) -> np.random.Generator:
        """Return a generator that hangs on the pitcher and the words alone."""
        return np.random.default_rng([*self.key, *(zlib.crc32(word.encode()) for word in words)])

    def ask(self, pattern: Pattern, *also: Codes) -> Question | None:
        """Put a pattern to the log."""
        also = self.held_more(pattern, *also)
        return ask(pattern, self.log, also_held=self.also_held, also=also)

    def held_more(self, pattern: Pattern, *also: Codes) -> tuple[Codes, ...]:
        """Return what is held beside game and situation: hitters who differ, and what is given."""
        hitters = self.hitters.get(pattern.label)
        return also if hitters is None else (hitters, *also)

    def dealer(self, question: Question) -> Dealer:
        """Return the drawer of a question's usual rates, which share them where they are alike."""
        pattern = question.pattern
        key = (pattern.label, pattern.held, question.rows.tobytes())
        if key not in self.dealers:
            rng = self.rng(pattern.label, *pattern.held)
            self.dealers[key] = question.usual, Dealer(question.usual, rng)
        question.__dict__["usual"], dealer = self.dealers[key]
        return dealer

    def answer(self, question: Question, allowed: float) -> _Asked | None:
        """Test a question by drawn logs, the pitches before drawn with the others if asked."""
        if question.pattern.repeats:
            more = self.held_more(question.pattern)
            chain = Chain.of(question, self.log, self.also_held, more)
            dealer = Dealer(chain.usual, self.rng(question.pattern.id))
            tested = answer_by_chain(question, chain, dealer, allowed)
            return _Asked(question, tested, partial(_chained, question, chain)) if tested else None
        tested = answer(question, self.dealer(question), allowed)
        return _Asked(question, tested, partial(_counted, question)) if tested else None

    def distance(self, question: Question, contrast: int, also: Codes) -> float:
        """Return how many standard deviations a contrast is out with one more thing held.

        Or fewer, where these are enough to be still there.
        """
        weights = question.weights[contrast : contrast + 1]
        if question.pattern.repeats:
            held = self.held_more(question.pattern, also)
            chain = Chain.of(question, self.log, self.also_held, held)
            return float(chain.added(weights[0]).sum()) / _sd(chain.covariance(weights)[0])
        more = float(gains(question, contrast).sum())
        least = more / _sd(question.usual.most(question.classes, weights))
        if more <= 0.0 or least >= STILL_THERE:
            return least
        return more / _sd(question.usual.told_apart(question.classes, weights).variance)

    def answer_by_unit(self, question: Question, unit: Codes, allowed: float) -> _Asked | None:
        """Test a question whose factor is one for a whole game, or for a hitter."""
        rng = self.rng(question.pattern.id)
        tested = whole_games.answer_by_unit(question, unit, rng, allowed)
        if tested is None:
            return None
        return _Asked(question, tested, partial(_counted, question), by_unit=True)

    def by_hitter(self, pattern: Pattern) -> bool:
        """Tell whether a pattern asks of what is a hitter's own, and hitters differ anyway."""
        return pattern.of_hitters and pattern.label in self.hitters


def _sd(variance: Floats) -> float:
    """Return the square root; without bound where nothing can move."""
    return float(np.sqrt(variance[0])) if variance[0] >= SMALLEST_VARIANCE else np.inf


def _counted(question: Question, contrast: int) -> tuple[Codes, Floats]:
    return question.rows, gains(question, contrast)


def _chained(question: Question, chain: Chain, contrast: int) -> tuple[Codes, Floats]:
    return chain.rows[chain.after], chain.added(question.weights[contrast])


def look_for(
    log: Coded,
    *,
    seed: int,
    name: str,
    patterns: Sequence[Pattern] = PATTERNS,
    also_held: tuple[Held, ...] = (),
    hitters: Mapping[Label, Codes] | None = None,
) -> tuple[list[Finding], dict[str, float]]:
    """Ask every pattern of one log.

    Parameters
    ----------
    log : Coded
        One pitcher's pitches, or one caller's.
    seed : int
    name : str
        Of the pitcher: his answers do not depend on who else is reviewed.
    also_held : tuple
        More to hold in every question.
    hitters : mapping, optional
        What `by_hitter.differing` says of this log, where it was asked before.

    Returns
    -------
    findings : list of Finding
        At least one for each question asked, flagged first within a pattern.
    could_find : dict
        Pattern id -> points of share a habit would need to be found.
    """
    hitters = differing(log, also_held) if hitters is None else hitters
    asking = Asking(log, (seed, zlib.crc32(name.encode())), also_held, hitters)
    questions = [each for each in map(asking.ask, patterns) if each is not None]
    resampler = Resampler(log, asking.rng())
    findings: list[Finding] = []
    could: dict[str, float] = {}
    for of_days, level in ((False, FLAG), (True, FLAG_DAYS)):
        account = [each for each in questions if each.pattern.of_days == of_days]
        asked = _answers(account, asking, level)
        found = _tell(asked, log, resampler, level)
        findings += _told_once(found, asking)
        could |= {each.pattern.id: _could_find(each) for each in asked if not each.why_not}
    return findings, could


def _answers(questions: list[Question], asking: Asking, level: float) -> list[_Asked]:
    """Answer the questions that share so many false alarms."""
    one_game = len(np.unique(asking.log.game)) < 2
    weight = sum(each.share for each in questions)
    answers = (_answer(each, asking, level * each.share / weight, one_game) for each in questions)
    return [each for each in answers if each]


def _answer(question: Question, asking: Asking, allowed: float, one_game: bool) -> _Asked | None:
    pattern, log = question.pattern, asking.log
    if pattern.whole_games and not one_game and whole_games.is_whole(question, log.game):
        held = tuple(each for each in pattern.held if each != "game")
        also = asking.held_more(pattern)
        question = whole_games.majority(question, log, log.game, held, asking.also_held, also)
        answered = _by_unit(question, asking, allowed, log.game, "day")
    elif asking.by_hitter(pattern):
        unit = log.hitter + 1
        question = whole_games.majority(question, log, unit, pattern.held, asking.also_held)
        answered = _by_unit(question, asking, allowed, unit, "hitter")
    else:
        answered = asking.answer(question, allowed)
    return replace(answered, why_not=_ONE_GAME) if answered and one_game else answered


def _by_unit(
    question: Question, asking: Asking, allowed: float, unit: Codes, word: str
) -> _Asked | None:
    if question.shape[0] < 2:
        return None
    if whole_games.orders(question, unit) >= whole_games.FEWEST_ORDERS:
        return asking.answer_by_unit(question, unit, allowed)
    answered = asking.answer(question, allowed)
    factor = question.pattern.factor
    why_not = f"differs by {_BY[word]}: {factor} and {word} cannot be told apart"
    return answered and replace(answered, why_not=why_not)


#: A day is a game to who keeps the log.
_BY: Final = {"day": "game", "hitter": "hitter"}
_ONE_GAME: Final = "one game: counts only, no verdict"


def _tell(asked: list[_Asked], log: Coded, resampler: Resampler, level: float) -> list[Finding]:
    """Turn answers into findings, q over the questions that were really tested.

    A level below that of a flag makes every q larger by as much.
    """
    put = [each for each in asked if not each.why_not]
    weights = [each.question.share for each in put]
    stricter = FLAG / level
    q = iter(np.minimum(stricter * across([each.tested.p for each in put], weights), 1.0).tolist())
    family_q = [1.0 if each.why_not else next(q) for each in asked]
    flagged = sum(each <= FLAG for each in family_q)
    found = []
    for each, own in zip(asked, family_q, strict=True):
        others = stricter * sum(weights) / each.question.share
        each_q = within(each.tested, own, others, flagged)
        each_q[each.tested.strongest] = own
        for place in _worth_telling(each, each_q):
            told = _finding(each, place, float(each_q[place]), log, resampler)
            found.append(told)
    return found


def _worth_telling(asked: _Asked, q: Floats) -> list[int]:
    """Return places of the strongest contrast and of the others flagged, mirror images once."""
    tested = asked.tested
    order = np.argsort(-tested.past, kind="stable").tolist()
    order = [place for place in order if q[place] <= FLAG] or order[:1]
    told: list[int] = []
    surplus = tested.count - tested.mean
    for place in order:
        mirrors = [i for i in told if abs(surplus[i] - surplus[place]) < 1e-3]
        if not mirrors:
            told.append(place)
        elif _pitches(asked, place) < _pitches(asked, mirrors[0]):
            told[told.index(mirrors[0])] = place
    return told


def _pitches(asked: _Asked, place: int) -> int:
    inside = asked.question.contrasts[asked.tested.kept[place]].inside
    return int(inside[asked.question.classes].sum())


def _finding(asked: _Asked, place: int, q: float, log: Coded, resampler: Resampler) -> Finding:
    question, tested = asked.question, asked.tested
    contrast = question.contrasts[tested.kept[place]]
    inside = contrast.inside[question.classes]
    untested = bool(asked.why_not)
    strongest = place == tested.strongest
    return Finding(
        pattern=asked.pattern,
        contrast=contrast,
        pitches=int(inside.sum()),
        count=float(tested.count[place]),
        expected=float(tested.mean[place]),
        gain=100 * float(tested.count[place] - tested.mean[place]) / len(log),
        interval=resampler.interval(*asked.added(int(tested.kept[place]))),
        z=float(tested.z[place]),
        past=float(tested.past[place]),
        p=1.0 if untested else tested.p if strongest else float(tested.stepped[place]),
        q=q,
        bits=mutual_information(question.table),
        rows=question.rows[inside],
        why_not=asked.why_not,
    )


def _could_find(asked: _Asked) -> float:
    """Return the points of share a habit of this kind would need, for its middling condition.

    Shuffling whole games or hitters leaves more to chance than drawing pitches does: it counts as
    so many fewer pitches.
    """
    tested, question = asked.tested, asked.question
    size = len(question)
    inside = sorted(_pitches(asked, place) for place in range(len(tested.kept)))
    share = min(inside[len(inside) // 2] / size, 1 - 1 / size)
    if asked.by_unit:
        by_pitch = question.usual.told_apart(question.classes, question.weights[tested.kept])
        ratio = tested.variance / np.maximum(by_pitch.variance, 1e-9)
        size = round(size / max(float(np.median(ratio)), 1.0))
    return smallest_found(size, share)


def _told_once(found: list[Finding], asking: Asking) -> list[Finding]:
    """Mark flagged findings that are another view of a surer one of another pattern."""
    told: list[Finding] = []
    marks: dict[int, str] = {}
    surest = sorted((each for each in found if each.flagged), key=lambda each: -each.past)
    for finding in surest:
        for first in told:
            if _same(first, finding, asking):
                marks[id(finding)] = first.pattern.id
                break
        else:
            told.append(finding)
    return [replace(each, same_as=marks[id(each)]) if id(each) in marks else each for each in found]


def _same(first: Finding, second: Finding, asking: Asking) -> bool:
    """Tell whether `second` is gone once the condition and the label of `first` are held."""
    if second.pattern.whole_games or first.pattern.whole_games or asking.by_hitter(second.pattern):
        return False
    log = asking.log
    held = np.zeros(len(log), dtype=np.int64)
    held[first.rows] = 1
    if first.pattern.label != second.pattern.label:
        held = 2 * held + _is_what(first, log)
    question = asking.ask(second.pattern, held)
    for place, contrast in enumerate(question.contrasts if question else ()):
        if question and _tells_the_same(contrast, second.contrast):
            return asking.distance(question, place, held) < STILL_THERE
    return True


def _tells_the_same(one: Contrast, other: Contrast) -> bool:
    return one.condition.where == other.condition.where and one.what == other.what


def _is_what(finding: Finding, log: Coded) -> Codes:
    """Return 1 for pitches that are the label of a finding, 0 for the others."""
    from sequencer.review.question import options

    label = log.label(finding.pattern.label)
    known = np.unique(label[label >= 0])
    sizes = np.bincount(np.searchsorted(known, label[label >= 0]))
    for what, _does, members in options(finding.pattern.label, known, sizes):
        if what == finding.contrast.what:
            return np.isin(label, members).astype(np.int64)
    return np.zeros(len(log), dtype=np.int64)
