"""A book with one of everything in it, for tests of export and import."""

import datetime as dt
from collections.abc import Sequence
from typing import Any

from sequencer.live.session import Session
from sequencer.records.bullpen import Bullpen, Throw
from sequencer.records.event import Event
from sequencer.records.game import Game
from sequencer.records.people import Mark, Person, Team
from sequencer.records.pitch import Observed, Pitch
from sequencer.records.store import Book

US, THEM = "Heron Creek", "Gull Harbor"


def add_people(book: Book) -> None:
    book.add_team(Team(name=US, ours=True, level="13-14", rules="junior-54"))
    book.add_team(Team(name="Heron Creek Juniors", ours=True))
    book.add_team(Team(name=THEM))
    for person in (
        Person(id="p1", team=US, name="Ash Reed", number="11", throws="R", bats="S"),
        Person(
            id="p2", team=US, name="Bo Lind", throws="L", signs={"1": "fastball", "2": "slider"}
        ),
        Person(id="c1", team=US, name="Cy Marsh", number="2", note='says "down", twice; a, b'),
        Person(id="h1", team=THEM, name="Sam Lee", number="7", bats="R"),
        Person(id="h2", team=THEM, name="Sam Lee", number="12", bats="L"),
        Person(id="h3", team=THEM, number="23", bats="S"),
        Person(id="h4", team=THEM, name="Ike Dole", number="12"),
        Person(id="h5", team=THEM, name="9"),
        Person(id="h6", team=THEM, name="Sam Lee"),
        Person(id="h7", team=THEM, name="Ned #3 Oak", bats="L"),
        Person(id="dup", team=THEM, name="Isaac Dole", bats="L", note="the same man"),
    ):
        book.add_person(person)
    book.merge_people("h4", "dup")
    for mark in (
        Mark(person="h1", mark="extends", how_often="always", against="hard"),
        Mark(person="dup", mark="dives", seen_in="stance", date=dt.date(2026, 4, 1), note="twice"),
        Mark(person="h4", mark="dives", seen_in="stance", how_often="once"),
    ):
        book.add_mark(mark)


def add_bullpens(book: Book) -> None:
    throws = (
        Throw(set_no=1, throw_no=1, pitch="fastball", target="down-right", cell="down-middle"),
        Throw(
            set_no=1,
            throw_no=2,
            pitch="slider",
            called="slider",
            target="low-left",
            cell="below-off-left",
            hitter_side="L",
            speed_mph=71.5,
            strike=False,
            count="1-2",
            tells=("slow arm", "time to plate=1.42"),
            tells_watched=("slow arm", "glove"),
            note="short",
        ),
        Throw(set_no=2, throw_no=1, pitch="changeup", side_in=-3.25, height_in=20.0, strike=True),
    )
    pen = Bullpen(
        id="b1",
        bullpen="tuesday",
        date=dt.date(2026, 4, 14),
        pitcher="p1",
        catcher="c1",
        throws=throws,
        note="cold",
    )
    book.add_bullpen(pen)
    book.add_bullpen(Bullpen(id="b2", bullpen="empty", date=dt.date(2026, 4, 15), pitcher="p2"))


def event(name: str, **fields: Any) -> Event:
    return Event(event=name, **fields)


def line_up(side: str, who: Sequence[str]) -> list[Event]:
    return [
        Event.model_validate({"event": "line-up", "who": id_, "slot": slot, "side": side})
        for slot, id_ in enumerate(who, 1)
    ]


def add_our_half(book: Book) -> Game:
    """A game with only our pitching: subs, steals, an umpire's count, undone and corrected rows."""
    game = Game(
        id="g1",
        game="opener",
        date=dt.date(2026, 4, 18),
        us=US,
        them=THEM,
        home="us",
        level="13-14",
        rules="junior-54",
        rule_edits={"innings": 5},
    )
    book.add_game(game)
    log = Session(book, game)
    log.add(*line_up("them", ["h1", "h2", "h3", "h4", "h5", "h6", "h7"]))
    log.add(event("pitcher", who="p1", side="us"))
    log.add(event("catcher", who="c1", side="us"))
    log.add(
        Pitch(
            result="ball",
            pitch="fastball",
            cell="down-right",
            target="right",
            called="fastball",
            target_when="before",
            caller="coach",
            shakes=1,
            entered="hitter",
            speed_mph=68.25,
        )
    )
    log.add(event("count", balls=0, strikes=1))
    log.add(
        Pitch(
            result="foul",
            pitch="changeup",
            timing="early",
            contact="weak",
            flight="ground",
            spray="pull",
            note='line one\nline "two", and; more\rthree',
        )
    )
    log.add(Pitch(result="in play", play="single", moves="b-2", fielders="8", flight="line"))
    log.add(event("steal", base_from="2", base_to="3"))
    log.add(
        Pitch(
            result="ball",
            pitch="slider",
            cell="off-left",
            side_in=-14.125,
            height_in=22.0,
            top_in=40.5,
            bottom_in=17.5,
            seen_from="measured",
            break_side_in=-3.5,
            break_up_in=0.1,
            tells=("winks", "hold=2.5"),
            tells_watched=("winks", "long look"),
        )
    )
    log.add(Pitch(result="called strike", tells=("glove",), tells_watched=("glove", "arm")))
    log.undo()
    log.add(
        event("substitution", who="h6b", for_whom="h2", side="them"),
        new=[Person(id="h6b", team=THEM, name="Pip Roe", bats="R")],
    )
    log.add(Pitch(result="hit by pitch", pitch="other", intent=""))
    log.add(event("visit", reason="to slow it down"))
    log.add(event("pitcher", who="p2", side="us"))
    log.add(
        Pitch(
            result="in play",
            play="double play",
            fielders="6-4-3",
            exit_mph=88.4,
            launch_deg=-7.5,
            contact_value=0.21,
        )
    )
    log.add(Pitch(result="swinging strike", bunt=True))
    log.add(event("intentional walk"))
    log.add(event("half ended", reason="run limit"))
    log.correct(1, {"pitch": "four-seam", "note": "was the hard one"})
    log.insert(3, Pitch(result="foul", pitch="unknown"))
    log.add(event("at", who="h7"))
    log.add(Pitch(result="ball", advice="changeup down-away"))
    log.add(event("absent", who="h1"))
    log.add(event("note", reason="rain"))
    log.add(event("score", score_us=3, score_them=2))
    log.add(Pitch(result="catcher's interference"))
    return game


def add_both_halves(book: Book) -> Game:
    """A game with both sides' pitching, hitters nobody named at first, and outside pitches."""
    game = Game(
        id="g2",
        game="second, of two",
        date=dt.date(2026, 4, 18),
        game_no=2,
        us=US,
        them=THEM,
        home="them",
        level="13-14",
        rules="scrimmage",
        both_halves=True,
    )
    book.add_game(game)
    log = Session(book, game)
    for result in ("ball", "called strike", "swinging strike", "swinging strike"):
        log.add(Pitch(result=result, pitch="fastball", cell="down-right"))
    log.add(Pitch(result="ball", pitch="curveball", cell="up-left"))
    log.add(event("at", who="p2", bats="L"))
    log.add(Pitch(result="in play", play="out", third_strike=""))
    log.add(event("at", who="p1", bats="R"))
    log.add(Pitch(result="in play", play="error", moves="b-2"))
    log.add(event("pickoff", base_from="2"))
    log.add(event("pitcher", who="p1", side="us"))
    log.add(event("at", who="h3", bats="L"))
    log.add(Pitch(result="foul tip", pitch="fastball", cell="belt-off-right", entered="catcher"))
    log.add(Pitch(result="in play", play="triple"))
    seen = Observed(inning=4, half="bottom", outs=2, on_first="h6", on_third="1", score_us=2)
    log.add(event("at", who="h2", imported=True, at_bat=9))
    log.add(Pitch(result="in play", play="double play", observed=seen))
    log.add(Pitch(result="in play", play="double play", observed=Observed(pitch_no=3, balls=2)))
    return game


def fill(book: Book) -> None:
    add_people(book)
    add_bullpens(book)
    add_our_half(book)
    add_both_halves(book)
    # The hitter whom nobody named in the second game turns out to be one of ours.
    nameless = [id_ for id_ in book.everyone() if "?us?" in id_ and not id_.endswith("?P")]
    book.merge_people("c1", nameless[0])
