"""A hitter's at-bats against us, pitch by pitch, a line each, and where he hit the ball."""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any, Final

from sequencer.records.next_three import in_brief
from tui.picture_views import SIDES
from tui.spray import by_side, table

if TYPE_CHECKING:
    import pandas as pd

Row = dict[str, Any]
_SPRAYS: Final = ("pull", "middle", "opposite", "foul ground")
_CONTACTS: Final = ("square", "fair", "weak")


def history(rows: Sequence[Row], who: str) -> str:
    """Return a page: his at-bats, the newest first, then what became of what he hit.

    Parameters
    ----------
    rows : sequence of dict
        The pitches he saw, columns of the pitch log, in order.
    who : str
    """
    if not rows:
        return f"{who}: no pitch of his is in the book yet."
    at_bats = [list(one) for _, one in groupby(rows, key=lambda r: (r["game_id"], r["at_bat"]))]
    many = f"{len(at_bats)} at-bat{'s' * (len(at_bats) != 1)}"
    head = f"{who}: {many}, {len(rows)} pitches; the newest first"
    lines = [f"  {at_bat_line(one)}" for one in reversed(at_bats)]
    hit = [f"  {line}" for line in (*hit_lines(rows), *_fields(rows))]
    return "\n".join((head, *lines, *(("", "What he hit") if hit else ()), *hit))


def _fields(rows: Sequence[Row]) -> Iterator[str]:
    """Yield where he hit it, from each side that he hit from."""
    fields = by_side(rows)
    for field in fields:
        lines = table(field)
        if lines and len(fields) > 1:
            yield f"from the {SIDES[field.bats]}"
        yield from lines


def at_bat_line(rows: Sequence[Row]) -> str:
    """Say an at-bat: day, inning, pitcher, each pitch, how it ended."""
    first, last = rows[0], rows[-1]
    day = first["date"].strftime("%m-%d ") if first["date"] is not None else ""
    inning = f"{int(first['inning'])}: " if first["inning"] is not None else ""
    end = last["play"] or _ended(last)
    to = f" {last['spray']}" if last["spray"] else ""
    how = f", {last['contact']}" if last["contact"] else ""
    return f"{day}{inning}{', '.join(map(_pitch, rows))} = {end}{to}{how} ({first['pitcher']})"


def _pitch(row: Row) -> str:
    return in_brief(row["pitch"], row["cell"], row["result"])


def _ended(last: Row) -> str:
    balls = (last["balls"] or 0) + (last["result"] in ("ball", "automatic ball"))
    strikes = (last["strikes"] or 0) + (
        last["result"] in ("called strike", "swinging strike", "foul tip", "automatic strike")
    )
    if last["result"] == "hit by pitch":
        return "hit by pitch"
    return "walk" if balls >= 4 else "strikeout" if strikes >= 3 else "not ended by a pitch"


def hit_lines(rows: Sequence[Row]) -> tuple[str, ...]:
    """Say where balls in play went and how hard, each with how many that rests on."""
    played = [row for row in rows if row["result"] == "in play"]
    lines = []
    for words, column, kinds in (("went", "spray", _SPRAYS), ("contact", "contact", _CONTACTS)):
        counts = Counter(row[column] for row in played if row[column])
        if counts:
            said = ", ".join(f"{counts[kind]} {kind}" for kind in kinds if counts[kind])
            lines.append(f"{words}: {said} (of {len(played)} in play, {sum(counts.values())} told)")
    return tuple(lines)


def rows_of(frame: "pd.DataFrame", person_id: str) -> list[Row]:
    """Return the pitches a hitter saw in order, plain values, what is missing None or empty."""
    seen = frame[frame["hitter_id"] == person_id]
    order = [name for name in ("date", "game_no", "game_id", "at_bat", "pitch_no") if name in seen]
    return [
        {str(name): None if value != value else value for name, value in row.items()}
        for row in seen.sort_values(order, kind="stable").to_dict("records")
    ]
