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
from sequencer.errors import BadInput
from sequencer.records.columns import (
    MOMENT_COLUMNS,
    THROWN_COLUMNS,
    Column,
    Value,
    known_word,
    nearest,
)
from sequencer.records.event import Event
from sequencer.records.readers.cells import check_place, in_range

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
#: Columns of who, which `correct` may change too.
WHO: Final = ("hitter", "bats", "pitcher", "catcher")

_THROWN: Final = MappingProxyType({column.name: column for column in THROWN_COLUMNS})
_MOMENT: Final = frozenset(column.name for column in MOMENT_COLUMNS)
_BATS: Final = Column("bats", "word", "side he hit from", ("R", "L"))
_POSITIONS: Final = ("pitch", "cell", "result")
_TOKENS: Final = re.compile(r'"([^"]*)"|(\S+)')

What = Literal["pitch", "event", "correct", "insert", "undo", "redo", "state"]


@dataclass(frozen=True, slots=True)
class Said:
    """What one line says.

    - pitch: `cells`, the columns of the pitch, places in the words they were said in
    - event: `event`; `who`, `for_whom` and `bats` as written, to be looked up
    - correct: pitch `n` gets `cells`; those of `WHO` as written
    - insert: `entry` comes just before pitch `n`
    """

    what: What
    cells: Mapping[str, Value] = field(default_factory=dict)
    event: Event | None = None
    who: str = ""
    for_whom: str = ""
    bats: str = ""
    n: int = 0
    entry: "Said | None" = None


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
    return known(rest.strip()) if known else _pitch(line)


def split(line: str) -> list[str]:
    """Split a line at its commas; a comma between quotes is kept, a doubled quote is one quote."""
    parts, part, quoted, i = [], "", False, 0
    while i < len(line):
        char = line[i]
        if quoted and line[i : i + 2] == '""':
            part, i = part + '"', i + 1
        elif char == '"':
            quoted = not quoted
        elif char == "," and not quoted:
            parts.append(part.strip())
            part = ""
        else:
            part += char
        i += 1
    if quoted:
        raise BadInput("a quote is not closed")
    return [*parts, part.strip()]


def _pitch(line: str) -> Said:
    parts = split(line)
    named = [i for i, part in enumerate(parts) if _is_named(part)]
    first = named[0] if named else len(parts)
    if first != len(_POSITIONS) or len(named) != len(parts) - first:
        _refuse_shape(parts)
    cells = {name: _cell(name, text) for name, text in zip(_POSITIONS, parts, strict=False)}
    for part in parts[first:]:
        name, value = _named(part, _refuse_moment)
        if name in cells:
            raise BadInput(f"{name} is said twice")
        cells[name] = value
    _check(cells)
    return Said("pitch", cells=cells)


def _is_named(part: str) -> bool:
    return "=" in part


def _refuse_shape(parts: list[str]) -> None:
    verb = parts[0].split(" ", 1)[0]
    near = nearest(verb.lower(), VERBS) if len(parts) == 1 else ""
    hint = f"; did you mean '{near} ...'?" if near else ""
    raise BadInput(
        "a pitch is PITCH, CELL, RESULT, then name=value: changeup, down-away, ball, target=away"
        f"{hint}"
    )


def _named(part: str, refuse: Callable[[str], None]) -> tuple[str, Value]:
    name, _, text = (piece.strip() for piece in part.partition("="))
    name = name.lower()
    refuse(name)
    return name, _cell(name, text)


def _refuse_moment(name: str) -> None:
    if name in _THROWN:
        return
    if name in _MOMENT:
        raise BadInput(
            f"{name} is not said with a pitch: it follows from the game, or say at, pitcher, "
            "catcher, count or score on a line of its own"
        )
    _refuse_name(name, tuple(_THROWN))


def _refuse_name(name: str, names: tuple[str, ...]) -> None:
    near = nearest(name, names)
    hint = f"did you mean '{near}'?" if near else f"there are {', '.join(names)}"
    raise BadInput(f"unknown name '{name}'; {hint}")


def _cell(name: str, text: str) -> Value:
    value = in_range(_THROWN[name].read(text), name)
    return "unknown" if name in ("pitch", "cell") and value == "" else value


def _check(cells: Mapping[str, Value]) -> None:
    """Refuse what a pitch cannot be, whatever the situation."""
    result, play = cells["result"], cells.get("play")
    if not result:
        raise BadInput("a pitch needs its result")
    if result == "in play" and not play:
        raise BadInput("in play needs play=, such as play=single or play=out")
    if play and result != "in play" and cells.get("third_strike") != "dropped":
        raise BadInput("play= goes with in play; a caught foul is in play with spray=foul ground")
    check_place(cells)


def _correct(rest: str) -> Said:
    n, text = _number("correct", rest)
    if not text:
        raise BadInput("say what to correct: correct 12 result=foul, pitch=slider")
    cells: dict[str, Value] = {}
    for part in split(text):
        if not _is_named(part):
            raise BadInput(f"'{part}' is not name=value")
        name, _, value = (piece.strip() for piece in part.partition("="))
        name = name.lower()
        cells[name] = _corrected(name, value)
    return Said("correct", n=n, cells=cells)


def _corrected(name: str, text: str) -> Value:
    if name == "bats":
        bats = _BATS.read(text.upper())
        if not bats:
            raise BadInput("bats is R or L")
        return bats
    if name in WHO:
        if not text:
            raise BadInput(f"say who the {name} was")
        return text
    if name in _MOMENT:
        raise BadInput(
            f"{name} follows from the game: insert the entry that was missed, or say count or score"
        )
    if name not in _THROWN:
        _refuse_name(name, (*_THROWN, *WHO))
    return _cell(name, text)


def _insert(rest: str) -> Said:
    n, text = _number("insert", rest)
    inserts_again = text.partition(" ")[0].lower() == "insert"
    entry = None if inserts_again else parse(text)
    if entry is None or entry.what not in ("pitch", "event"):
        raise BadInput("insert takes a pitch or an event: insert 12 fastball, belt-in, ball")
    return Said("insert", n=n, entry=entry)


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
    words = _words(rest)
    bats = words.pop().upper() if len(words) > 1 and words[-1].upper() in ("R", "L") else ""
    if not words:
        raise BadInput("say who is up: at 7 R, or at his name")
    return Said("event", event=Event(event="at"), who=" ".join(words), bats=bats)


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
    way, _, word = rest.partition(" ")
    base, dash, to = (part.strip().lower() for part in way.partition("-"))
    if base not in ("1", "2", "3") or not dash or to not in ("1", "2", "3", "home", "out"):
        raise BadInput("say where the runner went and why: runner 1-2 steal, runner 3-home balk")
    word = word.strip() or ("out" if to == "out" else "advance")
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
        "pitcher": _person("pitcher"),
        "catcher": _person("catcher"),
        "sub": _substitution,
        "runner": _runner,
        "walk": _walk,
        "count": _count,
        "score": _score,
        "end": _end,
        "visit": _text("visit"),
        "note": _text("note"),
        "correct": _correct,
        "insert": _insert,
        "undo": _bare("undo"),
        "redo": _bare("redo"),
        "state": _bare("state"),
    }
)
