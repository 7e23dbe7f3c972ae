"""What was logged, said as a person on the bench would say it."""

from collections.abc import Callable, Mapping
from typing import Final

from sequencer.baseball.zone import to_hitter
from sequencer.records.event import Event
from sequencer.records.pitch import Pitch

_ROWS: Final = {
    "above": "above the zone",
    "up": "up",
    "belt": "belt high",
    "down": "down",
    "below": "below the zone",
}
_COLUMNS: Final = {
    "middle": "middle",
    "in": "in",
    "away": "away",
    "off-in": "off the plate in",
    "off-away": "off the plate away",
    "left": "catcher's left",
    "right": "catcher's right",
    "off-left": "off the plate left",
    "off-right": "off the plate right",
}
_BENCH: Final = {
    "middle": "down the middle",
    "belt-middle": "down the middle",
    "above": "above the zone",
    "below": "below the zone",
    "unknown": "",
    "high": "high",
    "low": "low",
}
_CONTACT: Final = {"weak": "weakly hit", "fair": "fairly hit", "square": "hit square"}


def place_words(word: str, bats: str) -> str:
    """Say a cell or target of the catcher's frame, relative to the hitter where his side is known.

    Parameters
    ----------
    word : str
        A location word of the catcher's frame, or "".
    bats : str
        R, L, or "" where the side is not known: left and right are then the catcher's.
    """
    said = to_hitter(word, "L" if bats == "L" else "R") if word and bats else word
    if said in _BENCH:
        return _BENCH[said]
    row, _, column = said.partition("-")
    if row in ("high", "low") and column:
        return f"{row} and {_COLUMNS[column]}"
    if row not in _ROWS:
        return _COLUMNS.get(said, said)
    if column == "middle":
        return _ROWS[row] + (", middle" if row in ("up", "down") else "")
    joint = " and " if row in ("up", "down") and column in ("in", "away") else ", "
    return f"{_ROWS[row]}{joint}{_COLUMNS[column]}" if column else _ROWS[row]


def sentence(pitch: Pitch, bats: str) -> str:
    """Say a pitch: what, where, what happened, what was asked for.

    Parameters
    ----------
    pitch : Pitch
        The pitch as logged.
    bats : str
        The side the hitter hit from, "" when not known.

    Returns
    -------
    str
        "Changeup down and away, swinging strike (called low and away)".
    """
    kind = "Pitch" if pitch.pitch == "unknown" else pitch.pitch.capitalize()
    parts = [f"{kind} {place_words(pitch.cell, bats)}".strip(), _result_words(pitch)]
    if pitch.timing:
        parts.append(pitch.timing if pitch.timing == "on time" else f"{pitch.timing} on it")
    if pitch.third_strike == "dropped":
        parts.append("third strike dropped")
    if pitch.intent:
        parts.append(pitch.intent)
    parts += tell_words(pitch)
    return ", ".join(parts) + _asked_words(pitch, bats)


def tell_words(pitch: Pitch) -> list[str]:
    """Say the tells noted on a pitch: those seen, and those watched for and not seen."""
    seen = [f"tell: {', '.join(pitch.tells)}"] if pitch.tells else []
    watched = [f"no {', no '.join(pitch.tells_watched)}"] if pitch.tells_watched else []
    return seen + watched


def _result_words(pitch: Pitch) -> str:
    contact = _CONTACT.get(pitch.contact, "")
    if pitch.result != "in play":
        bunted = "bunted " if pitch.bunt and pitch.result == "foul" else ""
        return f"{bunted}{pitch.result}" + (f", {contact}" if contact else "")
    if pitch.spray == "foul ground" and pitch.play == "out":
        return "foul, caught" + (f", {contact}" if contact else "")
    bunted = "bunt, " if pitch.bunt and pitch.play != "sacrifice bunt" else ""
    how = " ".join(word for word in (pitch.flight, pitch.fielders) if word)
    played = bunted + (pitch.play or "in play") + (f" ({how})" if how else "")
    return f"{played}, {contact}" if contact else played


def _asked_words(pitch: Pitch, bats: str) -> str:
    called = pitch.called if pitch.called != pitch.pitch else ""
    where = place_words(pitch.target, bats)
    if not called and not where:
        return ""
    late = ", said afterwards" if pitch.target_when == "after" else ""
    return f" (called {' '.join(word for word in (called, where) if word)}{late})"


_RUNNER: Final = {
    "steal": "steals {to}",
    "caught stealing": "caught stealing",
    "pickoff": "picked off",
    "balk": "to {to} on a balk",
    "wild pitch": "to {to} on a wild pitch",
    "passed ball": "to {to} on a passed ball",
    "advance": "moves to {to}",
    "out on bases": "out on the bases",
}
_HANDS: Final = {"R": "right-handed", "L": "left-handed"}
_BASES: Final = {"1": "first", "2": "second", "3": "third", "home": "home"}


def event_sentence(event: Event, name: Callable[[str], str]) -> str:
    """Say an event.

    Parameters
    ----------
    event : Event
        The event as logged.
    name : callable
        Person id -> how to call him.
    """
    if event.event in _RUNNER:
        runner = name(event.who) if event.who else f"Runner on {_BASES[event.base_from or '1']}"
        words = _RUNNER[event.event].format(to=_BASES.get(event.base_to, ""))
        return f"{runner} {words}"
    reason = f": {event.reason}" if event.reason else ""
    said: Mapping[str, str] = {
        "line-up": f"{name(event.who)} bats {event.slot or ''}".rstrip(),
        "at": f"{name(event.who)} is up" + (f", hitting {event.bats}" if event.bats else ""),
        "absent": f"{name(event.who)} is absent",
        "substitution": f"{name(event.who)} in for {name(event.for_whom)}",
        "pitcher": f"{name(event.who)} pitches",
        "throws": f"{name(event.who)} throws {_HANDS.get(event.throws, 'otherwise')}{reason}",
        "catcher": f"{name(event.who)} catches",
        "visit": f"Visit to the mound{reason}",
        "intentional walk": "Intentional walk",
        "count": f"The umpire has {event.balls}-{event.strikes}",
        "score": f"The board says {event.score_us}-{event.score_them}",
        "pitch count": f"The official book has {event.pitches} pitches",
        "not there": f"The {event.reason or 'pitch'} is not there today",
        "there": f"The {event.reason or 'pitch'} is there today",
        "half ended": f"The half is over{reason}",
        "note": f"Note{reason}",
    }
    return said[event.event]
