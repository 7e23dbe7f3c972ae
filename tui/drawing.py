"""From the state of a game to what the dugout shows: pure, no book."""

from collections.abc import Mapping
from typing import Any, Final

from sequencer.baseball.levels import LEVELS, level
from sequencer.baseball.pitch_limits import DECIDES, PitchLimits, RestRow, limits, warnings
from sequencer.baseball.zone import Zone, centre_of
from sequencer.errors import BadInput
from sequencer.records.people import Person
from sequencer.records.said_tonight import official_count, two_handed
from sequencer.records.sentences import event_sentence, sentence
from sequencer.records.state import Happened, Logged, State
from tui.picture_views import Spot, ZoneView
from tui.views import DugoutView

#: Entries that an arrow can reach: more than any game but the longest (400 take 2 ms, measured).
_ENTRIES: Final = 400
_DUE: Final = 3
_BASES: Final = ("1st", "2nd", "3rd")


def dugout_view(
    state: State, stamp: int, signs: Mapping[str, str], shown: tuple[str, ...] = ()
) -> DugoutView:
    """Return what the dugout shows of a game.

    Parameters
    ----------
    state : State
    stamp : int
        The game's last row: changes with every entry.
    signs : mapping of digit to pitch type
        The pitcher's signs.
    shown : tuple of str
        The digits worth showing.
    """
    up = state.people.get(state.up.person) if state.up else None
    lines = entry_lines(state)
    bats = state.up.bats if state.up and not state.up.assumed else ""
    return DugoutView(
        game_id=state.game.id,
        stamp=stamp,
        us=state.game.us,
        them=state.game.them,
        score_us=state.score_us,
        score_them=state.score_them,
        inning=state.inning,
        half=state.half,
        we_pitch=state.pitching == "us",
        outs=state.outs,
        bases=_runners(state),
        balls=state.count.balls,
        strikes=state.count.strikes,
        pitcher_id=state.pitcher,
        pitcher=name_of(state, state.pitcher) if state.pitcher else "",
        throws=state.throws if two_handed(state) else "",
        catcher_id=state.catcher,
        up_number=up.number if up and not up.number.startswith("?") else "",
        up_name=_up_name(state, up),
        bats=bats,
        due=_due(state),
        pitch_count=pitch_count_words(state),
        caution=caution(state),
        zone=zone_view(state, bats),
        entries=tuple(words for _, words in lines),
        marks=tuple(mark for mark, _ in lines),
        runners=runner_words(state),
        signs=signs,
        signs_shown="  ".join(f"{digit} {signs[digit]}" for digit in shown),
        advising=_advising(state),
        over=f"The game may be over: {state.over_reason}." if state.over_reason else "",
        problems=state.problems,
    )


def _advising(state: State) -> Any:
    return state.rules.electronic_advice


def name_of(state: State, person: str) -> str:
    """Return what to call a person; a stand-in for a hitter nobody named is told by his turn."""
    known = state.people.get(person)
    if known is None or known.name or not known.number.startswith("?"):
        return state.label(person)
    return "our pitcher" if known.number == "?P" else f"hitter {known.number[1:]}"


def _up_name(state: State, up: Person | None) -> str:
    if up is None or up.name or up.number.startswith("?"):
        return name_of(state, up.id) if up else ""
    return f"number {up.number}"


def _runners(state: State) -> tuple[str, str, str]:
    first, second, third = (name_of(state, person) if person else "" for person in state.bases)
    return first, second, third


def _due(state: State) -> tuple[str, ...]:
    """Say who hits next, the one at the plate left out."""
    if state.up is None:
        coming = state.order.coming(_DUE)
    else:
        coming = state.order.taking(state.up.person).coming(_DUE + 1)[1:]
    return tuple(_short(state, person) for person in coming)


def _short(state: State, person: str) -> str:
    known = state.people.get(person)
    if known is None:
        return "not known yet"
    number = f"#{known.number} " if known.number and known.name else ""
    side = f" ({known.bats})" if known.bats else ""
    return f"{number}{name_of(state, person)}{side}"


# pitch counts


def pitch_count_words(state: State) -> str:
    """Say the official pitch count of the pitcher against the day's limit.

    Where someone said what the official book has, that is the count and ours stands beside it.
    """
    pitches = _counted(state)
    row, _ = _rest_row(state)
    most = state.rules.day_limit or (row.maximum if row else None)
    against = ", no limit in these rules" if most is None else f" of {most}"
    ours = state.pitch_counts.get(state.pitcher, 0)
    beside = "" if official_count(state, state.pitcher) is None else f" (ours {ours})"
    return f"Pitches: {pitches}{against}{beside}"


def _counted(state: State) -> int:
    official = official_count(state, state.pitcher)
    return state.pitch_counts.get(state.pitcher, 0) if official is None else official


def caution(state: State) -> str:
    """Say what is near, and who decides."""
    row, table = _rest_row(state)
    if row is None or table is None:
        return DECIDES
    said = warnings(_counted(state), row, finish_batter=table.finish_batter)
    return " ".join(said) or DECIDES


def _rest_row(state: State) -> tuple[RestRow | None, PitchLimits | None]:
    """Return the row of the rule set's table for the game's level, None when there is none."""
    if not state.rules.pitch_limit:
        return None, None
    try:
        table = limits(state.rules.pitch_limit)
        return table.row(_youngest(state.game.level)), table
    except BadInput:
        return None, None


def _youngest(name: str) -> int:
    """Return the youngest age of a level; college and pro take the oldest rows."""
    first = name.partition("-")[0]
    return int(first) if first.isdigit() else 19


# the zone


def zone_of_level(name: str) -> Zone:
    """Return the zone of a level, the default level's when it is not known."""
    return level(name if name in LEVELS else "").zone


def zone_view(state: State, bats: str) -> ZoneView:
    """Draw this at-bat's pitches by number, or the last one's until a pitch is thrown.

    The side is of who is up now; before it is known who that is, it is of the last hitter.
    """
    zone = zone_of_level(state.game.level)
    pitches = _of_last_at_bat(state)
    spots = tuple(
        spot
        for logged in pitches
        if (spot := _spot(logged, zone, strong=logged is pitches[-1])) is not None
    )
    if state.up is None and pitches and not pitches[-1].before.bats_assumed:
        bats = pitches[-1].before.bats
    return ZoneView(zone.top_in, zone.bottom_in, bats, spots)


def _of_last_at_bat(state: State) -> list[Logged]:
    if not state.log:
        return []
    last = state.log[-1].before.at_bat
    found = []
    for logged in reversed(state.log):
        if logged.before.at_bat != last:
            break
        found.append(logged)
    return found[::-1]


def _spot(logged: Logged, zone: Zone, *, strong: bool) -> Spot | None:
    at = place_of(logged.pitch.side_in, logged.pitch.height_in, logged.pitch.cell, zone)
    if at is None:
        return None
    return Spot(*at, text=str(logged.before.pitch_no % 10), strong=strong)


def place_of(
    side_in: float | None, height_in: float | None, cell: str, zone: Zone
) -> tuple[float, float] | None:
    """Return where a pitch crossed in inches, from what was said of it; None when nothing was."""
    if side_in is not None and height_in is not None:
        return side_in, height_in
    if not cell or cell == "unknown":
        return None
    side, height = centre_of(cell, zone)
    return side, height


# the log


def entry_lines(state: State) -> tuple[tuple[tuple[int, str], str], ...]:
    """Say the last entries, oldest first, each with what marks it and the hitter's side.

    A pitch is marked by its number, an event by its row as a negative one.
    """
    told = [item for item in state.happened if item.event.event != "line-up"]
    events = [
        ((item.after_n, 1), (-item.seq, ""), _event_line(state, item)) for item in told[-_ENTRIES:]
    ]
    pitches = [
        ((item.n, 0), (item.n, item.before.bats), _pitch_line(state, item))
        for item in state.log[-_ENTRIES:]
    ]
    lines = sorted((*pitches, *events), key=lambda line: line[0])
    return tuple((mark, words) for _, mark, words in lines[-_ENTRIES:])


def runner_words(state: State) -> str:
    """Say where the last play took everyone, "" when it moved nobody or more came since."""
    if not state.log:
        return ""
    last = state.log[-1]
    more = state.happened and state.happened[-1].after_n == last.n
    runners = [*last.before.bases, last.before.hitter]
    if more or not last.after.end or not any(last.before.bases) or last.after.outs > 2:
        return ""
    went = [_went(state, last, place, who) for place, who in enumerate(runners, 1) if who]
    return ", ".join(filter(None, went))


def _went(state: State, last: Logged, place: int, who: str) -> str:
    name = name_of(state, who)
    if who in last.after.scored:
        return f"{name} scores"
    if who in last.after.bases:
        base = last.after.bases.index(who) + 1
        return f"{name} {'stays on' if base == place else 'to'} {_BASES[base - 1]}"
    return f"{name} out" if place <= len(_BASES) else ""


def _pitch_line(state: State, logged: Logged) -> str:
    before = logged.before
    who = f"{name_of(state, before.hitter)}: " if before.pitch_no == 1 else ""
    pitch = sentence(logged.pitch, before.bats)
    said = f"{logged.n:>3} {before.balls}-{before.strikes} {who}{pitch}"
    ends = logged.after.end
    ends = "" if ends in ("in play", logged.pitch.result) else ends
    return said + _and(ends) + _and(_came_of_it(logged))


def _and(words: str) -> str:
    return f" - {words}" if words else ""


def _came_of_it(logged: Logged) -> str:
    outs = logged.after.outs - logged.before.outs
    runs = logged.after.runs
    parts = []
    if runs:
        parts.append("1 run" if runs == 1 else f"{runs} runs")
    if outs > 0:
        parts.append(f"{logged.after.outs} out")
    return ", ".join(parts)


def _event_line(state: State, item: Happened) -> str:
    event = item.event
    runner = event.model_copy(update={"who": item.who}) if item.who else event
    return f"    {event_sentence(runner, lambda person: name_of(state, person))}"
