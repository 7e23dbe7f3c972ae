"""The coach's rules as he says them: read, put together, taken apart, and when they are over.

They are constraints of the game, never filters after it; `costs` says what each takes.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

import numpy as np

from sequencer.baseball.count import CARD_ROWS, COUNTS, Count, parse
from sequencer.baseball.pitches import TYPES
from sequencer.baseball.zone import TARGETS, to_hitter
from sequencer.errors import BadInput
from sequencer.planning.arrays import Floats
from sequencer.planning.at_bat import solve_tables
from sequencer.planning.calls import CHART_WORDS, CoachRules, CountRule, Wanted, allowed_calls
from sequencer.planning.outcomes import Tables
from sequencer.planning.solved import ruled_out

if TYPE_CHECKING:
    from sequencer.records.state import Logged

#: Counts by the words a coach has for them: the card's rows, and a few beside. With two strikes he
#: means the full count too, which has a row of its own on the card.
COUNT_WORDS: Final = MappingProxyType(
    {
        **CARD_ROWS,
        "two strikes": (*CARD_ROWS["two strikes"], *CARD_ROWS["full"]),
        "ahead": (Count(0, 1), Count(0, 2), Count(1, 2)),
        "even": (Count(0, 0), Count(1, 1), Count(2, 2)),
        "three balls": (Count(3, 0), Count(3, 1), Count(3, 2)),
        "everywhere": COUNTS,
    }
)
_PLAIN: Final = MappingProxyType(
    {
        "away half only": CoachRules(one_half="away"),
        "inner half only": CoachRules(one_half="in"),
        "work away until he proves it": CoachRules(one_half="away", until_proven=True),
        "work in until he proves it": CoachRules(one_half="in", until_proven=True),
        "nothing down the middle": CoachRules(no_middle=True),
        "first pitch in the zone": CoachRules(first_pitch_strike=True),
        "no breaking balls": CoachRules(breaking=False),
        "the last pitch counts for nothing": CoachRules(last_pitch=False),
    }
)
#: Other ways to say the same: those of the command's options.
_SAID: Final = MappingProxyType(
    {
        "one-half=away": "away half only",
        "one-half=in": "inner half only",
        "until-proven=away": "work away until he proves it",
        "until-proven=in": "work in until he proves it",
        "no-middle": "nothing down the middle",
        "first-pitch-strike": "first pitch in the zone",
        "no-breaking": "no breaking balls",
        "no-last-pitch": "the last pitch counts for nothing",
        "no last pitch": "the last pitch counts for nothing",
    }
)
_HOW: Final = (
    "Write it as 'one-half=away', 'until-proven=in', 'no-middle', 'first-pitch-strike', "
    "'no-breaking', 'no changeup with two strikes' or 'fastball 3-1'."
)


def read_rule(text: str) -> CoachRules:
    """Read one rule: a plain one, or a call wanted or not wanted in some counts.

    Raises
    ------
    BadInput
        If it is none.
    """
    words = " ".join(text.split()).lower()
    plain = _SAID.get(words, words)
    if plain in _PLAIN:
        return _PLAIN[plain]
    never = re.match(r"never=|(no|never)\s+(?=\S)", words)
    rest = words[never.end() :] if never else words
    try:
        call, counts = read_wanted(rest)
    except BadInput as error:
        raise BadInput(f"'{text}' is not a rule. {error} {_HOW}") from error
    if never and counts == COUNTS and not call.target and call.pitch not in CHART_WORDS:
        return CoachRules(never=(call.pitch,))
    said = f"{'no ' if never else ''}{call} {where_said(counts)}"
    return CoachRules(counts=(CountRule(call, counts, bool(never), said),))


def read_wanted(text: str) -> tuple[Wanted, tuple[Count, ...]]:
    """Read a call and where it is meant: `curveball down-away 1-2`, `fastball when behind`.

    Without a count it is meant everywhere.

    Raises
    ------
    BadInput
        If the pitch, the place or the count is unknown.
    """
    words = " ".join(text.lower().replace(",", " ").split())
    pitch = next(
        (
            name
            for name in sorted(TYPES, key=len, reverse=True)
            if words == name or words.startswith((name + " ", name + "s "))
        ),
        "",
    )
    if not pitch:
        raise BadInput(f"'{text}' does not begin with a pitch type: write it as 'curveball 0-0'.")
    rest = words[len(pitch) :].removeprefix("s ").strip()
    first, _, after = rest.partition(" ")
    target = first if first in TARGETS else ""
    where = after if target else rest
    return Wanted(pitch, target), read_counts(where)


def read_counts(text: str) -> tuple[Count, ...]:
    """Read the counts that are meant: `0-0`, `0-2 1-2`, `with two strikes`, a row of the card.

    Raises
    ------
    BadInput
        If it names none.
    """
    words = re.sub(r"^(with|when|at|in|on)\s+", "", text.strip())
    if not words:
        return COUNTS
    if words in COUNT_WORDS:
        return COUNT_WORDS[words]
    if re.fullmatch(r"[0-9]-[0-9]( [0-9]-[0-9])*", words):
        return tuple(dict.fromkeys(parse(word) for word in words.split()))
    known = ", ".join(COUNT_WORDS)
    raise BadInput(f"'{words}' names no count and no place: say 1-2, away, or one of {known}.")


def where_said(counts: tuple[Count, ...]) -> str:
    """Say counts as a coach would."""
    if len(counts) == 1:
        return str(counts[0])
    for words, those in COUNT_WORDS.items():
        if those == counts:
            return {"two strikes": "with two strikes", "behind": "when behind"}.get(words, words)
    return " ".join(map(str, counts))


def joined(one: CoachRules, other: CoachRules) -> CoachRules:
    """Return two sets of rules as one; where they differ on a half the second is kept."""
    half = other if other.one_half else one
    return CoachRules(
        breaking=one.breaking if other.breaking is None else other.breaking,
        one_half=half.one_half,
        never=tuple(dict.fromkeys((*one.never, *other.never))),
        no_middle=one.no_middle or other.no_middle,
        first_pitch_strike=one.first_pitch_strike or other.first_pitch_strike,
        last_pitch=one.last_pitch and other.last_pitch,
        counts=tuple(dict.fromkeys((*one.counts, *other.counts))),
        until_proven=half.until_proven,
    )


def each(coach: CoachRules) -> Mapping[str, CoachRules]:
    """Return every rule that binds by itself, under the words for it."""
    alone: dict[str, CoachRules] = {}
    if coach.one_half:
        name = "away" if coach.one_half == "away" else "in"
        half = {"away": "away half only", "in": "inner half only"}[name]
        words = f"work {name} until he proves it" if coach.until_proven else half
        alone[words] = _PLAIN[words]
    alone |= {f"no {pitch}": CoachRules(never=(pitch,)) for pitch in coach.never}
    if coach.no_middle:
        alone["nothing down the middle"] = CoachRules(no_middle=True)
    if coach.first_pitch_strike:
        alone["first pitch in the zone"] = CoachRules(first_pitch_strike=True)
    if coach.breaking is False:
        alone["no breaking balls"] = CoachRules(breaking=False)
    return alone | {rule.says: CoachRules(counts=(rule,)) for rule in coach.counts}


def costs(free: Tables, coaches: Sequence[CoachRules]) -> tuple[tuple[tuple[str, float], ...], ...]:
    """Return what each rule costs each hitter by itself, at trust 0 over the same calls.

    Parameters
    ----------
    free : Tables
        The game before any rule.
    coaches : sequence of CoachRules
        One for each hitter.

    Returns
    -------
    tuple
        For each hitter, words and runs a plate appearance of his rules.
    """
    found: list[list[tuple[str, float]]] = [[] for _ in coaches]
    by_rule = {words: rule for coach in coaches for words, rule in each(coach).items()}
    if not by_rule:
        return tuple(tuple(one) for one in found)
    least = first_values(free)
    for words, rule in by_rule.items():
        left = allowed_calls(free.calls, rule)[None]
        cost = np.maximum(first_values(ruled_out(free, left)) - least, 0.0)
        for h, coach in enumerate(coaches):
            if words in each(coach):
                found[h].append((words, float(cost[h])))
    return tuple(tuple(one) for one in found)


def first_values(tables: Tables) -> Floats:
    """Return the exact runs of an at-bat at trust 0, (hitters,)."""
    return solve_tables(tables.game()).value[:, 0, 0, 0]


# until he proves it

#: What proves it (common practice, no source): he hit it hard, or it went for a hit.
HARD: Final = "square"
HITS: Final = ("single", "double", "triple", "home run")


def proved(pitches: "Iterable[Logged]", half: str) -> bool:
    """Whether a hitter has shown that he can hit what is thrown to a half of the plate.

    A ball he squared up, or hit safely and not weakly, that crossed on that half (or was called
    there, when nobody saw where it crossed). A foul counts when it was squared up.

    Parameters
    ----------
    pitches : iterable of Logged
        What he saw from us today.
    half : str
        in or away.
    """
    return any(_proves(one, half) for one in pitches)


def _proves(logged: "Logged", half: str) -> bool:
    pitch, bats = logged.pitch, logged.before.bats
    if pitch.result not in ("in play", "foul"):
        return False
    place = to_hitter(pitch.cell or pitch.target, bats)
    column = place.removeprefix("off-").rpartition("-")[2]
    hit = pitch.result == "in play" and pitch.play in HITS and pitch.contact != "weak"
    return column == half and (pitch.contact == HARD or hit)


def in_force(coach: CoachRules, pitches: "Iterable[Logged]") -> CoachRules:
    """Return the rules that still hold against a hitter after what he has seen today."""
    if coach.until_proven and proved(pitches, coach.one_half):
        return replace(coach, one_half="", until_proven=False)
    return coach
