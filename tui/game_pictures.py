"""What the pictures over the dugout are asked for: this at-bat by number, then all of tonight's."""

from sequencer.records.state import Logged, State
from tui.drawing import name_of, zone_of_level, zone_view
from tui.picture_views import PicturesAsked, Seen
from tui.shares import asked_cell, cell_in_view, many


def asked_of(state: State) -> PicturesAsked:
    """Return what is asked for of a game: the pitches of whoever pitches, in order.

    The last at-bat is drawn by number. Against hitters of both sides places are the catcher's.
    """
    pitcher = state.pitcher if state.pitching == "us" else ""
    own = [one for one in state.log if not pitcher or one.before.pitcher == pitcher]
    last = own[-1].before.at_bat if own else 0
    latest = [one for one in own if one.before.at_bat == last]
    zone = zone_of_level(state.game.level)
    bats = latest[-1].before.bats if latest else ""
    who = f"{name_of(state, pitcher)} tonight" if pitcher else "Tonight"
    return PicturesAsked(
        f"{who}: {many(len(own), 'pitch')}",
        "thrown",
        tuple(_seen(state, one) for one in own),
        zone.top_in,
        zone.bottom_in,
        bats if len({one.before.bats for one in own}) == 1 else "",
        zone_view(state, bats) if latest else None,
        f"to {name_of(state, latest[-1].before.hitter)}" if latest else "",
        len(latest),
    )


def _seen(state: State, logged: Logged) -> Seen:
    pitch, before = logged.pitch, logged.before
    row = {
        "side_in": pitch.side_in,
        "height_in": pitch.height_in,
        "cell": pitch.cell,
        "bats": before.bats,
    }
    line = (
        f"{logged.n} {before.balls}-{before.strikes} {pitch.pitch}, {pitch.play or pitch.result}; "
        f"{name_of(state, before.hitter)}"
    )
    zone = zone_of_level(state.game.level)
    return Seen(
        cell_in_view(row, zone),
        pitch.pitch or "",
        pitch.side_in,
        pitch.height_in,
        pitch.result,
        pitch.contact,
        line,
        asked_cell(pitch.target, before.bats, zone),
    )
