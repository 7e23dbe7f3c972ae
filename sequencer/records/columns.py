"""The columns of every log, declared once: files, records and frames all read these tuples."""

import datetime as dt
import difflib
import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from sequencer.baseball import pitches, tells, zone
from sequencer.errors import BadInput
from sequencer.records.event import EVENTS

#: - text: free words; int, float: numbers; flag: 0 or 1; date: ISO (2026-04-18)
#: - word: one of `words`; place: a cell or a target in the hitter's (or the catcher's) words
#: - list: several texts with `;` between; base: empty or 0, a runner's name, or 1
#: - tells: a list in which a text may carry what was measured, `glove height=31`
Kind = Literal["text", "int", "float", "flag", "date", "word", "place", "list", "tells", "base"]
Value = str | int | float | bool | dt.date | tuple[str, ...] | None

_TRUE: Final = frozenset({"1", "yes", "true"})
_FALSE: Final = frozenset({"0", "no", "false"})


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its name in files and frames, what it holds, and whether a file must have it."""

    name: str
    kind: Kind
    meaning: str
    words: tuple[str, ...] = ()
    required: bool = False

    def read(self, text: str) -> Value:
        """Return the value that `text` of a file means.

        Returns
        -------
        Value
            None for an empty number, flag or date; "" for an empty word; a tuple for a list.

        Raises
        ------
        BadInput
            With a sentence naming the column, the text and, for a word, the nearest allowed one.
        """
        text = text.strip()
        match self.kind:
            case "text" | "base":
                return text
            case "word":
                return known_word(text, self.words, self.name)
            case "place":
                return known_place(text, self.words, self.name)
            case "list":
                return _parts(text)
            case "tells":
                return tuple(_tell(part) for part in _parts(text))
        return self._number_or_date(text) if text else None

    def _number_or_date(self, text: str) -> int | float | bool | dt.date:
        match self.kind:
            case "int":
                return _whole(text, self.name)
            case "float":
                return _number(text, self.name)
            case "flag":
                return _flag(text, self.name)
        try:
            return dt.date.fromisoformat(text)
        except ValueError as error:
            raise BadInput(
                f"{self.name} '{_shown(text)}' is not a date; write it as 2026-04-18"
            ) from error

    @staticmethod
    def write(value: Value) -> str:
        """Return the text of a file for a value; `read` gives the value back."""
        match value:
            case None:
                return ""
            case bool():
                return "1" if value else "0"
            case float():
                return repr(int(value)) if value.is_integer() else repr(value)
            case dt.date():
                return value.isoformat()
            case tuple():
                return "; ".join(value)
        return str(value)


def _parts(text: str) -> tuple[str, ...]:
    return tuple(part for piece in text.split(";") if (part := piece.strip()))


def _tell(text: str) -> str:
    """Return a noted tell as it is kept; raise BadInput where what was measured is no number."""
    word, value = tells.parse(text)
    return word if value is None else f"{word}={text.partition('=')[2].strip()}"


def plain_word(text: str) -> str:
    """Return a word of a file as the tables spell it: lower case, one space, straight quote."""
    return re.sub(r"\s+", " ", text.strip().replace("’", "'")).lower()


def known_word(text: str, words: Iterable[str], what: str) -> str:
    """Return `text` spelled as in `words` ("" stays ""); raise BadInput naming the nearest one."""
    given = plain_word(text)
    if not given:
        return ""
    spelled = {word.lower(): word for word in words}
    if given in spelled:
        return spelled[given]
    near = nearest(given, spelled)
    hint = f"did you mean '{spelled[near]}'?" if near else f"it is one of {', '.join(words)}"
    raise BadInput(f"unknown {what} '{_shown(text)}'; {hint}")


def known_place(text: str, words: Iterable[str], what: str) -> str:
    """Return a place in the hitter's or the catcher's words; raise BadInput if it is on no map."""
    given = plain_word(text)
    if not given or given in words or given in {zone.to_catcher(word, "R") for word in words}:
        return given
    near = nearest(given, words)
    hint = f"did you mean '{near}'?" if near else "write it as down-away, row-column"
    raise BadInput(f"{what} '{_shown(text)}' is off the map; {hint}")


def nearest(text: str, words: Iterable[str], *, likeness: float = 0.6) -> str:
    """Return the word most like `text` (by at least `likeness`, 0 to 1), or "" for none."""
    near = difflib.get_close_matches(text, list(words), n=1, cutoff=likeness)
    return near[0] if near else ""


def _shown(text: str) -> str:
    """Return a text of a file as it can stand in one line of a message."""
    text = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return text if len(text) <= 40 else text[:37] + "..."


def _number(text: str, what: str) -> float:
    try:
        number = float(text)
    except ValueError as error:
        raise BadInput(f"{what} '{_shown(text)}' is not a number") from error
    if not math.isfinite(number) or "_" in text:
        raise BadInput(f"{what} '{_shown(text)}' is not a number")
    return number


def _whole(text: str, what: str) -> int:
    number = _number(text, what)
    if not number.is_integer() or abs(number) > 1e9:
        raise BadInput(f"{what} '{_shown(text)}' is not a whole number")
    return int(number)


def _flag(text: str, what: str) -> bool:
    given = text.lower()
    if given not in _TRUE | _FALSE:
        raise BadInput(f"{what} '{_shown(text)}' is neither 0 nor 1")
    return given in _TRUE


SIDES: Final = ("us", "them")
HANDS: Final = ("R", "L")
HALVES: Final = ("top", "bottom")
FRAMES: Final = ("hitter", "catcher")
HOW_OFTEN: Final = ("once", "some", "always")
_TYPES: Final = tuple(pitches.TYPES)
_COUNT: Final = "in the count before the pitch, checked against the results"

#: Where and who: what a game's stream gives before each pitch.
MOMENT_COLUMNS: Final = (
    Column("game", "text", "the game's name, one of its own in a file", required=True),
    Column("game_id", "text", "the book's own key of the game"),
    Column("game_no", "int", "game of the day"),
    Column("date", "date", "day of the game"),
    Column("us", "text", "our team"),
    Column("them", "text", "the other team"),
    Column("home", "word", "who bats in the bottom half", SIDES),
    Column("pitching", "word", "who pitches; us when absent", SIDES),
    Column("level", "text", "age group or league class"),
    Column("rules", "text", "rule set"),
    Column("inning", "int", "inning, from 1"),
    Column("half", "word", "half of the inning", HALVES),
    Column("outs", "int", "outs before the pitch"),
    Column("on_first", "base", "runner on first"),
    Column("on_second", "base", "runner on second"),
    Column("on_third", "base", "runner on third"),
    Column("score_us", "int", "our runs before the pitch"),
    Column("score_them", "int", "their runs before the pitch"),
    Column("balls", "int", f"balls {_COUNT}", required=True),
    Column("strikes", "int", f"strikes {_COUNT}", required=True),
    Column("pitcher", "text", "who threw it", required=True),
    Column("pitcher_id", "text", "the book's own key of the pitcher"),
    Column("throws", "word", "hand he threw with", HANDS),
    Column("catcher", "text", "who caught"),
    Column("hitter", "text", "who was up", required=True),
    Column("hitter_id", "text", "the book's own key of the hitter"),
    Column("hitter_no", "text", "number on his shirt"),
    Column("team", "text", "the hitter's team"),
    Column("bats", "word", "side he hit from", HANDS),
    Column("at_bat", "int", "number of the at-bat in the game, both halves", required=True),
    Column("pitch_no", "int", "number of the pitch in the at-bat, from 1", required=True),
)

#: What was asked for, thrown, and done with it: the fields of records.pitch.Pitch.
THROWN_COLUMNS: Final = (
    Column("caller", "text", "who chose the pitch"),
    Column("called", "word", "type asked for", _TYPES),
    Column("target", "place", "where it was asked for: a half, a quarter or a cell", zone.WORDS),
    Column("target_when", "word", "target entered before or after the result", ("before", "after")),
    Column("shakes", "int", "signs shaken off"),
    Column("pitch", "word", "type thrown", _TYPES, required=True),
    Column("cell", "place", "where it crossed: row-column, hitter's words", zone.CELL_WORDS),
    Column("entered", "word", "whose words the cell was entered in", FRAMES),
    Column("side_in", "float", "inches from the middle of the plate, positive to catcher's right"),
    Column("height_in", "float", "inches above the ground"),
    Column("top_in", "float", "top of this hitter's zone, inches"),
    Column("bottom_in", "float", "bottom of this hitter's zone, inches"),
    Column("seen_from", "word", "how the place was seen", pitches.SEEN_FROM),
    Column("speed_mph", "float", "speed, miles per hour"),
    Column("break_side_in", "float", "break to the catcher's right, inches"),
    Column("break_up_in", "float", "break up, inches"),
    Column("intent", "word", "a pitch-out or an intentional ball", pitches.INTENTS),
    Column("result", "word", "what happened", pitches.RESULTS, required=True),
    Column("bunt", "flag", "he bunted at it"),
    Column("third_strike", "word", "third strike caught or dropped", pitches.THIRD_STRIKES),
    Column("timing", "word", "how his swing was timed", pitches.TIMINGS),
    Column("contact", "word", "how hard he hit it", pitches.CONTACTS),
    Column("flight", "word", "how the ball flew", pitches.FLIGHTS),
    Column("spray", "word", "where it went", pitches.SPRAYS),
    Column("play", "word", "what became of a ball in play", pitches.PLAYS),
    Column("exit_mph", "float", "speed off the bat, miles per hour, as a radar measured it"),
    Column("launch_deg", "float", "angle off the bat, degrees above level (below: negative)"),
    Column("contact_value", "float", "expected value of a ball so hit, on-base scale, .33 average"),
    Column("fielders", "text", "positions of the fielders, 6-4-3"),
    Column("moves", "text", "runners who did not move as usual: 1-3;2-home;b-2"),
    Column("tells", "tells", "tells seen, or measured: arm slows; glove height=31"),
    Column("tells_watched", "list", "tells watched for, seen or not"),
    Column("advice", "text", "call that was advised; empty when none"),
    Column("note", "text", "anything else"),
    Column("imported", "flag", "0 for a pitch logged here, 1 (or absent) for an outside log's"),
)

PITCH_COLUMNS: Final = MOMENT_COLUMNS + THROWN_COLUMNS

EVENT_COLUMNS: Final = (
    Column("game", "text", "the game's name", required=True),
    Column("game_id", "text", "the book's own key of the game"),
    Column("after_at_bat", "int", "at-bat of the last pitch before it; 0 for none", required=True),
    Column("after_pitch", "int", "last pitch before it; empty: after that at-bat"),
    Column("order", "int", "order among events after the same pitch"),
    Column("event", "word", "what happened", EVENTS, required=True),
    Column("who", "text", "the player: name, #7, or name #7"),
    Column("from", "word", "base he left", ("1", "2", "3")),
    Column("to", "word", "base he reached", ("1", "2", "3", "home", "out")),
    Column("for", "text", "the player who went out of the game"),
    Column("side", "word", "whose line-up or team", SIDES),
    Column("slot", "int", "place in the order, from 1"),
    Column("bats", "word", "side he hits from", HANDS),
    Column("throws", "word", "hand that whoever pitches throws with in this at-bat", HANDS),
    Column("at_bat", "int", "number of the at-bat that an `at` opens"),
    Column("balls", "int", "balls in the umpire's count"),
    Column("strikes", "int", "strikes in the umpire's count"),
    Column("score_us", "int", "our runs on the board"),
    Column("score_them", "int", "their runs on the board"),
    Column("pitches", "int", "pitches of whoever pitches, as the official book has them"),
    Column("reason", "text", "why, or the note itself"),
    Column("imported", "flag", "0 for an event logged here, 1 (or absent) for an outside log's"),
)

TEAM_COLUMNS: Final = (
    Column("team", "text", "name", required=True),
    Column("ours", "flag", "one of the user's own"),
    Column("level", "text", "age group or league class"),
    Column("rules", "text", "rule set"),
)

PEOPLE_COLUMNS: Final = (
    Column("id", "text", "the book's own key", required=True),
    Column("team", "text", "team", required=True),
    Column("name", "text", "name; empty while only the number is known"),
    Column("number", "text", "number on the shirt"),
    Column("bats", "word", "side he hits from; S for both", ("R", "L", "S")),
    Column("throws", "word", "hand he throws with; S for both", ("R", "L", "S")),
    Column("signs", "list", "the catcher's signs: 1=fastball; 2=curveball"),
    Column("note", "text", "anything else"),
    Column("merged_into", "text", "key of the person this one turned out to be"),
)

#: What a coach writes of hitters before a game (`import --kind hitters`).
HITTER_COLUMNS: Final = (
    Column("team", "text", "team", required=True),
    Column("hitter", "text", "name; empty while only the number is known"),
    Column("hitter_no", "text", "number on the shirt"),
    Column("bats", "word", "side he hits from; S for both", ("R", "L", "S")),
    Column("marks", "list", "marks, each with how often: late on the fastball: always"),
    Column("note", "text", "anything else"),
)

MARK_COLUMNS: Final = (
    Column("person", "text", "the book's own key of the hitter", required=True),
    Column("team", "text", "his team"),
    Column("hitter", "text", "his name"),
    Column("mark", "text", "what was seen", required=True),
    Column("how_often", "word", "how often", HOW_OFTEN),
    Column("against", "word", "against which throwing", ("hard", "average", "soft")),
    Column("seen_in", "word", "from a swing or a stance", ("swing", "stance")),
    Column("date", "date", "when it was seen"),
    Column("note", "text", "anything else"),
)

BULLPEN_COLUMNS: Final = (
    Column("bullpen", "text", "the bullpen's name", required=True),
    Column("bullpen_id", "text", "the book's own key of the bullpen"),
    Column("date", "date", "day"),
    Column("team", "text", "the pitcher's team"),
    Column("pitcher", "text", "who threw", required=True),
    Column("pitcher_id", "text", "the book's own key of the pitcher"),
    Column("throws", "word", "hand he threw with", HANDS),
    Column("catcher", "text", "who caught"),
    Column("game", "text", "game it warmed him up for"),
    Column("set", "int", "number of the set"),
    Column("throw", "int", "number of the throw in the set"),
    Column("drill", "text", "what the set was for"),
    Column("called", "word", "type asked for", _TYPES),
    Column("target", "place", "where it was asked for", zone.WORDS),
    Column("pitch", "word", "type thrown", _TYPES, required=True),
    Column("cell", "place", "where it crossed", zone.CELL_WORDS),
    Column("side_in", "float", "inches from the middle of the plate, positive to catcher's right"),
    Column("height_in", "float", "inches above the ground"),
    Column("seen_from", "word", "how the place was seen", pitches.SEEN_FROM),
    Column("speed_mph", "float", "speed, miles per hour"),
    Column("strike", "flag", "in the zone, as the catcher saw it"),
    Column("count", "text", "the count he was to think of, 1-2"),
    Column("hitter_side", "word", "side of the hitter he was to think of", HANDS),
    Column("tells", "tells", "tells seen, or measured: arm slows; glove height=31"),
    Column("tells_watched", "list", "tells watched for, seen or not"),
    Column("note", "text", "about this throw"),
    Column("bullpen_note", "text", "about the whole bullpen"),
)

GAME_COLUMNS: Final = (
    Column("game_id", "text", "the book's own key", required=True),
    Column("game", "text", "the game's name", required=True),
    Column("game_no", "int", "game of the day"),
    Column("date", "date", "day of the game"),
    Column("us", "text", "our team", required=True),
    Column("them", "text", "the other team", required=True),
    Column("home", "word", "who bats in the bottom half", SIDES),
    Column("level", "text", "age group or league class"),
    Column("rules", "text", "rule set"),
    Column("rule_edits", "text", "single rules changed for this game, as JSON"),
    Column("both_halves", "flag", "their pitching was logged too"),
)

#: What someone saw of the pitches of a log, on video or from the stands: which pitch, by at-bat and
#: number or by order in the game, and what was seen and watched for.
TELL_NOTE_COLUMNS: Final = (
    Column("game", "text", "the game's name or key", required=True),
    Column("at_bat", "int", "number of the at-bat in the game, both halves"),
    Column("pitch_no", "int", "number of the pitch in the at-bat, from 1"),
    Column("order", "int", "number of the pitch in the game, from 1, instead of these two"),
    Column("observer", "text", "who watched", required=True),
    Column("tells", "tells", "tells seen, or measured"),
    Column("tells_watched", "list", "tells watched for, seen or not"),
)

#: Every table of an export, in the order an import reads them back.
TABLES: Final = {
    "teams": TEAM_COLUMNS,
    "people": PEOPLE_COLUMNS,
    "marks": MARK_COLUMNS,
    "games": GAME_COLUMNS,
    "pitches": PITCH_COLUMNS,
    "events": EVENT_COLUMNS,
    "bullpens": BULLPEN_COLUMNS,
}


def names(columns: Iterable[Column]) -> tuple[str, ...]:
    """Return the names of columns, in order."""
    return tuple(column.name for column in columns)


def required(columns: Iterable[Column]) -> tuple[str, ...]:
    """Return the names of the columns a file must have."""
    return tuple(column.name for column in columns if column.required)
