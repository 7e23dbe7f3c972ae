"""A bullpen in words and on the zone, and what an arm has thrown beside the published limits."""

import datetime as dt
from collections.abc import Iterator, Sequence
from typing import Final

from sequencer.baseball.levels import DEFAULT_LEVEL
from sequencer.baseball.pitch_limits import PitchLimits, RestRow, limits, may_pitch
from sequencer.baseball.rules import DEFAULT_RULES, rule_set
from sequencer.baseball.zone import centre_of
from sequencer.errors import BadInput
from sequencer.records.bullpen import Bullpen, Throw
from sequencer.records.sentences import place_words
from tui.drawing import place_of, zone_of_level
from tui.picture_views import Spot, ZoneView
from tui.set_list import Step, steps_of
from tui.views import Choice

#: Days of games shown beside tonight's throws: longer than any published rest (assumption).
DAYS_BACK: Final = 7
CAUTION: Final = "Your league's rules and licensed care come first; a sore arm stops."


def arm_lines(outings: Sequence[tuple[dt.date, int]], level: str, rules: str) -> Iterator[str]:
    """Yield a pitcher's game pitches of the last days beside the published limit of his level.

    Parameters
    ----------
    outings : sequence of (day, pitches)
    level, rules : str
        Of his team, "" where the book does not say.
    """
    row, table = _row_of(level, rules)
    said = "; ".join(f"{pitches} on {day:%m-%d}" for day, pitches in outings)
    most = f" The limit is {row.maximum} a day ({table.name})." if row and table else ""
    yield (
        f"Game pitches of the last {DAYS_BACK} days: {said or 'none in the book'}.{most}"
        " Throws here come on top."
    )
    if row and table and (why := may_pitch(dt.date.today(), outings, row, table)):
        yield f"Not to pitch in a game today: {why}"


def _row_of(level: str, rules: str) -> tuple[RestRow | None, PitchLimits | None]:
    """Return the row of the published limits of a level, None where the rules have no table."""
    table = rule_set(rules or DEFAULT_RULES).pitch_limit
    first = (level or DEFAULT_LEVEL).partition("-")[0]
    try:
        found = limits(table)
        # College and up take the oldest row.
        return found.row(int(first) if first.isdigit() else 19), found
    except BadInput:
        return None, None


def throw_line(throw: Throw) -> str:
    """Say a throw: its set and place in it, what was asked for, where it went, what it was."""
    bats = throw.hitter_side
    where = place_words(throw.cell, bats) or "place not seen"
    asked = place_words(throw.target, bats)
    strike = {True: "strike", False: "ball", None: ""}[throw.strike]
    parts = [
        f"{throw.set_no}-{throw.throw_no} {throw.pitch}",
        f"asked {asked}" if asked else "",
        where,
        strike,
        f"called {throw.called}" if throw.called not in ("", throw.pitch) else "",
        ", ".join(throw.tells),
    ]
    return "; ".join(filter(None, parts))


def step_line(steps: tuple[Step, ...], i: int, now: int) -> str:
    """Say a step of the set list by its sets; the one that is `now` is marked."""
    before = sum(step.sets for step in steps[:i])
    step = steps[i]
    sets = f"{before + 1}" if step.sets == 1 else f"{before + 1}-{before + step.sets}"
    throws = ", ".join(f"{pitch} {target}" for pitch, target in step.throws)
    mark = ">" if i == now else " "
    return f"{mark} set {sets}: {throws or step.says}"


def tonight(throws: tuple[Throw, ...]) -> str:
    """Say how many throws there are, how many of those seen were strikes, and of the last set."""
    many = f"{len(throws)} throw{'' if len(throws) == 1 else 's'} in this bullpen"
    known = [throw for throw in throws if throw.strike is not None]
    if not known:
        return f"{many}."
    last = known[-1].set_no
    own = [throw for throw in known if throw.set_no == last]
    of_set = f", set {last} {_strikes(own)}" if len(own) < len(known) else ""
    return f"{many}; strikes: {_strikes(known)} seen{of_set}."


def _strikes(throws: Sequence[Throw]) -> str:
    return f"{sum(bool(throw.strike) for throw in throws)} of {len(throws)}"


def day_of(pen: Bullpen) -> Choice:
    """Return a bullpen as a line of the list by date."""
    if not pen.throws:
        return Choice(pen.id, f"next: {len(steps_of(pen.note))} lines on the set list")
    strikes = sum(throw.strike is True for throw in pen.throws)
    many = f"{len(pen.throws)} throws, {strikes} strikes"
    return Choice(pen.id, f"{pen.date}  {many}{'  before a game' if pen.game else ''}")


def zone_of_set(throws: tuple[Throw, ...], target: str, bats: str, level: str) -> ZoneView:
    """Draw the throws of the last set by their number, and a cross where the next is asked for."""
    zone = zone_of_level(level)
    spots = [Spot(*centre_of(target, zone), "+")] if target else []
    latest = [throw for throw in throws if throw.set_no == throws[-1].set_no]
    for throw in latest:
        at = place_of(throw.side_in, throw.height_in, throw.cell, zone)
        if at is not None:
            spots.append(Spot(*at, str(throw.throw_no % 10), throw is latest[-1]))
    return ZoneView(zone.top_in, zone.bottom_in, bats, tuple(spots))
