"""Who comes up, the end of an at-bat, the end of a half and of the game."""

from dataclasses import replace
from typing import Literal

from sequencer.baseball.count import Count
from sequencer.baseball.rules import game_over, half_over, placed_runner
from sequencer.baseball.situation import EMPTY, Played
from sequencer.records.event import Side
from sequencer.records.line_up import Order
from sequencer.records.state import (
    ByRule,
    Half,
    State,
    Up,
    having,
    other,
    unnamed_hitter,
    unnamed_pitcher,
)


def start_count(state: State) -> Count:
    """Return the count an at-bat begins with under the game's rules."""
    return state.rules.start_count


def with_order(state: State, side: Side, order: Order) -> State:
    """Return the state with one side's order."""
    return having(state, orders={**state.orders, side: order})


def side_of(state: State, person: str, said: str = "") -> tuple[Literal["R", "L"], bool]:
    """Return the side a hitter bats from, and whether that is only assumed.

    A switch hitter stands opposite the pitcher's hand. Unknown sides and hands count as right.
    """
    if said:
        return ("L" if said == "L" else "R"), False
    if person in state.sides:
        return state.sides[person], False
    known = state.people.get(person)
    if known is None or known.bats == "":
        return "R", True
    if known.bats != "S":
        return ("L" if known.bats == "L" else "R"), False
    throws = state.hand
    return ("R" if throws == "L" else "L"), throws == ""


def up_now(state: State, person: str, said: str = "") -> State:
    """Return the state with a person at the plate."""
    bats, assumed = side_of(state, person, said)
    up = Up(person, bats, state.order.slot_of(person), said=bool(said), assumed=assumed)
    return having(state, up=up)


def next_up(state: State) -> State:
    """Return the state with the one whose turn it is at the plate, or nobody known.

    The turn of one who is absent passes; under the rules it may be an out.
    """
    for _ in state.order.slots:
        if state.outs >= 3 or state.order.next_up not in state.order.absent:
            break
        if state.rules.absent_hitter_is_out:
            state = having(
                by_rule(state, "automatic out", state.order.next_up), outs=state.outs + 1
            )
        state = with_order(state, state.hitting, state.order.after_turn())
    due = state.order.next_up
    return up_now(state, due) if due else having(state, up=None)


def by_rule(state: State, what: Literal["placed runner", "automatic out"], who: str) -> State:
    """Return the state with what the rules did kept in it."""
    done = ByRule(what, who, state.inning, state.half, state.hitting, state.pitcher)
    return having(state, by_rule=(*state.by_rule, done))


def ready(state: State) -> State:
    """Return the state with a pitcher and a hitter, unnamed ones where nobody is known."""
    if not state.pitcher:
        unnamed = state.meant(unnamed_pitcher(state.game.id, state.pitching))
        state = having(state, pitchers={**state.pitchers, state.pitching: unnamed})
    if state.up is None:
        unnamed = unnamed_hitter(state.game.id, state.hitting, state.order.due + 1)
        state = up_now(state, state.meant(unnamed))
    up = state.up
    if up is None or state.order.next_up == up.person:
        return state
    state = with_order(state, state.hitting, state.order.taking(up.person))
    return having(state, up=replace(up, slot=state.order.due + 1))


def fresh_at_bat(state: State) -> State:
    """Return the state at the start of an at-bat of whoever is up; it has a new number.

    An at-bat in which nothing was thrown yet keeps its number.
    """
    number = state.at_bat + (state.pitch_no > 1)
    return having(state, count=start_count(state), at_bat=number, pitch_no=1, shown="")


def finish_at_bat(state: State) -> State:
    """Return the state after the hitter's turn: the next one is up."""
    state = with_order(state, state.hitting, state.order.after_turn())
    fresh = start_count(state)
    state = having(state, count=fresh, at_bat=state.at_bat + 1, pitch_no=1, shown="")
    return next_up(state)


def moved(state: State, played: Played) -> State:
    """Return the state with runners, outs and score as a play left them."""
    if not played.runs and played.outs == state.outs and played.bases == state.bases:
        return state
    us = played.runs if state.hitting == "us" else 0
    return having(
        state,
        bases=played.bases,
        outs=played.outs,
        score_us=state.score_us + us,
        score_them=state.score_them + played.runs - us,
        half_runs=state.half_runs + played.runs,
    )


def next_half(state: State) -> State:
    """Return the state at the start of the next half that is logged.

    With only our pitching logged that is our next one. An at-bat broken off by the third out on
    the bases begins anew.
    """
    inning, half, pitching = _following(state)
    if state.up is not None:
        state = with_order(state, state.hitting, state.order.taking(state.up.person))
    state = fresh_at_bat(state)
    state = having(
        state, inning=inning, half=half, pitching=pitching, outs=0, bases=EMPTY, half_runs=0
    )
    return next_up(opened(state))


def _following(state: State) -> tuple[int, Half, Side]:
    if not state.game.both_halves:
        return state.inning + 1, state.half, state.pitching
    if state.half == "top":
        return state.inning, "bottom", other(state.pitching)
    return state.inning + 1, "top", other(state.pitching)


def opened(state: State) -> State:
    """Return the state at the start of a half: from some inning the rules place a runner."""
    if not placed_runner(state.rules, state.inning):
        return state
    runner = state.order.before_due() or "1"
    return having(by_rule(state, "placed runner", runner), bases=("", runner, ""))


def settle(state: State) -> State:
    """Return the state in the next half when this one is over.

    Three absent in a row can end a half nobody was up in; an order with nobody there ends none.
    """
    while half_over(state.rules, state.outs, state.half_runs):
        state = next_half(state)
        if set(state.order.slots) <= state.order.absent:
            return having(state, outs=0)
    return state


def over_reason(state: State) -> str:
    """Say why the rule set has the game over, "" while it goes on. Nothing is ever refused."""
    why = _before_this_half(state) or _over(state, state.inning, state.half, done=False)
    if why == "innings":
        return f"{state.rules.innings} innings are played and the score is not level"
    if why == "run rule":
        return "the lead is big enough for the run rule"
    return ""


def _before_this_half(state: State) -> str:
    """Why the game was over when this half began."""
    if state.half == "bottom":
        return _over(state, state.inning, "top", done=True)
    return _over(state, state.inning - 1, "bottom", done=True) if state.inning > 1 else ""


def _over(state: State, inning: int, half: Half, *, done: bool) -> str:
    since = state.half_runs if done else 0
    us = state.score_us - (since if state.hitting == "us" else 0)
    them = state.score_them - (since if state.hitting == "them" else 0)
    away, home = (them, us) if state.game.home == "us" else (us, them)
    return game_over(state.rules, inning, half, away, home, half_done=done)
