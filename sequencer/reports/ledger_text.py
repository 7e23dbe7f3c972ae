"""The ledger as plain text, 80 columns wide: sums with their spread, and the call or the miss."""

from collections.abc import Iterable, Mapping, Sequence
from textwrap import wrap
from typing import Final

from sequencer.records.sentences import place_words
from sequencer.reports.lines import WIDTH
from sequencer.review.ledger import CANNOT_SEE
from sequencer.review.turning_points import HITS, OURS, WORTH_SAYING, TurningPoint

_HEADS: Final = {
    "call": "call",
    "execution": "miss",
    "call_and_execution": "both",
    "umpire": "umpire",
    "outcome": "hitter",
    "unplaced": "unseen",
    "runs": "runs",
}
_COLUMN: Final = 9
_THROWN: Final = 7
_SAYS: Final = {
    "call": "call: what was asked for, against {call}",
    "execution": "miss: where it went, against {miss}",
    "call_and_execution": "both: call and miss as one, where no target was charted",
    "umpire": "umpire: a taken pitch as it was called, against how often pitches there are strikes",
    "outcome": "hitter: what came of it, against what comes of a pitch there",
    "unplaced": "unseen: all the rest of pitches of which it is not known where they went",
}
_BY_LEVEL: Final = {
    "call": "the usual pitch of the level in that count",
    "miss": "the usual miss of the level",
}
_BY_PLAN: Final = {
    "call": "the pitcher's plan (without one, the level's usual pitch)",
    "miss": "his own usual miss; balls that get away are in the price of a call, not in what came",
}
_NAMES: Final = {
    "call": "the call",
    "execution": "the miss",
    "call_and_execution": "the pitch",
    "umpire": "the umpire",
}
#: Turning points shown; the costliest by what was ours or the umpire's come first.
MOST: Final = 20


def ledger_text(entries: Iterable[Mapping[str, object]], *, by_plan: bool = False) -> str:
    """Lay the sums of a ledger out for reading.

    Parameters
    ----------
    entries : iterable of mapping
        As `review.ledger.totals` has them.
    by_plan : bool
        Whether calls are held against plans, where there are any (`Ledger.by_plan`).

    Returns
    -------
    str
        Lines of at most 80 columns; "" without entries.
    """
    kept = list(entries)
    if not kept:
        return ""
    columns = [part for part in _HEADS if any(each[part] is not None for each in kept)]
    lines = ["Where the runs came from", "=" * 24, *_wrapped(_intro())]
    against = _BY_PLAN if by_plan else _BY_LEVEL
    for part in columns:
        if part in _SAYS:
            lines += wrap(
                _SAYS[part].format(**against), WIDTH, initial_indent="  ", subsequent_indent="    "
            )
    lines += _wrapped(CANNOT_SEE)
    for by in dict.fromkeys(str(each["by"]) for each in kept):
        lines += ["", _row(by, "thrown", [_HEADS[part] for part in columns])]
        for each in kept:
            if each["by"] == by:
                cells = [_with_spread(each, part) for part in columns]
                lines.append(_row(str(each["name"]), str(each["pitches"]), cells))
    return "\n".join(lines)


def _intro() -> str:
    return (
        "Runs to the hitters against what they were worth before each pitch; below nought is good "
        "for us. After ± is the standard error of a sum over as many such pitches: smaller "
        "differences may be chance. The parts add up to the runs."
    )


def _row(name: str, thrown: str, cells: Sequence[str]) -> str:
    room = WIDTH - _THROWN - _COLUMN * len(cells)
    said = name if len(name) < room else f"{name[: room - 3]}.."
    return f"{said:<{room}}{thrown:>{_THROWN}}" + "".join(f"{cell:>{_COLUMN}}" for cell in cells)


def _with_spread(entry: Mapping[str, object], part: str) -> str:
    runs, spreads = entry[part], entry["se"]
    if not isinstance(runs, float):
        return "-"
    spread = spreads[part] if isinstance(spreads, Mapping) else None
    said = _short(runs, "+")
    more = f"{said}±{_short(spread)}" if isinstance(spread, float) else said
    return more if len(more) < _COLUMN else said


def _short(runs: float, sign: str = "") -> str:
    """Write runs to a tenth, whole from ten on; a spread without the nought before the point."""
    if abs(runs) >= 9.95:
        return f"{runs:{sign or '-'}.0f}"
    said = f"{runs:{sign or '-'}.1f}".replace("-0.0", "+0.0" if sign else "0.0")
    return said if sign else said.removeprefix("0")


def turning_text(points: Sequence[TurningPoint], *, most: int = MOST) -> str:
    """Say of the at-bats that cost runs whether it was the call or the miss.

    Parameters
    ----------
    points : sequence of TurningPoint
        In the order of play, as `review.turning_points` has them.
    most : int
        How many to tell, those that cost most by what was not the hitter's.

    Returns
    -------
    str
        Lines of at most 80 columns; "" without points.
    """
    if not points:
        return ""
    title = "The call or the miss?"
    shown = sorted(points, key=_ours, reverse=True)[:most]
    kept = [point for point in points if any(point is one for one in shown)]
    lines = [title, "=" * len(title), *_wrapped(_of_runs(points, kept))]
    lines += [line for point in kept for line in turning_lines(point)]
    return "\n".join(lines)


def _of_runs(points: Sequence[TurningPoint], kept: Sequence[TurningPoint]) -> str:
    said = (
        "Hits, walks, hit batters and other at-bats that cost runs; in brackets what a part cost, "
        "in runs. Where no target was charted, call and miss are one: the pitch. Whether a call "
        "was read cannot be seen here."
    )
    left = len(points) - len(kept)
    return said + (f" The {len(kept)} of {len(points)} that cost us most." if left else "")


def _ours(point: TurningPoint) -> float:
    """Return what an at-bat cost by what was not the hitter's."""
    return sum(point.parts[part] or 0.0 for part in OURS)


def turning_lines(point: TurningPoint) -> list[str]:
    """Return an at-bat that cost runs in one sentence, in lines of at most 80 columns."""
    who = f"#{point.hitter_no}" if point.hitter_no else point.hitter or "a hitter"
    if point.event == "walk":
        what = f"{point.pitches} ball{'s' if point.pitches != 1 else ''}"
    else:
        what = ", ".join(filter(None, (_asked(point), place_words(point.cell, ""))))
    said = ": ".join(filter(None, (f"{point.event} by {who}, {point.count}", what, verdict(point))))
    return wrap(said, WIDTH, subsequent_indent="  ", break_on_hyphens=False)


def _asked(point: TurningPoint) -> str:
    """Say what was asked for, and what came when that was another pitch."""
    place = "" if point.target == "middle" else place_words(point.target, "")
    asked = point.called or point.pitch
    if not point.target:
        return point.pitch
    said = f"{asked} {place or 'down the middle'} asked"
    return said if asked == point.pitch else f"{said}, {point.pitch} came"


def verdict(point: TurningPoint) -> str:
    """Say which part cost most, and which did not."""
    known = {part: runs for part in OURS if (runs := point.parts[part]) is not None}
    ours = {part: runs for part, runs in known.items() if part != "umpire"}
    if not ours:
        return "where it went is not known"
    if point.cost_most == "outcome":
        return _nobodys(point, ours)
    first = known.pop(point.cost_most)
    cost = sorted((part for part in known if known[part] >= WORTH_SAYING), key=known.__getitem__)
    free = [_priced(part, ours[part]) for part in ours if part in known and part not in cost]
    return ", ".join(
        (
            _priced(point.cost_most, first),
            *(f"then {_priced(part, known[part])}" for part in reversed(cost)),
            *([f"not {' or '.join(free)}"] if free else []),
        )
    )


def _nobodys(point: TurningPoint, ours: Mapping[str, float]) -> str:
    """Say that none of what was ours cost anything."""
    said = [_priced(part, runs) for part, runs in ours.items()]
    if point.parts["unplaced"] is not None and point.event != "walk":
        return f"not {said[0]}; where it went is not known"
    words = f"not {said[0]}" if len(said) == 1 else f"neither {' nor '.join(said)}"
    good = point.event in HITS and sum(ours.values()) < -WORTH_SAYING
    return f"{words}: he hit a good pitch" if good else words


def _priced(part: str, runs: float) -> str:
    return f"{_NAMES[part]} ({_hundredths(runs)})"


def _hundredths(runs: float) -> str:
    """Write runs to a hundredth without the nought before the point: +.09."""
    said = f"{runs:+.2f}"
    return "+.00" if said == "-0.00" else said.replace("0.", ".", 1)


def _wrapped(text: str) -> list[str]:
    return wrap(text, WIDTH)
