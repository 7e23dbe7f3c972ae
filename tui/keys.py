"""Every key of the UI in one table: the bindings, the footer, help and the palette read it.

The keys of a pitch are the entry grammar's (`sequencer.records.keymaps`); `pitch_keys` lists them
the same way. Function keys come with a control key for keyboards and terminals without them;
control keys that terminals and multiplexers keep for themselves (a, b, c, z, m, i, j, h) are free.
"""

from dataclasses import dataclass
from typing import Final

from textual.binding import Binding

from sequencer.records.keymaps import PITCH_KINDS, RUNNER_KEYS, SWITCH_KEYS, Keymap, Kind

EVERYWHERE: Final = "everywhere"
#: Lines of the large picture of the zone, which opens over any place.
PICTURE: Final = "picture"


@dataclass(frozen=True, slots=True)
class Key:
    """One line of the table.

    Attributes
    ----------
    keys : str
        Keys in Textual's names, parted by commas; the first is the one shown.
    place : str
        Where it works, `everywhere` or a place.
    action : str
        Textual action it runs.
    says : str
        What it does, for help and palette.
    short : str
        Its word at the foot of the screen; empty leaves it out there.
    """

    keys: str
    place: str
    action: str
    says: str
    short: str = ""

    @property
    def shown(self) -> str:
        """The keys as a person would name them."""
        return " or ".join(map(_spoken, self.keys.split(",")))


def first_key(key: Key) -> str:
    """Return the one key of a line that the foot of a screen shows."""
    return _spoken(key.keys.split(",")[0])


_SPOKEN: Final = {
    "question_mark": "?",
    "left_square_bracket": "[",
    "right_square_bracket": "]",
    "plus": "+",
    "minus": "-",
    "space": "space",
    "slash": "/",
    "escape": "Esc",
    "enter": "Enter",
    "delete": "Del",
}


def _spoken(key: str) -> str:
    if key.startswith("ctrl+"):
        return "Ctrl+" + key[5:].upper()
    if key[0] == "f" and key[1:].isdigit():
        return key.upper()
    return _SPOKEN.get(key, key)


#: Opens the whole page of a person wherever one is chosen, and puts it away again.
PERSON_PAGE: Final = "w"
KEYS: Final[tuple[Key, ...]] = (
    Key("f1,question_mark", EVERYWHERE, "help", "help for this place", "Help"),
    Key("f2,ctrl+o", EVERYWHERE, "place('scouting')", "scouting: hitters and marks", "Scout"),
    Key("f3,ctrl+l", EVERYWHERE, "place('plan')", "plan: counts and calls", "Plan"),
    Key("f4,ctrl+d", EVERYWHERE, "place('dugout')", "dugout: log the game", "Dugout"),
    Key("f5,ctrl+r", EVERYWHERE, "place('review')", "review: what could be read", "Review"),
    Key("f6,ctrl+g", EVERYWHERE, "place('games')", "games: choose or make one", "Games"),
    Key("f7,ctrl+n", EVERYWHERE, "place('bullpen')", "bullpen: chart a set of throws", "Pen"),
    Key("ctrl+p", EVERYWHERE, "command_palette", "palette: any command, player or game", "All"),
    Key("ctrl+t", EVERYWHERE, "next_theme", "next theme: night, bright sun, high contrast"),
    Key("ctrl+q", EVERYWHERE, "quit", "quit; everything logged is kept"),
    Key("f10,ctrl+k", EVERYWHERE, "picture", "the zone large: every cell's value, its pitches"),
    Key("f8,ctrl+e", EVERYWHERE, "tour_next", "tour: its next step"),
    Key("f9,ctrl+y", EVERYWHERE, "tour_end", "tour: end it, back to your own book"),
    Key("enter", "games", "open_game", "open the chosen game", "open"),
    Key("n", "games", "new_game", "new game", "new game"),
    Key("r", "games", "rules", "change rules of the chosen game", "its rules"),
    Key("t", "games", "tour", "a tour of the places on demo data", "tour"),
    Key("d", "games", "demo", "look around in demo data", "demo data"),
    Key("0", "scouting", "mark('')", "take the chosen mark off", "off"),
    Key("1", "scouting", "mark('once')", "chosen mark: seen once", "once"),
    Key("2", "scouting", "mark('some')", "chosen mark: seen some", "some"),
    Key("3", "scouting", "mark('always')", "chosen mark: seen always", "always"),
    Key("space", "scouting", "mark_on", "chosen mark: one step more (or click it)"),
    Key("q", "scouting", "quick", "quick marks: number, letters, next number", "quick marks"),
    Key("h", "scouting", "history", "his at-bats pitch by pitch, where he hit it", "at-bats"),
    Key("z", "scouting", "picture", "zone large: swings, misses, hard contact by cell", "zone"),
    Key("n", "scouting", "zone", "next small picture: misses, hard contact, where hit", "next"),
    Key("a", "scouting", "add_hitter", "add a player", "add"),
    Key("e", "scouting", "edit_hitter", "change name, number, side, signs, note", "change"),
    Key("t", "scouting", "team", "choose the team", "team"),
    Key("m", "scouting", "merge", "he is another player of the team: merge", "merge"),
    Key("u", "scouting", "unmerge", "take his last merge back"),
    Key("c", "scouting", "compute", "work out anew what sets him apart"),
    Key("escape", "scouting", "stop", "stop what is being worked out"),
    Key(PERSON_PAGE, "scouting", "person_page", "his whole page, as hitter or pitcher", "his page"),
    Key("plus,right_square_bracket", "plan", "trust(1)", "trust the book more", "trust"),
    Key("minus,left_square_bracket", "plan", "trust(-1)", "trust the book less", "less"),
    Key("b", "plan", "trust_book", "trust as far as the book knows each hitter", "by book"),
    Key("1", "plan", "rule('away half only')", "rule: away half only", "to 8 rules"),
    Key("2", "plan", "rule('inner half only')", "rule: inner half only"),
    Key("3", "plan", "rule('work away until he proves it')", "rule: work away until he proves it"),
    Key("4", "plan", "rule('work in until he proves it')", "rule: work in until he proves it"),
    Key("5", "plan", "rule('nothing down the middle')", "rule: nothing down the middle"),
    Key("6", "plan", "rule('first pitch in the zone')", "rule: first pitch in the zone"),
    Key("7", "plan", "rule('no breaking balls')", "rule: no breaking balls"),
    Key("8", "plan", "rule('no last pitch')", "rule: the last pitch counts for nothing"),
    Key("0", "plan", "rules_off", "take all rules off"),
    Key("r", "plan", "type_rule", "type a rule, for all or for this hitter", "rule"),
    Key("v", "plan", "coin_flips", "mark the calls that are a coin flip", "flips"),
    Key("y", "plan", "why", "why each call", "why"),
    Key("i", "plan", "what_if", "what if: what a call you prefer costs", "what if"),
    Key("z", "plan", "picture", "zone large: where the calls of a count would go", "zone"),
    Key("k", "plan", "card", "write the card", "card"),
    Key("x", "plan", "or_him", "another pitcher for tonight, beside him", "or him"),
    Key("l", "plan", "looks", "show or hide what he would look for", "looks"),
    Key("p", "plan", "pitcher", "choose the pitcher", "pitcher"),
    Key(PERSON_PAGE, "plan", "person_page", "the pitcher's whole page", "page"),
    Key("t", "plan", "team", "choose the team", "team"),
    Key("c", "plan", "compute", "compute the plan again", "again"),
    Key("escape", "plan", "stop", "stop what is being worked out"),
    Key("1", "review", "tab('habits')", "habits that could be read", "to 6 parts"),
    Key("2", "review", "tab('follow-up')", "what a reader makes of it, what became of habits"),
    Key("3", "review", "tab('ledger')", "where the runs came from; again: by what is next"),
    Key("4", "review", "tab('call or miss')", "at-bats that cost runs: the call or the miss"),
    Key("5", "review", "tab('tells')", "what gave pitches away"),
    Key("6", "review", "tab('not found')", "what was not found, and what could have been"),
    Key("p", "review", "pitcher", "choose whom: ours, callers, catchers, theirs", "whom"),
    Key("g", "review", "games", "choose the games", "games"),
    Key("s", "review", "since", "choose the day the games begin", "since"),
    Key("f", "review", "fix", "follow habits up since a day", "follow up"),
    Key("z", "review", "picture", "zone large: where they were thrown, by type", "zone"),
    Key("b", "review", "send", "send what to practise to his next bullpen", "to bullpen"),
    Key(PERSON_PAGE, "review", "person_page", "the pitcher's whole page", "his page"),
    Key("c", "review", "compute", "review again, with what was logged since", "again"),
    Key("escape", "review", "stop", "stop what is being worked out"),
    Key("P", "bullpen", "pitcher", "choose who throws", "who"),
    Key("N", "bullpen", "new_set", "begin the next set", "next set"),
    Key("S", "bullpen", "size", "sets of six, 8, 10, 12, 3 or 4", "set size"),
    Key("H", "bullpen", "side", "the hitter stands on the other side", "side"),
    Key("V", "bullpen", "picture", "zone large: throws about each target", "zone"),
    Key("B", "bullpen", "days", "his bullpens by date, or a new one", "days"),
    Key("up", PICTURE, "cell('up')", "the cell above"),
    Key("down", PICTURE, "cell('down')", "the cell below"),
    Key("left", PICTURE, "cell('left')", "the cell to the catcher's left"),
    Key("right", PICTURE, "cell('right')", "the cell to the catcher's right"),
    Key("z,tab", PICTURE, "turn(1)", "the next picture", "next"),
    Key("Z,shift+tab", PICTURE, "turn(-1)", "the picture before"),
    Key("a", PICTURE, "which", "of which pitches: all, or one kind", "which pitches"),
    Key("s", PICTURE, "smooth", "smoothed, or counted", "smoothed"),
    Key("enter", PICTURE, "pitches", "the pitches behind the cell", "pitches"),
    Key("escape,q,f10,ctrl+k", PICTURE, "dismiss('')", "back", "back"),
)


def keys_of(place: str) -> tuple[Key, ...]:
    """Return the lines of one place, `everywhere` left out."""
    return tuple(key for key in KEYS if key.place == place)


def bindings(place: str) -> list[Binding]:
    """Return the Textual bindings of a place.

    Function and control keys of `everywhere` work whatever has the focus; a key that types a
    character is left to a line being typed.
    """
    return [
        Binding(
            name, key.action, key.says, show=False, priority=place == EVERYWHERE and _typeless(name)
        )
        for key in keys_of(place)
        for name in key.keys.split(",")
    ]


def _typeless(name: str) -> bool:
    return name.startswith("ctrl+") or (name[0] == "f" and name[1:].isdigit())


def hint(place: str) -> str:
    """Return the line of a place's own keys, for the foot of its screen."""
    return "  ".join(f"{first_key(key)} {key.short}" for key in keys_of(place) if key.short)


def lines_of(words: str, width: int) -> str:
    """Return keys with their words in lines so wide at most, broken only between two of them."""
    lines: list[str] = []
    for line in words.split("\n"):
        lines.append("")
        for item in line.split("  "):
            longer = f"{lines[-1]}  {item}" if lines[-1] else item
            if len(longer) > width and lines[-1]:
                lines.append(item)
            else:
                lines[-1] = longer
    return "\n".join(lines)


_TITLES: Final[dict[Kind, str]] = {
    "sign": "Type: the pitcher's signs",
    "place": "Place: the plate as the catcher sees it, shifted is off the plate",
    "result": "Result: commits the pitch",
    "note": "Notes before the result",
    "shown": "The call",
    "prefix": "Two keys and more",
    "command": "Commands",
    "edit": "While typing",
}


def pitch_keys(keymap: Keymap) -> tuple[tuple[str, str, tuple[tuple[str, str], ...]], ...]:
    """Return the dugout keys in groups: title, kind, then (key, what it does)."""
    kinds: tuple[Kind, ...] = (*PITCH_KINDS, "prefix", "command", "edit")
    groups = [
        (_TITLES[kind], kind, tuple((k, a.says) for k, a in keymap.acts.items() if a.kind == kind))
        for kind in kinds
    ]
    runner = keymap.key("prefix", "runner")
    after = tuple((f"{runner} {key}", says) for key, (_, says) in RUNNER_KEYS.items())
    switch = keymap.key("prefix", "switch")
    changes = (
        (f"{switch} 1 4", "number 14 hits for who is up; Enter"),
        *((f"{switch} {key}", says) for key, (_, says) in SWITCH_KEYS.items()),
    )
    return (
        *groups,
        ("The lead runner", "runner", after),
        ("Who comes in, and what else changes", "switch", changes),
    )
