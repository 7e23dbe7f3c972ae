"""Write the demo scenarios anew: `python -m demo_scenarios.make` (same seed, same files)."""

import datetime as dt
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from uuid import NAMESPACE_DNS, uuid5

import numpy as np

from demo_scenarios import season
from demo_scenarios.cast import CASTS, Cast, Opponent
from demo_scenarios.season import Arm, Bat
from sequencer.baseball import zone
from sequencer.live.session import Session
from sequencer.places import demo_folder
from sequencer.records.bullpen import Bullpen, Throw
from sequencer.records.event import Event
from sequencer.records.game import Game
from sequencer.records.people import Mark, Person, Team
from sequencer.records.pitch import Pitch
from sequencer.records.store import Book, open_book
from sequencer.records.writers import export_book


@dataclass(frozen=True)
class Met:
    """A game being made up: who throws, who catches, who hits."""

    cast: Cast
    opponent: Opponent
    order: tuple[int, int]
    catcher: str
    rng: np.random.Generator


def make(cast: Cast, into: Path) -> None:
    """Write one scenario's book and its game to log into a folder; the story is written by hand."""
    with tempfile.TemporaryDirectory() as place, open_book(Path(place) / "book.db") as book:
        people(book, cast)
        for n, date in enumerate(cast.dates):
            played(book, cast, n, date)
        bullpens(book, cast)
        shutil.rmtree(into / "book", ignore_errors=True)
        tonight = scheduled(book, cast)
        export_book(book, into / "book", "csv")
        lines = list(log_lines(book, cast, tonight))
    (into / "tonight.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")


def ident(*parts: str) -> str:
    """Return the same id for the same words every time."""
    return uuid5(NAMESPACE_DNS, "/".join(parts)).hex[:12]


def people(book: Book, cast: Cast) -> None:
    """Put our players, the opponents and the coach's marks in the book."""
    book.add_team(Team(name=cast.us, ours=True, level=cast.level, rules=cast.rules))
    for n, arm in enumerate(cast.arms):
        book.add_person(
            Person(
                id=ident(cast.us, arm.name),
                team=cast.us,
                name=arm.name,
                number=str(21 + 3 * n),
                bats=arm.throws,
                throws=arm.throws,
                signs=arm.signs,
            )
        )
    for n, name in enumerate(cast.catchers):
        book.add_person(
            Person(
                id=ident(cast.us, name), team=cast.us, name=name, number=str(2 + 5 * n), bats="R"
            )
        )
    for opponent in cast.opponents:
        book.add_team(Team(name=opponent.team, level=cast.level))
        for bat in opponent.nine:
            hitter(book, opponent, bat, dt.date.fromisoformat(cast.dates[0]))


def hitter(book: Book, opponent: Opponent, bat: Bat, date: dt.date) -> None:
    """Put one opposing hitter and his marks in the book."""
    person = Person(
        id=ident(opponent.team, bat.number),
        team=opponent.team,
        name=bat.name,
        number=bat.number,
        bats=bat.bats,
    )
    book.add_person(person)
    for mark, how_often in opponent.marks.get(bat.number, ()):
        book.add_mark(
            Mark.model_validate(
                {"person": person.id, "mark": mark, "how_often": how_often, "date": date}
            )
        )


def played(book: Book, cast: Cast, n: int, date: str) -> None:
    """Play one past game of our pitching into the book."""
    opponent = cast.opponents[n % len(cast.opponents)]
    game = new_game(cast, opponent, date, f"{date}-{opponent.team.split()[-1].lower()}")
    book.add_game(game)
    rng = np.random.default_rng([cast.seed, n])
    order = (0, 1) if n % 2 == 0 else (1, 0)
    met = Met(cast, opponent, order, cast.catchers[int(rng.random() < 0.4)], rng)
    session = Session(book, game)
    for entry in game_entries(session, met):
        session.add(entry)


def new_game(cast: Cast, opponent: Opponent, date: str, name: str) -> Game:
    """Return the header of a game."""
    return Game(
        id=ident(cast.name, name),
        game=name,
        date=dt.date.fromisoformat(date),
        us=cast.us,
        them=opponent.team,
        level=cast.level,
        rules=cast.rules,
    )


def scheduled(book: Book, cast: Cast) -> Game:
    """Put tonight's game and its line-up in the book, ready for the first pitch."""
    opponent = cast.opponents[0]
    name = f"{cast.tonight}-{opponent.team.split()[-1].lower()}"
    game = new_game(cast, opponent, cast.tonight, name)
    book.add_game(game)
    session = Session(book, game)
    met = Met(cast, opponent, (0, 1), cast.catchers[0], np.random.default_rng(cast.seed))
    for entry in first_entries(met):
        session.add(entry)
    return game


def first_entries(met: Met) -> list[Event]:
    """Return the line-up, the pitcher and the catcher a game starts with."""
    events = [
        Event.model_validate(
            {
                "event": "line-up",
                "who": ident(met.opponent.team, bat.number),
                "slot": slot,
                "side": "them",
                "bats": bat.bats,
            }
        )
        for slot, bat in enumerate(met.opponent.nine, 1)
    ]
    starter = met.cast.arms[met.order[0]]
    events.append(Event(event="pitcher", who=ident(met.cast.us, starter.name)))
    events.append(Event(event="catcher", who=ident(met.cast.us, met.catcher)))
    return events


def game_entries(session: Session, met: Met) -> Iterator[Pitch | Event]:
    """Yield the entries of one game of ours, reading the session for what happened so far."""
    yield from first_entries(met)
    for turn, arm_no in enumerate(met.order):
        arm = met.cast.arms[arm_no]
        if turn:
            yield Event(event="pitcher", who=ident(met.cast.us, arm.name))
        limit = met.cast.pitches_each[turn]
        yield from thrown(session, met, arm, len(session.state.log) + limit)


def thrown(session: Session, met: Met, arm: Arm, until: int) -> Iterator[Pitch | Event]:
    """Yield one pitcher's pitches and what runners did, to the end of the at-bat past `until`."""
    bats = {ident(met.opponent.team, bat.number): bat for bat in met.opponent.nine}
    while len(session.state.log) < until or session.state.pitch_no > 1:
        moved = season.runner_event(session.state, met.rng)
        if moved:
            yield moved
            if session.state.pitch_no == 1 and len(session.state.log) >= until:
                return
        state = session.state
        if state.up is None:
            return
        caller = met.cast.coach if met.rng.random() < 0.35 else met.catcher
        yield season.throw(
            arm,
            state,
            state.up.bats,
            bats[state.up.person],
            caller,
            zone.Zone(*met.cast.zone),
            met.rng,
        )


def bullpens(book: Book, cast: Cast) -> None:
    """Put four charted bullpens of each pitcher in the book: six sets of six throws."""
    for arm_no, arm in enumerate(cast.arms):
        for n, date in enumerate(cast.dates[:4]):
            day = dt.date.fromisoformat(date) - dt.timedelta(days=3 - arm_no)
            rng = np.random.default_rng([cast.seed, 77, arm_no, n])
            throws = tuple(charted(cast, arm, rng))
            book.add_bullpen(
                Bullpen(
                    id=ident(cast.name, arm.name, date),
                    bullpen=f"{day}-{arm.name.split()[0].lower()}",
                    date=day,
                    pitcher=ident(cast.us, arm.name),
                    catcher=ident(cast.us, cast.catchers[0]),
                    throws=throws,
                )
            )


def charted(cast: Cast, arm: Arm, rng: np.random.Generator) -> Iterator[Throw]:
    """Yield thirty-six throws: fastball sets first, then the other types."""
    types = list(arm.mph)
    area = zone.Zone(*cast.zone)
    for set_no in range(1, 7):
        pitch = "fastball" if set_no <= 3 else types[1 + set_no % (len(types) - 1)]
        for throw_no in range(1, 7):
            target = ("left", "right", "middle", "low", "left", "right")[throw_no - 1]
            side, height = season.land(arm, pitch, target, area, rng)
            u, v = zone.normalise(side, height, area, "R")
            yield Throw(
                set_no=set_no,
                throw_no=throw_no,
                pitch=pitch,
                called=pitch,
                target=target,
                cell=zone.cell_of(side, height, area),
                side_in=side,
                height_in=height,
                seen_from="behind plate",
                strike=max(abs(u), abs(v)) <= 1,
                speed_mph=round(float(rng.normal(arm.mph[pitch], 1.2))),
                drill="one-half set" if set_no == 2 else "",
            )


def log_lines(book: Book, cast: Cast, game: Game) -> Iterator[str]:
    """Yield tonight's game as the lines a scorer would type, playing it in the book on the way."""
    session = Session(book, game)
    rng = np.random.default_rng([cast.seed, 99])
    met = Met(cast, cast.opponents[0], (0, 1), cast.catchers[0], rng)
    yield f"# sequencer log {game.game} --plain < tonight.txt"
    for entry in game_entries(session, met):
        if isinstance(entry, Event) and entry.event in {"line-up", "catcher"}:
            continue
        if isinstance(entry, Event) and entry.event == "pitcher" and not session.state.log:
            continue
        state = session.state
        line = spoken(entry, state.up.bats if state.up else "R", cast)
        session.add(entry)
        yield line


def spoken(entry: Pitch | Event, bats: str, cast: Cast) -> str:
    """Return the line of one entry in the hitter's words."""
    if isinstance(entry, Event):
        if entry.event == "pitcher":
            names = {ident(cast.us, arm.name): arm.name for arm in cast.arms}
            return f"pitcher {names[entry.who]}"
        to = entry.base_to if entry.base_to != "out" else str(int(entry.base_from) + 1)
        return f"runner {entry.base_from}-{to} {entry.event}"
    parts = [entry.pitch, zone.to_hitter(entry.cell, bats), entry.result]
    parts += [f"called={entry.called}", f"target={zone.to_hitter(entry.target, bats)}"]
    parts += [f"{name}={value}" for name in ("play", "contact") if (value := getattr(entry, name))]
    return ", ".join(parts)


def main() -> None:
    """Write every scenario."""
    for cast in CASTS:
        into = demo_folder() / cast.name
        into.mkdir(exist_ok=True)
        make(cast, into)


if __name__ == "__main__":
    main()
