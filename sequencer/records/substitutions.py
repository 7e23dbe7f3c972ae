"""One player for another: in the order, on base, at the plate, on the mound, behind the plate."""

from sequencer.errors import IllegalEntry
from sequencer.records.event import Event, Side
from sequencer.records.halves import up_now, with_order
from sequencer.records.line_up import Order
from sequencer.records.state import State, having


def substitute(state: State, event: Event) -> State:
    """Return the state with IN in everything OUT was: slot, base, at-bat, mound, plate.

    A courtesy runner (`reason` says so) only runs: the order and the mound stay as they are.

    Raises
    ------
    IllegalEntry
        If OUT is not in the game, IN is already, or the rule set does not let IN come back.
    """
    coming, out = state.meant(event.who), state.meant(event.for_whom)
    if not coming or not out or coming == out:
        raise IllegalEntry("A substitution needs two players: say `sub IN for OUT`.")
    side = _side(state, event, out, coming)
    if _is_courtesy(event):
        return _courtesy(state, side, coming, out)
    order = state.orders.get(side, Order())
    _check(state, side, order, coming, out)
    return _swapped(state, side, order, coming, out)


def _side(state: State, event: Event, out: str, coming: str) -> Side:
    if event.side:
        return event.side
    for side, order in state.orders.items():
        if out in order.slots:
            return side
    for by_side in (state.pitchers, state.catchers):
        for side, person in by_side.items():
            if person == out:
                return side
    known = state.people.get(out) or state.people.get(coming)
    if known is not None and known.team == state.game.us != state.game.them:
        return "us"
    return state.hitting if out in state.bases else "them"


def _check(state: State, side: Side, order: Order, coming: str, out: str) -> None:
    in_game = (*order.slots, state.pitchers.get(side), state.catchers.get(side))
    known_order = bool(order.slots) and not order.learning
    if known_order and out not in (*in_game, *state.bases):
        raise IllegalEntry(f"{state.label(out)} is not in the game, so nobody can replace him.")
    if coming in order.slots:
        raise IllegalEntry(
            f"{state.label(coming)} is in the line-up already: he cannot replace "
            f"{state.label(out)} too."
        )
    if coming in order.gone:
        _check_re_entry(state, order, coming, out)


def _check_re_entry(state: State, order: Order, coming: str, out: str) -> None:
    rules = state.rules
    if rules.re_entry == "none":
        raise IllegalEntry(
            f"{state.label(coming)} has left the game, and the {rules.name} rules have no re-entry."
        )
    if rules.re_entry != "starters once":
        return
    if coming not in order.starters or coming in order.back:
        raise IllegalEntry(
            f"{state.label(coming)} cannot come back: under the {rules.name} rules only a starter "
            "may, and once."
        )


def _swapped(state: State, side: Side, order: Order, coming: str, out: str) -> State:
    state = with_order(state, side, order.replaced(out, coming))
    if side == state.hitting:
        state = _on_base(state, coming, out)
    if state.pitchers.get(side) == out:
        state = having(state, pitchers={**state.pitchers, side: coming})
        state = having(state, shown="") if side == state.pitching else state
    if state.catchers.get(side) == out:
        state = having(state, catchers={**state.catchers, side: coming})
    if state.up is not None and state.up.person == out:
        return up_now(having(state, shown=""), coming)
    if side == state.pitching and state.up is not None and not state.up.said:
        return up_now(state, state.up.person)
    return state


def _on_base(state: State, coming: str, out: str) -> State:
    first, second, third = (coming if on == out else on for on in state.bases)
    return having(state, bases=(first, second, third))


def _is_courtesy(event: Event) -> bool:
    return event.reason.casefold().startswith("courtesy")


def _courtesy(state: State, side: Side, coming: str, out: str) -> State:
    rules = state.rules
    if rules.courtesy_runner == "none":
        raise IllegalEntry(f"The {rules.name} rules have no courtesy runner.")
    if out not in state.bases:
        raise IllegalEntry(f"{state.label(out)} is not on base: a courtesy runner needs a runner.")
    battery = (state.pitchers.get(side), state.catchers.get(side))
    if rules.courtesy_runner == "pitcher and catcher" and any(battery) and out not in battery:
        raise IllegalEntry(
            f"Under the {rules.name} rules a courtesy runner is for the pitcher or catcher, "
            f"and {state.label(out)} is neither."
        )
    if coming in state.orders.get(side, Order()).slots and rules.courtesy_runner != "last out":
        raise IllegalEntry(f"{state.label(coming)} is in the line-up: he cannot run for another.")
    return _on_base(state, coming, out)
