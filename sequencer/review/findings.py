"""Findings of one pitcher's (or caller's) log: every question's answer, and what was told twice."""

import dataclasses
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from sequencer.review import whole_games
from sequencer.review.chains import answer_by_chain
from sequencer.review.coded import Coded, Codes
from sequencer.review.effect import Resampler, gains
from sequencer.review.patterns import PATTERNS
from sequencer.review.question import Contrast, Held, Pattern, Question, ask, cross
from sequencer.review.screen import FLAG, Tested, across, answer, moments, within
from sequencer.review.statistics import mutual_information, smallest_found

#: Two findings are one habit when the second is no longer there (p above this) once the first is
#: held in place. Common practice, no source.
SAME_ABOVE: Final = 0.05


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
    z : float
        Count less expected, in standard deviations over shuffles.
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
    pattern: Pattern
    question: Question
    tested: Tested
    why_not: str = ""


def look_for(
    log: Coded,
    *,
    seed: int,
    name: str,
    patterns: Sequence[Pattern] = PATTERNS,
    also_held: tuple[Held, ...] = (),
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

    Returns
    -------
    findings : list of Finding
        At least one for each question asked, flagged first within a pattern.
    could_find : dict
        Pattern id -> points of share a habit would need to be found.
    """
    one_game = len(np.unique(log.game)) < 2
    asked = []
    for pattern in patterns:
        question = ask(pattern, log, also_held=also_held)
        rng = np.random.default_rng([seed, zlib.crc32(f"{name}/{pattern.id}".encode())])
        answered = question and _answer(question, log, rng, one_game)
        if answered:
            asked.append(answered)
    resampler = Resampler(log, np.random.default_rng([seed, zlib.crc32(name.encode())]))
    found = _tell(asked, log, resampler)
    could = {each.pattern.id: _could_find(each) for each in asked if not each.why_not}
    return _told_once(found, log, also_held, seed), could


def _answer(
    question: Question, log: Coded, rng: np.random.Generator, one_game: bool
) -> _Asked | None:
    pattern, why_not = question.pattern, ""
    by_game = pattern.whole_games and not one_game and whole_games.is_whole(question, log)
    if by_game:
        question = whole_games.majority(question, log)
        if question.shape[0] < 2:
            return None
        if whole_games.orders(question, log) < whole_games.FEWEST_ORDERS:
            why_not = f"differs by game: {pattern.factor} and day cannot be told apart"
    elif one_game:
        why_not = "one game: counts only, no verdict"
    if by_game and not why_not:
        tested = whole_games.answer_by_game(question, log, rng)
    else:
        tested = shuffle(question, log, rng)
    return _Asked(pattern, question, tested, why_not) if tested else None


def shuffle(question: Question, log: Coded, rng: np.random.Generator) -> Tested | None:
    """Test a question by shuffling pitches, the pitch before moving with its label if it is asked.

    Returns
    -------
    Tested or None
        None when no contrast could move.
    """
    if question.pattern.repeats:
        return answer_by_chain(question, log, rng)
    return answer(question, rng)


def _tell(asked: list[_Asked], log: Coded, resampler: Resampler) -> list[Finding]:
    """Turn answers into findings, q over the questions that were really tested."""
    p = [each.tested.p for each in asked if not each.why_not]
    q = iter(across(p).tolist())
    family_q = [1.0 if each.why_not else next(q) for each in asked]
    flagged = sum(each <= FLAG for each in family_q)
    found = []
    for each, own in zip(asked, family_q, strict=True):
        each_q = within(each.tested, own, len(p), flagged)
        each_q[each.tested.strongest] = own
        for place in _worth_telling(each, each_q):
            told = _finding(each, place, float(each_q[place]), log, resampler)
            found.append(told)
    return found


def _worth_telling(asked: _Asked, q: np.ndarray[tuple[int], np.dtype[np.float64]]) -> list[int]:
    """Return places of the strongest contrast and of the others flagged, mirror images once."""
    tested = asked.tested
    order = np.argsort(-tested.z, kind="stable").tolist()
    order = [place for place in order if q[place] <= FLAG] or order[:1]
    told: list[int] = []
    surplus = tested.count - tested.mean
    for place in order:
        mirrors = [i for i in told if abs(surplus[i] - surplus[place]) < 1e-6]
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
    surplus = gains(question, int(tested.kept[place]))
    gain = 100 * float(tested.count[place] - tested.mean[place]) / len(log)
    low, high = resampler.interval(question.rows, surplus)
    # the pitch before moves with its label, which shifts what is expected a little
    shift = gain - 100 * float(surplus.sum()) / len(log)
    strongest = place == tested.strongest
    return Finding(
        pattern=asked.pattern,
        contrast=contrast,
        pitches=int(inside.sum()),
        count=float(tested.count[place]),
        expected=float(tested.mean[place]),
        gain=gain,
        interval=(low + shift, high + shift),
        z=float(tested.z[place]),
        p=1.0 if untested else tested.p if strongest else float(tested.stepped[place]),
        q=q,
        bits=mutual_information(cross(question.classes, question.labels, question.shape)),
        rows=question.rows[inside],
        why_not=asked.why_not,
    )


def _could_find(asked: _Asked) -> float:
    """Return the points of share a habit of this kind would need, for its middling condition.

    Shuffling whole games leaves more to chance than shuffling pitches does: it counts as so many
    fewer pitches.
    """
    tested, size = asked.tested, len(asked.question)
    inside = sorted(_pitches(asked, place) for place in range(len(tested.kept)))
    share = min(inside[len(inside) // 2] / size, 1 - 1 / size)
    if asked.pattern.whole_games:
        ratio = tested.variance / moments(asked.question)[1][tested.kept]
        size = round(size / max(float(np.median(ratio)), 1.0))
    return smallest_found(size, share)


def _told_once(
    found: list[Finding], log: Coded, also_held: tuple[Held, ...], seed: int
) -> list[Finding]:
    """Mark flagged findings that are another view of a surer one of another pattern."""
    told: list[Finding] = []
    marks: dict[int, str] = {}
    surest = sorted((each for each in found if each.flagged), key=lambda each: -each.z)
    for finding in surest:
        for first in told:
            if _same(first, finding, log, also_held, seed):
                marks[id(finding)] = first.pattern.id
                break
        else:
            told.append(finding)
    return [
        dataclasses.replace(each, same_as=marks[id(each)]) if id(each) in marks else each
        for each in found
    ]


def _same(
    first: Finding, second: Finding, log: Coded, also_held: tuple[Held, ...], seed: int
) -> bool:
    """Tell whether `second` is gone once the condition and the label of `first` are held."""
    if second.pattern.whole_games or first.pattern.whole_games:
        return False
    held = np.zeros(len(log), dtype=np.int64)
    held[first.rows] = 1
    if first.pattern.label != second.pattern.label:
        held = 2 * held + _is_what(first, log)
    question = ask(second.pattern, log, also_held=also_held, also_strata=held)
    if question is None:
        return True
    rng = np.random.default_rng([seed, zlib.crc32(second.pattern.id.encode())])
    tested = shuffle(question, log, rng)
    for place, kept in enumerate(tested.kept.tolist() if tested else ()):
        contrast = question.contrasts[kept]
        if tested and _tells_the_same(contrast, second.contrast):
            return float(tested.stepped[place]) > SAME_ABOVE
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
