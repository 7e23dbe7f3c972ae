"""The grammar of `log --plain`: one line in, what it says out. Names stay as they were written.

A line is a pitch (`changeup, down-away, swinging strike, target=away`) or begins with a word of
`VERBS`. Words are as in a row of a CSV file; quotes where a comma is meant.
"""

import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Final, Literal

from sequencer.baseball import count as counts
from sequencer.baseball.pitches import TYPES
from sequencer.errors import BadInput
from sequencer.records.columns import Value, known_word, nearest
from sequencer.records.event import EVENTS, Event
from sequencer.records.plain_pitch import corrected_cells, pitch_cells

#: Words of `runner` -> the event they mean.
RUNNER_WORDS: Final = MappingProxyType(
    {
        "steal": "steal",
        "caught stealing": "caught stealing",
        "pickoff": "pickoff",
        "passed ball": "passed ball",
        "wild pitch": "wild pitch",
        "balk": "balk",
        "advance": "advance",
        "out": "out on bases",
        "out on bases": "out on bases",
    }
)
#: Longest line that is read, in characters: assumption (a pitch with a long note takes 300).
LONGEST: Final = 2000
#: `7`, `#7`, `7 R`, `7R`.
_NUMBERED: Final = re.compile(r"(#?[0-9]{1,3})\s*([A-Za-z]?)")
#: `1-2 steal`, `3 - home`.
_WAY: Final = re.compile(r"([123])\s*-\s*([123]|home|out)(?:\s+(.*))?", re.IGNORECASE)
_TOKENS: Final = re.compile(r'"([^"]*)"|(\S+)')

What = Literal[
    "pitch",
    "event",
    "correct",
    "insert",
    "remove",
    "replace",
    "undo",
    "redo",
    "state",
    "call",
    "rule",
    "rules",
    "advice",
    "next three",
]


@dataclass(frozen=True, slots=True)
class Said:
    """What one line says.

    - pitch: `cells`, the columns of the pitch, places in the words they were said in
    - event: `event`; `who`, `for_whom` and `bats` as written, to be looked up
    - correct: pitch `n` gets `cells`; those of who as written
    - insert: `entry` comes just before pitch `n`
    - remove: pitch `n`, or the `nth` `event` of its kind that followed it, never happened
    - replace: that event was really `entry`
    - call: which call the mix draws for the next pitch; changes nothing
    - rule: `text` is a rule of the coach's, against `who` or everybody; said again it is off
    - rules: `text` "off" takes all off, "" asks for those in force
    - advice: `text` is "on" or "off"
    - next three: who hits next, and what they were thrown
    """

    what: What
    cells: Mapping[str, Value] = field(default_factory=dict)
    event: Event | None = None
    who: str = ""
    for_whom: str = ""
    bats: str = ""
    n: int = 0
    nth: int = 0
    entry: "Said | None" = None
    text: str = ""


def parse(line: str) -> Said | None:
    """Read one line; None for a blank line or a comment (#).

    Raises
    ------
    BadInput
        With a sentence that names the word and the nearest one there is.
    """
    line = line.strip()
    if not line or line.startswith("#"):
        return None
    if len(line) > LONGEST:
        raise BadInput(f"the line is longer than {LONGEST} characters; say it in fewer")
    if any(unicodedata.category(char) == "Cc" for char in line.replace("\t", " ")):
        raise BadInput("the line holds a control character; say it again without")
    verb, _, rest = line.partition(" ")
    known = VERBS.get(verb.lower())
    if known:
        return known(rest.strip())
    near = nearest(verb.lower(), VERBS) if "," not in line else ""
    if near:
        raise BadInput(f"'{verb}' begins no line; did you mean '{near}'?")
    return Said("pitch", cells=pitch_cells(line))


def _correct(rest: str) -> Said:
    n, text = _number("correct", rest)
    if not text:
        raise BadInput("say what to correct: correct 12 result=foul, pitch=slider")
    return Said("correct", n=n, cells=corrected_cells(text))


def _insert(rest: str) -> Said:
    n, text = _number("insert", rest)
    inserts_again = text.partition(" ")[0].lower() == "insert"
    entry = None if inserts_again else parse(text)
    if entry is None or entry.what not in ("pitch", "event"):
        raise BadInput("insert takes a pitch or an event: insert 12 fastball, belt-in, ball")
    return Said("insert", n=n, entry=entry)


def _remove(rest: str) -> Said:
    n, text = _number("remove", rest)
    kind, nth = _which(text)
    return Said("remove", n=n, nth=nth, event=Event(event=kind) if kind else None)


def _which(text: str) -> tuple[str, int]:
    """Read `steal`, or of several after one pitch `steal 2`; 0 is the last of them."""
    words, _, last = text.rpartition(" ")
    if last.isascii() and last.isdigit():
        return known_word(words, EVENTS, "event"), int(last[:6])
    return known_word(text, EVENTS, "event"), 0


def _replace(rest: str) -> Said:
    n, text = _number("replace", rest)
    which, _, line = text.partition(" with ")
    kind, nth = _which(which)
    entry = parse(line) if kind else None
    if entry is None or entry.what != "event":
        raise BadInput("say which event was what: replace 12 steal with runner 1-2 advance")
    return Said("replace", n=n, nth=nth, event=Event(event=kind), entry=entry)


def _number(verb: str, rest: str) -> tuple[int, str]:
    number, _, text = rest.partition(" ")
    if not number.isascii() or not number.isdigit() or len(number) > 6:
        raise BadInput(f"{verb} needs the number of a pitch of this game, such as {verb} 12 ...")
    return int(number), text.strip()


def _words(rest: str) -> list[str]:
    if rest.count('"') % 2:
        raise BadInput("a quote is not closed")
    return [quoted or plain for quoted, plain in _TOKENS.findall(rest)]


def _at(rest: str) -> Said:
    numbered = _NUMBERED.fullmatch(rest)
    if numbered:
        number, bats = numbered.groups()
        if bats.upper() not in ("", "R", "L"):
            raise BadInput(f"say the side number {number} hits from, R or L: at {number} R")
        return Said("event", event=Event(event="at"), who=number, bats=bats.upper())
    words = _words(rest)
    bats = words.pop().upper() if len(words) > 1 and words[-1].upper() in ("R", "L") else ""
    if not words:
        raise BadInput("say who is up: at 7 R, or at his name")
    return Said("event", event=Event(event="at"), who=" ".join(words), bats=bats)


def _absent(rest: str) -> Said:
    words = _words(rest)
    if not words:
        raise BadInput("say who is absent: absent NAME")
    return Said("event", event=Event(event="absent"), who=" ".join(words))


def _person(event: str) -> Callable[[str], Said]:
    def read(rest: str) -> Said:
        words = _words(rest)
        if not words:
            raise BadInput(f"say who the {event} is: {event} NAME")
        return Said("event", event=Event(event=event), who=" ".join(words))

    return read


def _substitution(rest: str) -> Said:
    words = _words(rest)
    places = [i for i, word in enumerate(words) if word.lower() == "for"]
    if len(places) != 1 or not 0 < places[0] < len(words) - 1:
        raise BadInput("say sub IN for OUT")
    at = places[0]
    courtesy = words[0].lower() == "courtesy" and at > 1
    return Said(
        "event",
        event=Event(event="substitution", reason="courtesy runner" if courtesy else ""),
        who=" ".join(words[courtesy:at]),
        for_whom=" ".join(words[at + 1 :]),
    )


def _runner(rest: str) -> Said:
    way = _WAY.fullmatch(rest)
    if way is None:
        raise BadInput("say where the runner went and why: runner 1-2 steal, runner 3-home balk")
    base, to, word = way[1], way[2].lower(), way[3]
    word = word or ("out" if to == "out" else "advance")
    event = RUNNER_WORDS[known_word(word, RUNNER_WORDS, "runner's word")]
    return Said("event", event=_event(event=event, base_from=base, base_to=to))


def _event(**fields: Any) -> Event:
    return Event.model_validate(fields)


def _walk(rest: str) -> Said:
    if rest.lower() != "intentional":
        raise BadInput("say walk intentional; any other walk follows from its four balls")
    return Said("event", event=Event(event="intentional walk"))


def _count(rest: str) -> Said:
    balls, strikes = counts.parse(rest[:20])
    return Said("event", event=Event(event="count", balls=balls, strikes=strikes))


def _score(rest: str) -> Said:
    numbers = re.findall(r"\d+", rest)
    if len(numbers) != 2 or not re.fullmatch(r"\d{1,3}[\s,-]+\d{1,3}", rest):
        raise BadInput("say the board's score, ours first: score 3 2")
    us, them = map(int, numbers)
    return Said("event", event=Event(event="score", score_us=us, score_them=them))


def _pitches(rest: str) -> Said:
    if not re.fullmatch(r"[0-9]{1,3}", rest):
        raise BadInput("say the pitch count of the official book: pitches 47")
    return Said("event", event=Event(event="pitch count", pitches=int(rest)))


def _is_there(event: str) -> Callable[[str], Said]:
    def read(rest: str) -> Said:
        pitch = known_word(rest, TYPES, "pitch")
        if not pitch:
            raise BadInput("say which pitch: lacks curveball, has curveball")
        return Said("event", event=Event(event=event, reason=pitch))

    return read


def _throws(rest: str) -> Said:
    hand, _, reason = rest.partition(" ")
    if hand.upper() not in ("R", "L") or reason.strip().lower() not in ("", "injury"):
        raise BadInput("say the hand he throws with: throws L, or when he is hurt throws L injury")
    return Said("event", event=_event(event="throws", throws=hand.upper(), reason=reason.strip()))


def _rule(rest: str) -> Said:
    rule, _, who = rest.partition(" against ")
    words = _words(who)
    if not rule or (" against " in rest and not words):
        raise BadInput("say a rule, and against whom where it is one: rule no changeup against 27")
    return Said("rule", text=rule.strip(), who=" ".join(words))


def _one_of(what: What, *allowed: str) -> Callable[[str], Said]:
    def read(rest: str) -> Said:
        if rest.lower() not in allowed:
            hows = " or ".join(f"{what} {word}".strip() for word in allowed)
            raise BadInput(f"say {hows}")
        return Said(what, text=rest.lower())

    return read


def _next(rest: str) -> Said:
    if rest.lower() != "three":
        raise BadInput("say next three")
    return Said("next three")


def _end(rest: str) -> Said:
    half, _, reason = rest.partition(" ")
    if half.lower() != "half":
        raise BadInput("say end half and why, such as end half run limit")
    return Said("event", event=Event(event="half ended", reason=" ".join(_words(reason))))


def _text(event: str) -> Callable[[str], Said]:
    def read(rest: str) -> Said:
        return Said("event", event=Event(event=event, reason=rest))

    return read


def _bare(what: What) -> Callable[[str], Said]:
    def read(rest: str) -> Said:
        if rest:
            raise BadInput(f"{what} stands alone on its line")
        return Said(what)

    return read


#: The first words of every line that is not a pitch.
VERBS: Final = MappingProxyType[str, Callable[[str], Said]](
    {
        "at": _at,
        "absent": _absent,
        "pitcher": _person("pitcher"),
        "throws": _throws,
        "catcher": _person("catcher"),
        "sub": _substitution,
        "runner": _runner,
        "walk": _walk,
        "count": _count,
        "score": _score,
        "end": _end,
        "pitches": _pitches,
        "lacks": _is_there("not there"),
        "has": _is_there("there"),
        "visit": _text("visit"),
        "note": _text("note"),
        "correct": _correct,
        "insert": _insert,
        "remove": _remove,
        "replace": _replace,
        "undo": _bare("undo"),
        "redo": _bare("redo"),
        "state": _bare("state"),
        "call": _bare("call"),
        "rule": _rule,
        "rules": _one_of("rules", "", "off"),
        "advice": _one_of("advice", "on", "off"),
        "next": _next,
    }
)
