"""A review as a page of plain text, 80 columns wide."""

import textwrap
from collections.abc import Iterable, Mapping
from typing import Final

from sequencer.review.findings import Finding
from sequencer.review.fixes import Fix
from sequencer.review.review import Review, Reviewed
from sequencer.review.says import counted, sentence

WIDTH: Final = 80
_LEDGER_HEAD: Final = (
    ("pitches", "pitches"),
    ("call", "call"),
    ("execution", "where it went"),
    ("call_and_execution", "both as one"),
    ("umpire", "umpire"),
    ("outcome", "outcome"),
    ("unplaced", "no place"),
    ("runs", "runs"),
)
_LEDGER_SAYS: Final = (
    "Runs to the hitters against the average pitch in the same count; below nought is good for "
    "us. Call is what asking for that place is worth, where it went is what the miss cost, both "
    "as one where no target was charted. What a place is worth is learnt from this log. The "
    "ledger cannot see whether calls could be read."
)


def review_text(review: Review) -> str:
    """Lay a review out for reading.

    Returns
    -------
    str
        Lines of at most 80 columns, with a line break at the end.
    """
    if review.says:
        return review.says + "\n"
    parts = [_one(each) for each in review.pitchers]
    if len(review.pitchers) > 1:
        parts += [_one(each) for each in review.callers]
    parts.append(_ledger(review.ledger))
    return "\n\n".join(part for part in parts if part) + "\n"


def _one(reviewed: Reviewed) -> str:
    title = f"{'Called by ' if reviewed.staff else ''}{reviewed.name}"
    size = f"{_many(reviewed.pitches, 'pitch', 'pitches')} in {_many(reviewed.games, 'game')}"
    lines = [f"{title}: {size}", "=" * len(f"{title}: {size}")]
    for note in reviewed.notes:
        lines += _wrap(note)
    verdicts = [each for each in reviewed.findings if not each.why_not]
    if reviewed.findings and not verdicts:
        lines += ["", *_bullets(counted(each, staff=reviewed.staff) for each in reviewed.findings)]
    elif verdicts:
        lines += ["", *_habits(reviewed), "", *_not_found(reviewed)]
    lines += ["", *_wrap(reviewed.reader.says)]
    if reviewed.worth.runs_per_100 is not None:
        lines += _wrap(reviewed.worth.says)
    return "\n".join(lines).rstrip()


def _habits(reviewed: Reviewed) -> list[str]:
    flagged = [each for each in reviewed.findings if each.flagged and not each.same_as]
    if not flagged:
        return ["No habit found that an opponent could use."]
    lines = ["What an opponent could read", ""]
    for number, finding in enumerate(flagged, start=1):
        lines += _wrap(sentence(finding, staff=reviewed.staff), first=f"{number}. ", rest="   ")
        lines += _wrap(_gain(finding), rest="   ", first="   ")
        lines += [
            line
            for each in reviewed.fixes
            if _cures(each, finding)
            for line in _wrap(each.says, first="   ", rest="   ")
        ]
    twice = [each for each in reviewed.findings if each.same_as]
    if twice:
        lines += ["", "The same habits seen another way:"]
        lines += _bullets(sentence(each, staff=reviewed.staff) for each in twice)
    return lines


def _cures(fix: Fix, finding: Finding) -> bool:
    return (
        fix.pattern == finding.pattern.id
        and fix.mix["what"] == dict(finding.contrast.what)
        and (fix.mix["where"] == dict(finding.contrast.condition.where))
    )


def _gain(finding: Finding) -> str:
    low, high = finding.interval
    return (
        f"Looking for it there is right {finding.gain:.0f} more times in 100 pitches than if he "
        f"had no such habit ({max(low, 0):.0f} to {high:.0f})."
    )


def _not_found(reviewed: Reviewed) -> list[str]:
    quiet = [each for each in reviewed.findings if not each.flagged and not each.why_not]
    untold = [each for each in reviewed.findings if each.why_not]
    lines = []
    if quiet:
        lines.append(
            "Looked for and not found. A habit smaller than this, in points of 100, may be"
        )
        lines.append("there unseen:")
        lines += [
            f"  {each.pattern.question:<66}{reviewed.could_find[each.pattern.id]:>6.0f}"
            for each in quiet
        ]
    if untold:
        lines += ["", "Not to be told:"]
        lines += _bullets(sentence(each, staff=reviewed.staff) for each in untold)
    return lines


def _ledger(entries: Iterable[Mapping[str, object]]) -> str:
    """Tables of the ledger by game, pitcher, catcher, caller, pitch and count."""
    kept = list(entries)
    if not kept:
        return ""
    columns = [
        (key, head)
        for key, head in _LEDGER_HEAD
        if any(isinstance(each[key], int | float) for each in kept)
    ]
    lines = ["Where the runs came from", "=" * 24, *_wrap(_LEDGER_SAYS)]
    for by in dict.fromkeys(str(each["by"]) for each in kept):
        lines += ["", _row(f"by {by}", [head for _key, head in columns], columns)]
        for each in kept:
            if each["by"] == by:
                cells = [_cell(each[key]) for key, _head in columns]
                lines.append(_row(str(each["name"]), cells, columns))
    return "\n".join(lines)


def _row(name: str, cells: Iterable[str], columns: list[tuple[str, str]]) -> str:
    widths = [max(len(head), 7) for _key, head in columns]
    room = WIDTH - sum(width + 1 for width in widths)
    padded = " ".join(f"{cell:>{width}}" for cell, width in zip(cells, widths, strict=True))
    return f"{textwrap.shorten(name, room - 1, placeholder='..'):<{room}}{padded}".rstrip()


def _cell(value: object) -> str:
    if isinstance(value, int):
        return str(value)
    return f"{value + 0.0:+.1f}".replace("-0.0", "+0.0") if isinstance(value, float) else "-"


def _many(number: int, one: str, more: str = "") -> str:
    return f"{number} {one if number == 1 else more or one + 's'}"


def _wrap(text: str, *, first: str = "", rest: str = "") -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=rest)


def _bullets(sentences: Iterable[str]) -> list[str]:
    return [line for each in sentences for line in _wrap(each, first="- ", rest="  ")]
