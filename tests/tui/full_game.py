"""A whole game of 280 pitches typed in a real terminal: `python -m tests.tui.full_game`.

The script below is what a scorer types, both halves of seven innings, and beside each turn what
came of it; `HITTERS` and `PITCHERS` are the box of it, made by hand from the same story and not by
the program. Clubs, people and story are invented. The command types it into `sequencer` in tmux at
80x24, waits for each entry on the screen, and then holds the book against the box.
"""

import datetime as dt
import os
import shlex
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Final, NamedTuple

from sequencer.live.session import Session
from sequencer.records.box import Box, box
from sequencer.records.event import Event
from sequencer.records.game import Game
from sequencer.records.people import Person, Team
from sequencer.records.state import State
from sequencer.records.store import Book, open_book
from tests.tui.clubs import OWLS, VELA

PITCHES: Final = 280
SCORE: Final = (4, 5)
#: A turn a line: who is up, the keys (a part with `:` is a line, ended by Enter), what came of it.
SCRIPT: Final = """
T1 Marin     1sl 1Wb 4cf 2zm            | strikeout
   Okoye     1Ab 1Db 1al 1d/y           | single
   Brandt    RS 2xl 1Ab 4Cb 4z,o        | Okoye steals second; out
   Sato      1Qb 1s/u                   | double, Okoye scores
   Lindqvist 1Wb 1Eb 4Cb 1sl 1Db        | walk
   Reyes     1q,F6o                     | out; two left
B1 Abel      b l b f b b                | walk
   Boone     l -j                       | sacrifice bunt
   Cairn     b l y                      | single, Abel to third
   Dray      f b b k                    | sacrifice fly, Abel scores
   Elkin     l m b f m                  | strikeout; one left
T2 Adeyemi   1Ab 1ah                    | hit
   Kowal     1sf 2Cb 1x,F63g            | double play
   Prieto    b b 1sl b 1sl 1df b        | walk
   Marin     4Cb 1sl 1wf 2xy            | single, Prieto to second
   Okoye     1sf 1zl 4cf 2Xm            | strikeout; two left
B2 Fenn      l l b b f b o              | out
   Garrow    b b u                      | double
   Hallam    l n                        | error, Garrow to third
   Ister     f b v                      | Hallam out at second
   Abel      b l f b t                  | strikeout; two left
T3 Brandt    1Wb 4Cb 1sl 1s/r           | home run
   Sato      1al 1sf 4Cb 2Xm            | strikeout
   Lindqvist 1Ab 1.y                    | single
   Reyes     2Xb RL 1sl 1d.y M24        | Lindqvist to second, single, Lindqvist scores
   Adeyemi   1Ab RK 1sf 1df 4Cb 1wf b o | Reyes caught stealing; out; none left
B3 Boone     b b b b                    | walk
   Cairn     l RF b f b m               | Boone picked off; strikeout
   Dray      f b i                      | triple
   Elkin     II                         | intentional walk
   Fenn      b l y                      | single, Dray scores
   Garrow    l b f b o                  | out; two left
T4 Kowal     1Eb 1sl 1w,o               | out
   Prieto    1sl 4cf 1df 2X'm           | strikeout, reaches first
   Marin     1Ab 2Cb 1sf 1s.y           | single, Prieto to second
   Okoye     1Wb 1s-j                   | sacrifice bunt
   Brandt    b b b 1sf 1sl b            | walk
   Sato      4z,o                       | out; three left
B4 Hallam    l b y                      | single
   Ister     f b b f o                  | out
   Abel      b RP l RS b f m            | passed ball, steal, strikeout
   Boone     b RB l b f f b o           | balk, Hallam scores; out; none left
T5 Lindqvist 1Ab 1s/y                   | single
   Reyes     1Wb 1Eb :pitcher_Moss 1sl b b | walk, Vela's by the rule
   Adeyemi   1sf 1sl :sub_Duarte_for_Adeyemi 2Xm | strikeout, Adeyemi's by the rule
   Kowal     1sf 1s/u                   | double, Lindqvist scores
   Prieto    2Cb 1w.k                   | sacrifice fly, Reyes scores
   Marin     1sl 1Ab 1sf 4Cb 1df 1w,o   | out; one left
B5 Cairn     l l m                      | strikeout
   Dray      b f b o                    | out
   Elkin     b b l b f f y              | single
   Fenn      l b f f b f RO             | Elkin out on the bases: Fenn begins the next inning
T6 Okoye     1Ab U21 1Wb 1Eb            | the umpire has 2-1; walk
   Brandt    1sf < > 2Cb 1sf 1Ab 1wf 1df 2Xm | strikeout
   Sato      b b 1sl 1sf 1df b 1wf 1sf 1df 1x,F643g | double play; none left
B6 Fenn      l b f b b b                | walk
   Garrow    :pitcher_Tarn b b b l y    | single, Fenn to second
   Hallam    :fastball,_unknown,_catcher's_interference | first base, and everybody moves up
   Ister     l f b m                    | strikeout
   Abel      f y                        | single, Fenn scores
   Boone     b g                        | double play; two left
T7 Lindqvist 1Ab 2Cb 1sl 1z,o           | out
   Reyes     1Ab 1ah                    | hit
   Duarte    1sl 1s.y M13               | single, Reyes to third
   Kowal     2Cb 1sl 1x,v               | Duarte out at second
   Prieto    1sl b 1sf b b 1wf 1df 1sf 1w,o | out; two left
B7 Cairn     b f l b f b b              | walk
   Dray      b b RS l f l               | steal, strikeout looking
   Elkin     l b f o                    | out
   Fenn      b l f p                    | foul caught; one left
"""


class Hit(NamedTuple):
    """A hitter's line: turns, at-bats, runs, hits, walks, strikeouts, hit, sacrifices, awards."""

    turns: int
    at_bats: int
    runs: int
    hits: int
    walks: int
    strikeouts: int
    hit_by_pitch: int
    sacrifices: int
    awards: int


class Gave(NamedTuple):
    """A pitcher's line: pitches, batters, outs, hits, runs, walks, strikeouts, hit batters."""

    pitches: int
    batters: int
    outs: int
    hits: int
    runs: int
    walks: int
    strikeouts: int
    hit_batters: int


HITTERS: Final = {
    "Marin": Hit(4, 4, 0, 2, 0, 1, 0, 0, 0),
    "Okoye": Hit(4, 2, 1, 1, 1, 1, 0, 1, 0),
    "Brandt": Hit(4, 3, 1, 1, 1, 1, 0, 0, 0),
    "Sato": Hit(4, 4, 0, 1, 0, 1, 0, 0, 0),
    "Lindqvist": Hit(4, 3, 2, 2, 1, 0, 0, 0, 0),
    "Reyes": Hit(4, 2, 1, 1, 1, 0, 1, 0, 0),
    "Adeyemi": Hit(3, 2, 0, 0, 0, 1, 1, 0, 0),
    "Duarte": Hit(1, 1, 0, 1, 0, 0, 0, 0, 0),
    "Kowal": Hit(4, 4, 0, 1, 0, 0, 0, 0, 0),
    "Prieto": Hit(4, 2, 0, 0, 1, 1, 0, 1, 0),
    "Abel": Hit(4, 3, 1, 1, 1, 2, 0, 0, 0),
    "Boone": Hit(4, 2, 0, 0, 1, 0, 0, 1, 0),
    "Cairn": Hit(4, 3, 0, 1, 1, 2, 0, 0, 0),
    "Dray": Hit(4, 3, 1, 1, 0, 1, 0, 1, 0),
    "Elkin": Hit(4, 3, 0, 1, 1, 1, 0, 0, 0),
    "Fenn": Hit(4, 3, 1, 1, 1, 0, 0, 0, 0),
    "Garrow": Hit(3, 3, 0, 2, 0, 0, 0, 0, 0),
    "Hallam": Hit(3, 2, 1, 1, 0, 0, 0, 0, 1),
    "Ister": Hit(3, 3, 0, 0, 0, 1, 0, 0, 0),
}
PITCHERS: Final = {
    "Ines Vela": Gave(84, 24, 12, 8, 5, 4, 4, 1),
    "Moss": Gave(56, 12, 9, 2, 0, 1, 2, 1),
    "Rook": Gave(106, 24, 15, 6, 4, 4, 5, 0),
    "Tarn": Gave(34, 9, 6, 2, 0, 1, 2, 0),
}
#: Runners left on base, and putouts by the other side.
LEFT: Final = {"them": (10, 21), "us": (8, 21)}

_NINE: Final = ("Abel", "Boone", "Cairn", "Dray", "Elkin", "Fenn", "Garrow", "Hallam", "Ister")
OURS: Final = tuple(
    Person(id=name.lower(), team="Herons", name=name, number=str(number), bats="LR"[number % 2])
    for number, name in enumerate(_NINE, 40)
)
OTHERS: Final = (
    Person(id="moss", team="Herons", name="Moss", throws="L"),
    Person(id="rook", team="Owls", name="Rook", throws="R"),
    Person(id="tarn", team="Owls", name="Tarn", throws="R"),
    Person(id="duarte", team="Owls", name="Duarte", number="44", bats="L"),
)


class Turn(NamedTuple):
    """A turn at the plate as typed: the half (`T1`), who is up, the parts, what came of it."""

    half: str
    who: str
    parts: tuple[str, ...]
    came: str


def turns() -> Iterator[Turn]:
    """Yield the script, a turn at a time."""
    half = ""
    for line in SCRIPT.strip().splitlines():
        typed, _, came = line.partition("|")
        half = typed[:2].strip() or half
        who, *parts = typed[2:].split()
        yield Turn(half, who, tuple(part.replace("_", " ") for part in parts), came.strip())


def make(path: Path) -> str:
    """Make a book of both clubs with the game in it, ready for its first pitch."""
    with open_book(path) as book, book.transaction():
        _people(book)
        game = Game(
            id="full",
            game="full",
            date=dt.date(2026, 5, 9),
            us="Herons",
            them="Owls",
            both_halves=True,
            level="17-18",
            rules="high-school",
            rule_edits={"electronic_advice": "ask"},
        )
        book.add_game(game)
        session = Session(book, game)
        session.add(Event(event="pitcher", who="vela", side="us"))
        session.add(Event(event="pitcher", who="rook", side="them"))
        for slot in range(9):
            for side, people in (("them", OWLS), ("us", OURS)):
                who = people[slot].id
                session.add(Event.model_validate(_slot(who, side, slot + 1)))
    return str(path)


def _slot(who: str, side: str, slot: int) -> dict[str, object]:
    return {"event": "line-up", "who": who, "side": side, "slot": slot}


def _people(book: Book) -> None:
    book.add_team(Team(name="Herons", ours=True, level="17-18", rules="high-school"))
    book.add_team(Team(name="Owls", level="17-18"))
    for person in (VELA, *OWLS, *OURS, *OTHERS):
        book.add_person(person)


def state_of(path: str) -> State:
    """Return the game as the book has it."""
    with open_book(path) as book:
        game = book.find_game("full")
        assert game is not None
        return Session(book, game).state


def derived(state: State) -> tuple[dict[str, Hit], dict[str, Gave], dict[str, tuple[int, int]]]:
    """Return the box the program derives, in the shape of the one made by hand."""
    found: Box = box(state)
    hitters = {
        state.label(who): Hit(*(getattr(line, name) for name in Hit._fields))
        for who, line in found.hitters.items()
    }
    pitchers = {
        state.label(who): Gave(*(getattr(line, name) for name in Gave._fields))
        for who, line in found.pitchers.items()
    }
    left = {str(side): (line.left_on_base, line.putouts) for side, line in found.sides.items()}
    return hitters, pitchers, left


# in a real terminal

_PATIENCE_S: Final = 20.0


class Terminal:
    """The program in tmux at 80x24, on a server of its own."""

    def __init__(self, command: str, columns: int = 80, rows: int = 24) -> None:
        self._server = f"sequencer-{os.getpid()}"
        size = ("-x", str(columns), "-y", str(rows))
        self._tmux("new-session", "-d", "-s", "game", *size, command)

    def _tmux(self, *words: str) -> str:
        line = ["tmux", "-L", self._server, "-f", "/dev/null", *words]
        return subprocess.run(line, check=True, capture_output=True, text=True).stdout

    def type(self, keys: str) -> None:
        """Type characters as they are."""
        # A semicolon of its own parts two commands of tmux.
        self._tmux("send-keys", "-t", "game", "-l", "--", keys.replace(";", "\\;"))

    def press(self, key: str) -> None:
        """Press a key by tmux's name."""
        self._tmux("send-keys", "-t", "game", key)

    def screen(self) -> str:
        """Return what is on the screen."""
        return self._tmux("capture-pane", "-p", "-t", "game")

    def until(self, *words: str) -> float:
        """Wait until all the words are on the screen; returns the seconds it took."""
        began = time.perf_counter()
        while time.perf_counter() - began < _PATIENCE_S:
            shown = self.screen()
            if all(word in shown for word in words):
                return time.perf_counter() - began
            time.sleep(0.005)
        raise SystemExit(f"waited in vain for {words}; the screen shows:\n{self.screen()}")

    def close(self) -> None:
        """End the program and its terminal."""
        self._tmux("kill-server")


def type_all(terminal: Terminal) -> list[float]:
    """Type the game; returns the seconds from the last key of each turn to its screen."""
    waited = []
    script = [*turns(), Turn("T8", "Marin", (), "")]
    terminal.until("Up: Marin", "Top 1")
    for turn, following in pairwise(script):
        for part in turn.parts:
            terminal.type(part)
            if part.startswith(":"):
                terminal.press("Enter")
        half = {"T": "Top", "B": "Bottom"}[following.half[0]]
        waited.append(terminal.until(f"Up: {following.who}", f"{half} {following.half[1:]}"))
    return waited


def main() -> None:
    """Type the game into the program and hold its book against the box."""
    say = sys.stdout.write
    if shutil.which("tmux") is None:
        raise SystemExit("This needs tmux: install it, or run pytest -k full_game.")
    with tempfile.TemporaryDirectory() as folder:
        path = make(Path(folder) / "book.db")
        settings = f"XDG_CONFIG_HOME={shlex.quote(folder)}"
        program = f"{shlex.quote(sys.executable)} -m sequencer --book {shlex.quote(path)}"
        terminal = Terminal(f"env {settings} {program}")
        try:
            terminal.until("Games")
            terminal.press("F6")
            terminal.until("full")
            terminal.press("Enter")
            waited = sorted(type_all(terminal))
        finally:
            say(terminal.screen())
            terminal.close()
        state = state_of(path)
        same = derived(state) == (HITTERS, PITCHERS, LEFT)
        say(f"{len(state.log)} pitches; the box is {'' if same else 'NOT '}the one made by hand\n")
        middle, slow = waited[len(waited) // 2], waited[-1]
        say(f"from a turn's last key to its screen: median {middle:.2f} s, most {slow:.2f} s\n")
        raise SystemExit(not same)


if __name__ == "__main__":
    main()
