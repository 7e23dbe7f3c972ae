"""What an event does to a game: runners, substitutions, who is up, the umpire's count."""

from collections.abc import Callable
from types import MappingProxyType
from typing import Final

from sequencer.baseball.count import Count
from sequencer.baseball.pitches import TYPES
from sequencer.baseball.situation import Played, move_runner, play_out, usual_moves
from sequencer.errors import IllegalEntry
from sequencer.records.event import RUNNER_EVENTS, Event, Side
from sequencer.records.halves import (
    finish_at_bat,
    fresh_at_bat,
    moved,
    next_half,
    next_up,
    ready,
    settle,
    up_now,
    with_order,
)
from sequencer.records.line_up import Order
from sequencer.records.state import (
    Hand,
    Happened,
    Logged,
    State,
    Up,
    having,
    moment,
    unnamed_hitter,
)
from sequencer.records.substitutions import substitute

_STAYS: Final = Played(("", "", ""), 0, 0, (), (), ())
_NO_ORDER: Final = Order()
#: Most pitches of one pitcher that are no slip of the pen (assumption, wider than any game).
MOST_PITCHES: Final = 299


def happen(state: State, seq: int, event: Event) -> State:
    """Return the state after an event, which is kept in `happened`.

    Raises
    ------
    IllegalEntry
        If it cannot have happened now and is not imported.
    """
    try:
        return _happen(state, seq, event)
    except IllegalEntry as error:
        if not event.imported:
            raise
        note = f"After pitch {len(state.log)}: {error}"
        state = having(state, problems=(*state.problems, note))
        return _kept(state, seq, event, state.meant(event.who), _stays(state))


def _happen(state: State, seq: int, event: Event) -> State:
    if event.event in RUNNER_EVENTS:
        return _runner(state, seq, event)
    if event.event == "intentional walk":
        return _intentional_walk(state, seq, event)
    change = _CHANGES.get(event.event)
    if change is None:
        raise IllegalEntry(f"'{event.event}' is not an event of a game.")
    who = state.pitcher if event.event == "throws" else state.meant(event.who)
    return change(_kept(state, seq, event, who, _stays(state)), event)


def _stays(state: State) -> Played:
    return _STAYS._replace(bases=state.bases, outs=state.outs)


def _kept(state: State, seq: int, event: Event, who: str, played: Played) -> State:
    happened = Happened(
        seq=seq,
        event=event,
        who=who,
        after_n=len(state.log),
        before=moment(state),
        outs=played.outs,
        bases=played.bases,
        scored=played.scored,
        out=played.out,
        left=played.left,
    )
    return having(state, happened=(*state.happened, happened))


# runners


def _runner(state: State, seq: int, event: Event) -> State:
    base = event.base_from or _base_of(state, event)
    played = move_runner(state.bases, state.outs, event.event, base, event.base_to)
    state = _kept(state, seq, event, state.bases[int(base) - 1], played)
    return settle(moved(state, played))


def _base_of(state: State, event: Event) -> str:
    """Return the base of the runner an event names, or of the only runner there is."""
    who = state.meant(event.who)
    found = [str(i) for i, on in enumerate(state.bases, 1) if on and who in ("", on)]
    if len(found) == 1:
        return found[0]
    if not found:
        name = state.label(who) if who else "anybody"
        raise IllegalEntry(f"A {event.event} needs a runner, and {name} is not on base.")
    raise IllegalEntry(f"Say which runner the {event.event} is about, such as 1-2.")


def _intentional_walk(state: State, seq: int, event: Event) -> State:
    state = ready(state)
    hitter = state.up.person if state.up else ""
    moves = usual_moves("intentional walk", state.bases, state.outs)
    played = play_out(state.bases, state.outs, moves, hitter)
    state = moved(_kept(state, seq, event, hitter, played), played)
    return settle(finish_at_bat(state))


# who is up


def _line_up(state: State, event: Event) -> State:
    side = _side(state, event)
    slot = event.slot or len(state.orders[side].slots if side in state.orders else ()) + 1
    if not 1 <= slot <= 30:
        raise IllegalEntry(f"A line-up has no slot {slot}.")
    person = state.meant(event.who)
    order = state.orders.get(side, _NO_ORDER).given(slot, person)
    state = with_order(state, side, order)
    if event.bats:
        state = having(state, sides={**state.sides, person: event.bats})
    return next_up(state) if side == state.hitting and state.pitch_no == 1 else state


def _side(state: State, event: Event) -> Side:
    """Return the side an event is about: as said, as the person's team tells, or the hitters'."""
    if event.side:
        return event.side
    known = state.people.get(event.who)
    game = state.game
    if known and game.us != game.them and known.team in (game.us, game.them):
        return "us" if known.team == game.us else "them"
    return state.pitching if event.event in ("pitcher", "catcher") else state.hitting


def _at(state: State, event: Event) -> State:
    person = state.meant(event.who)
    if person in state.bases and not event.imported:
        base = ("first", "second", "third")[state.bases.index(person)]
        raise IllegalEntry(
            f"{state.label(person)} is on {base} and cannot be up: name another hitter, or put the "
            "runners right first."
        )
    if event.at_bat is not None and event.at_bat != state.at_bat:
        state = having(fresh_at_bat(state), at_bat=event.at_bat)
    state = _remembered(state, person, event)
    state = with_order(state, state.hitting, state.order.with_again(person))
    up = state.up
    if state.pitch_no == 1 or up is None:
        return up_now(state, person, event.bats)
    if person == up.person:
        return _other_side(state, event)
    if up.person == state.meant(unnamed_hitter(state.game.id, state.hitting, up.slot)):
        return _identified(state, person, event)
    if event.at_bat is None:
        raise IllegalEntry(
            f"{state.label(up.person)} is up with the count {state.count}: say `sub IN for OUT`, "
            "or `correct` the pitches when another was up all along."
        )
    state = with_order(state, state.hitting, state.order.replaced(up.person, person))
    return up_now(state, person, event.bats)


def _absent(state: State, event: Event) -> State:
    """Take a hitter of the order for absent; his turn, if it has come, is over at once."""
    person = state.meant(event.who)
    side = _side(state, event)
    order = state.orders.get(side, _NO_ORDER)
    if person not in order.slots:
        raise IllegalEntry(f"{state.label(person)} is not in the order, so his turn never comes.")
    if person in state.bases:
        raise IllegalEntry(f"{state.label(person)} is on base: say `sub IN for OUT` first.")
    state = with_order(state, side, order.without(person))
    if side != state.hitting or state.up is None or state.up.person != person:
        return state
    state = with_order(state, side, state.order.taking(person))
    return settle(next_up(fresh_at_bat(state)))


def _remembered(state: State, person: str, event: Event) -> State:
    known = state.people.get(person)
    if not event.bats or (known is not None and known.bats):
        return state
    return having(state, sides={**state.sides, person: event.bats})


def _other_side(state: State, event: Event) -> State:
    """Take a hitter's side said in mid at-bat: he turned round, or it was not known before."""
    up = state.up
    if up is None or not event.bats:
        return state
    return (
        _renamed(state, up, up.person, event)
        if up.assumed
        else up_now(state, up.person, event.bats)
    )


def _identified(state: State, person: str, event: Event) -> State:
    """Give an unnamed hitter his name, for the whole at-bat."""
    up = state.up
    assert up is not None
    state = _renamed(state, up, person, event)
    return with_order(state, state.hitting, state.order.renamed(up.person, person))


def _renamed(state: State, up: Up, person: str, event: Event) -> State:
    now = up_now(state, person, event.bats).up
    assert now is not None
    log = tuple(
        logged._replace(
            before=logged.before._replace(hitter=person, bats=now.bats, bats_assumed=now.assumed)
        )
        if logged.before.at_bat == state.at_bat and logged.before.hitter == up.person
        else logged
        for logged in state.log
    )
    return having(state, up=now, log=log)


# the rest


def _pitcher(state: State, event: Event) -> State:
    side, person = _side(state, event), state.meant(event.who)
    state = having(state, pitchers={**state.pitchers, side: person})
    if side == state.pitching:
        state = having(state, shown="")
    up = state.up
    if side == state.pitching and up is not None and not up.said:
        return up_now(state, up.person)
    return state


def _throws(state: State, event: Event) -> State:
    """Take the hand a pitcher shows for the at-bat.

    He keeps it until the at-bat ends, but for an injury; then the other hand is out of the game
    (Official Baseball Rules 5.07(f)).
    """
    hand, hurt = event.throws, event.reason.casefold() == "injury"
    if not hand:
        raise IllegalEntry("Say the hand he throws with, R or L: throws L.")
    if not state.pitcher:
        raise IllegalEntry("Say first who pitches: pitcher NAME.")
    held = state.one_handed.get(state.pitcher, hand)
    if held != hand:
        raise IllegalEntry(f"{state.label(state.pitcher)} hurt that hand and may not use it again.")
    if hurt:
        state = having(state, one_handed={**state.one_handed, state.pitcher: hand})
    elif state.shown not in ("", hand) and state.pitch_no > 1 and not event.imported:
        showed = "right" if state.shown == "R" else "left"
        raise IllegalEntry(
            f"{state.label(state.pitcher)} showed his {showed} hand and keeps it until the at-bat "
            f"is over; if he is hurt say: throws {hand} injury."
        )
    corrects = not state.shown and not hurt
    state = having(state, shown=hand)
    up = state.up
    if up is not None and not up.said:
        state = _renamed(state, up, up.person, event) if up.assumed else up_now(state, up.person)
    return _thrown_so(state, hand) if corrects else state


def _thrown_so(state: State, hand: Hand) -> State:
    """Return the state with what he threw to who is up thrown with this hand."""
    who = state.up.person if state.up else ""

    def now(logged: Logged) -> Logged:
        was = logged.before
        his = (was.at_bat, was.pitcher, was.hitter) == (state.at_bat, state.pitcher, who)
        return logged._replace(before=was._replace(throws=hand)) if his else logged

    return having(state, log=tuple(map(now, state.log))) if state.pitch_no > 1 else state


def _catcher(state: State, event: Event) -> State:
    side = _side(state, event)
    return having(state, catchers={**state.catchers, side: state.meant(event.who)})


def _count(state: State, event: Event) -> State:
    count = Count(
        state.count.balls if event.balls is None else event.balls,
        state.count.strikes if event.strikes is None else event.strikes,
    )
    if not count.legal:
        raise IllegalEntry(f"There is no count {count}: balls go to 3 and strikes to 2.")
    return having(state, count=count)


def _score(state: State, event: Event) -> State:
    us = state.score_us if event.score_us is None else event.score_us
    them = state.score_them if event.score_them is None else event.score_them
    if us < 0 or them < 0:
        raise IllegalEntry(f"There is no score {us} to {them}.")
    return having(state, score_us=us, score_them=them)


def _pitch_count(state: State, event: Event) -> State:
    if event.pitches is None or not 0 <= event.pitches <= MOST_PITCHES:
        raise IllegalEntry(f"A pitch count is a number from 0 to {MOST_PITCHES}: pitches 47.")
    return state


def _there(state: State, event: Event) -> State:
    if event.reason not in TYPES:
        raise IllegalEntry(f"'{event.reason}' is not a pitch: use {', '.join(TYPES)}.")
    if event.event == "not there" and TYPES[event.reason] == "fast":
        raise IllegalEntry(f"The {event.reason} is never left out: a fastball is always there.")
    return state


def _half_ended(state: State, _event: Event) -> State:
    return settle(next_half(state))


def _noted(state: State, _event: Event) -> State:
    return state


_CHANGES: Final = MappingProxyType[str, Callable[[State, Event], State]](
    {
        "line-up": _line_up,
        "at": _at,
        "absent": _absent,
        "substitution": substitute,
        "pitcher": _pitcher,
        "throws": _throws,
        "catcher": _catcher,
        "visit": _noted,
        "count": _count,
        "score": _score,
        "pitch count": _pitch_count,
        "not there": _there,
        "there": _there,
        "half ended": _half_ended,
        "note": _noted,
    }
)
