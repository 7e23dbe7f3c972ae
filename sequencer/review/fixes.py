"""What to practise: for every habit a set for the bullpen and a change in the mix."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from sequencer.review.coded import HEIGHTS, SIDES, Coded, Label
from sequencer.review.findings import Finding
from sequencer.review.question import family_of, the, type_word
from sequencer.review.says import condition, of_100

#: Throws in a set, and sets of a missing combination in one bullpen. Common practice, no source.
THROWS: Final = 6
SETS: Final = 2
#: Where a pitch is asked for when the habit does not say. Common practice, no source.
_SPOT: Final = "low-away"
#: What a catcher holds his glove for: side or height -> half or spot.
_HALVES: Final = {
    "in": "in",
    "away": "away",
    "middle": "middle",
    "up": "high",
    "down": "low",
    "belt": "middle",
}
_PLACES: Final = {
    "in": "the inner half",
    "away": "the outer half",
    "high": "the high half",
    "low": "the low half",
    "middle": "the middle",
    _SPOT: f"the {_SPOT} quarter",
}


@dataclass(frozen=True)
class Fix:
    """One habit's cure.

    Attributes
    ----------
    pattern : str
    drill : str
        "set", "pair drill" or "one-half set".
    throws : tuple of (pitch, target)
        One set, in order.
    sets : int
        How many of them in a bullpen.
    mix : dict
        `where`, `what`, `from` and `to`: shares now and aimed at.
    says : str
    """

    pattern: str
    drill: str
    throws: tuple[tuple[str, str], ...]
    sets: int
    mix: dict[str, object]
    says: str


def fix(
    finding: Finding, log: Coded, plan_share: float | None = None, *, staff: bool = False
) -> Fix | None:
    """Return what to practise against a habit; None where there is nothing else to throw.

    Parameters
    ----------
    finding : Finding
        Flagged, and not what the plan asks for.
    log : Coded
        The pitcher's pitches.
    plan_share : float, optional
        The share the plan asks for; without it the aim is his own usual share.
    """
    planned = _drill(finding, log)
    if planned is None:
        return None
    drill, throws, said = planned
    aim = finding.expected_share if plan_share is None else plan_share
    mix = {
        "where": dict(finding.contrast.condition.where),
        "what": dict(finding.contrast.what),
        "from": finding.share,
        "to": aim,
    }
    says = f"Bullpen: {said} In games: {_mix_words(finding, aim, staff)}"
    return Fix(finding.pattern.id, drill, throws, SETS, mix, says)


_Drill = tuple[str, tuple[tuple[str, str], ...], str]


def _drill(finding: Finding, log: Coded) -> _Drill | None:
    if finding.pattern.label != "pitch":
        return _half_set(finding, log)
    if finding.pattern.repeats:
        return _pair_drill(finding, log)
    return _set(finding, log)


def _half_set(finding: Finding, log: Coded) -> _Drill | None:
    """Return a one-half set: the pitch to where it never goes."""
    label: Label = finding.pattern.label
    words = SIDES if label == "side" else HEIGHTS
    kind = finding.contrast.what[label]
    opposite = {"in": "away", "away": "in", "up": "down", "down": "up"}
    missing = opposite.get(str(kind)) or min(
        (words[0], words[2]), key=lambda word: _times(finding, log, words.index(word))
    )
    pitch = _commonest(log.pitch[finding.rows])
    if pitch is None:
        return None
    target = _HALVES[missing]
    said = (
        f"{_count(SETS)} one-half sets of {_count(THROWS)}: every throw {the(pitch)}, every throw "
        f"to {_PLACES[target]}, where it has not been going."
    )
    return "one-half set", ((pitch, target),) * THROWS, said


def _times(finding: Finding, log: Coded, code: int) -> int:
    return int((log.label(finding.pattern.label)[finding.rows] == code).sum())


def _pair_drill(finding: Finding, log: Coded) -> _Drill | None:
    """Return the pair that is missing, both throws to one spot."""
    before = _commonest(log.previous[finding.rows])
    repeat = finding.contrast.what.get("repeat")
    if before is None:
        return None
    then = before if repeat is False else _other_pitch(finding, log, avoid=before if repeat else "")
    if then is None:
        return None
    if finding.pattern.run > 1:
        return _trio_drill(before, then)
    pairs = ((before, _SPOT), (then, _SPOT)) * (THROWS // 2)
    twice = f"{the(before)} twice" if before == then else f"{the(before)}, then {the(then)}"
    said = (
        f"pair drill, {_count(THROWS // 2)} pairs, {_count(SETS)} times: {twice}, both throws of "
        f"a pair to the low-away quarter."
    )
    return "pair drill", pairs, said


def _trio_drill(before: str, then: str) -> _Drill:
    """Return what should come after two alike, all three throws to one spot."""
    trio = ((before, _SPOT), (before, _SPOT), (then, _SPOT))
    thrice = f"{the(before)} three times"
    if before != then:
        thrice = f"{the(before)} twice, then {the(then)}"
    said = (
        f"pair drill by threes, {_count(THROWS // 3)} of them, {_count(SETS)} times: {thrice}, all "
        f"to the low-away quarter."
    )
    return "pair drill", trio * (THROWS // 3), said


def _set(finding: Finding, log: Coded) -> _Drill | None:
    """Return a set of the pitch he does not throw there, the one he does thrown in."""
    other = _other_pitch(finding, log)
    usual = _usual_pitch(finding, log)
    if other is None or usual is None:
        return None
    side = finding.contrast.condition.where.get("side")
    target = _HALVES[str(side)] if side else _SPOT
    order = (other, other, usual, other, usual, other)
    said = (
        f"{_count(SETS)} sets of {_count(THROWS)} to {_PLACES[target]}{_as_if(finding)}: "
        f"{the(other)} twice, {the(usual)}, {the(other)}, {the(usual)}, {the(other)}."
    )
    return "set", tuple((pitch, target) for pitch in order), said


def _as_if(finding: Finding) -> str:
    """Say what the pitcher is to think of, so that the set is thrown as in the game."""
    where = finding.contrast.condition.where
    for key, said in _AS_IF.items():
        if key in where:
            words = said.get(str(where[key]), "")
            return f", {words}" if words else ""
    return ""


#: Condition -> its words -> how the set is made like the game. Common practice, no source.
_AS_IF: Final = {
    "count": {
        "hitter's": "the catcher calling the count 2-0",
        "pitcher's": "the catcher calling the count 0-2",
        "even": "the catcher calling the count 1-1",
        "full": "the catcher calling the count 3-2",
        "0-0": "the catcher calling the count 0-0",
        "not 0-0": "the catcher calling the count 1-1",
    },
    "bats": {
        "R": "a right-handed hitter standing in",
        "L": "a left-handed hitter standing in",
    },
    "bases": {
        "runners on": "from the stretch",
        "runner on second": "from the stretch, a runner on second",
        "runner on third": "from the stretch, a runner on third",
    },
    "outs": {
        "0": "the catcher calling nobody out",
        "1": "the catcher calling one out",
        "2": "the catcher calling two outs",
    },
    "after": {
        "ball": "the catcher calling ball before each throw",
        "called strike": "the catcher calling strike before each throw",
        "swinging strike or foul": "the catcher calling foul before each throw",
        "hard foul": "the catcher calling a hard foul before each throw",
        "in the dirt": "the catcher calling a ball in the dirt before each throw",
    },
    "last_hitter": {
        "out": "the catcher calling one out, next hitter up",
        "hit or walk": "from the stretch, the catcher calling a runner on first, next hitter up",
    },
    "score": {
        "ahead": "the catcher calling the score, two ahead",
        "tied": "the catcher calling the score, tied",
        "behind": "the catcher calling the score, two behind",
        "far ahead": "the catcher calling the score, five ahead",
        "far behind": "the catcher calling the score, five behind",
    },
    "inning": {
        "early": "the catcher calling the first inning",
        "middle": "the catcher calling the fourth inning",
        "late": "the catcher calling the last inning, one run apart",
    },
    "time_through": {
        "1": "the catcher calling the first time up",
        "2": "the catcher calling the second time up",
        "3": "the catcher calling the third time up",
    },
    "pitch_number": {
        "1-25": "as the first sets of the bullpen",
        "26-50": "after the fastball sets",
        "51-75": "as the last sets of the bullpen",
        "76 on": "as the last sets of the bullpen",
    },
    "advice": {"not followed": "the bench calling each throw"},
}


def _other_pitch(finding: Finding, log: Coded, avoid: str = "") -> str | None:
    """Return the pitch he throws most among those the habit leaves out."""
    from sequencer.review.plans import is_what

    codes = log.pitch[log.pitch >= 0]
    what = finding.contrast.what
    for code in np.argsort(-np.bincount(codes, minlength=1), kind="stable").tolist():
        word = type_word(code)
        habit = "repeat" not in what and is_what(what, word, "", -1)
        if not habit and word not in (avoid, "other") and (codes == code).any():
            return word
    return None


def _usual_pitch(finding: Finding, log: Coded) -> str | None:
    """Return the type he throws most where the habit holds, of those it speaks of."""
    codes = log.pitch[finding.rows]
    what = finding.contrast.what
    if "pitch" in what:
        return str(what["pitch"])
    family = [c for c in codes.tolist() if c >= 0 and family_of(c) == what.get("family")]
    return _commonest(np.array(family, dtype=np.int64))


def _commonest(codes: "np.ndarray[tuple[int], np.dtype[np.int64]]") -> str | None:
    known = codes[codes >= 0]
    return type_word(int(np.bincount(known).argmax())) if known.size else None


def _mix_words(finding: Finding, aim: float, staff: bool) -> str:
    phrase = condition(finding, staff=staff)
    if "game" in finding.contrast.condition.where:
        # a day is gone: what can change is the days to come
        return (
            f"{_noun(finding)} {of_100(aim)} times or so from day to day, "
            f"not {of_100(finding.share)} as {phrase[0].lower()}{phrase[1:]}."
        )
    return (
        f"{phrase[0].lower()}{phrase[1:]}, {_noun(finding)} {of_100(aim)} times or so, "
        f"not {of_100(finding.share)}."
    )


def _noun(finding: Finding) -> str:
    """Return the habit as a thing: the fastball, the same pitch again, away."""
    what = finding.contrast.what
    if "repeat" in what:
        return "the same pitch again" if what["repeat"] else "another pitch"
    if "side" in what:
        return {"in": "in", "middle": "over the middle", "away": "away"}[str(what["side"])]
    if "height" in what:
        return {"up": "up", "belt": "at the belt", "down": "down"}[str(what["height"])]
    return finding.contrast.does.removeprefix("throws ")


def _count(number: int) -> str:
    return {2: "two", 3: "three", 6: "six"}.get(number, str(number))
