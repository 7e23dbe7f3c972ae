"""From a review to what its place shows: pure, on a thread of its own."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from sequencer.reports.asked_text import asked_lines
from sequencer.reports.ledger_text import ledger_text
from sequencer.reports.opponent_text import opponent_text
from sequencer.reports.review_text import (
    GROUPS,
    about,
    follow_up_lines,
    size,
    titled,
    unseen_lines,
    wrapped,
)
from sequencer.reports.tells_text import tells_text
from sequencer.review.coded import Whose
from sequencer.review.findings import Finding
from sequencer.review.ledger import GROUPS as LEDGERS
from sequencer.review.reviewed import Habit, Review, Reviewed
from sequencer.review.says import counted, sentence
from sequencer.review.tells import MeasuredTell, SeenTell
from tui.review_pitches import (
    Source,
    mirrored_note,
    pitch_line,
    points_of,
    turning_views,
    where_drawn,
)
from tui.set_list import in_words, step_of
from tui.views import PatternView, ReviewView

_THEIRS: Final = "Our hitters can look for it"
_AGAIN: Final = "The same habits seen another way"
_DAYS: Final = "Days that were not like the others"
_CHANCE: Final = "Looked at: can be chance, or cannot be told"
_NOT_THEIRS: Final = "Of their pitchers there is none: it is kept of our own pitches."
_NOTHING: Final = "Nothing that went wrong in these games."


def review_view(
    name: str, review: Review, people: Sequence[Reviewed], source: Source, chosen: str, whose: Whose
) -> ReviewView:
    """Return what the place shows of a review.

    Parameters
    ----------
    name : str
        Whose it is.
    review : Review
    people : sequence of Reviewed
        Those it is asked of.
    source : Source
    chosen : str
        Which games, in words.
    whose : {"us", "them"}
    """
    patterns = tuple(_patterns(people, source, whose))
    ids = {row["pitcher"]: row["pitcher_id"] for row in source.rows}
    return ReviewView(
        name,
        tuple(_head(people, chosen)),
        patterns,
        turning=tuple(turning_views(review.turning_points, source)),
        pages=_pages(review, people, whose),
        tells=tuple(_tell_steps(review, ids)),
    )


# what could be read


def _head(people: Sequence[Reviewed], chosen: str) -> Iterator[str]:
    pitches, games = sum(one.pitches for one in people), max(one.games for one in people)
    habits = [each for one in people for each in one.habits]
    said = {0: "no habit found", 1: "1 habit found"}.get(len(habits), f"{len(habits)} habits found")
    where = "1 game" if games == 1 else f"{games} games"
    many = "1 pitch" if pitches == 1 else f"{pitches} pitches"
    yield f"{many} in {where}{chosen}: {said}."
    if not habits:
        yield from dict.fromkeys(note for one in people for note in one.notes)
    if not any(each.kind != "asked for" for each in habits):
        points = [least for one in people for least in one.could_find.values()]
        if points:
            yield f"Could have been found: a habit of {min(points):.0f} points of share or more."


def _patterns(people: Sequence[Reviewed], source: Source, whose: Whose) -> Iterator[PatternView]:
    """Yield habits by what they come to, the costliest first, then everything else asked."""
    several = len(people) > 1
    ids = {row["pitcher"]: row["pitcher_id"] for row in source.rows}
    habits = [(each, one) for one in people for each in one.habits]
    habits.sort(key=lambda each: (-each[0].runs, -each[0].finding.gain))
    number = iter(range(10_000))
    for kind, title in GROUPS.items():
        for habit, one in habits:
            if habit.kind == kind:
                group = _THEIRS if whose == "them" else title
                yield _habit(next(number), habit, one, source, group, ids, named=several)
    others = [(each, one) for one in people for each in one.findings]
    others.sort(key=lambda each: (each[0].q, -each[0].gain))
    for group in (_AGAIN, _DAYS, _CHANCE):
        for finding, one in others:
            if _group(finding) == group:
                yield _finding(next(number), finding, one, source, group, named=several)


def _group(finding: Finding) -> str:
    """Return under which title a finding stands that is no habit of its own, "" for a habit."""
    if not finding.flagged:
        return _CHANCE
    if finding.pattern.of_days:
        return _DAYS
    return _AGAIN if finding.same_as else ""


def _habit(
    i: int,
    habit: Habit,
    one: Reviewed,
    source: Source,
    group: str,
    ids: Mapping[str, str],
    *,
    named: bool,
) -> PatternView:
    finding, fix = habit.finding, habit.fix
    lines = [line for line in about(habit) if fix is None or line != fix.says]
    rows = source.behind(finding, one)
    return PatternView(
        str(i),
        _of(one, named=named) + counted(finding, staff=one.staff),
        habit.kind != "asked for",
        f"{finding.pitches} pitches. {' '.join(lines)}",
        where_drawn(rows, source.zone),
        tuple(pitch_line(row, staff=one.staff) for row in rows),
        fix.says if fix else "",
        group,
        step_of(fix).line if fix else "",
        "" if one.staff else ids.get(one.name, ""),
        points_of(rows, source.zone),
        mirrored_note(rows),
    )


def _finding(
    i: int, finding: Finding, one: Reviewed, source: Source, group: str, *, named: bool
) -> PatternView:
    low, high = finding.interval
    rows = source.behind(finding, one)
    numbers = (
        f"{finding.pitches} pitches. Worth {finding.gain:.1f} right guesses in 100 "
        f"({low:.1f} to {high:.1f})."
    )
    return PatternView(
        str(i),
        _of(one, named=named) + sentence(finding, staff=one.staff),
        False,
        numbers,
        where_drawn(rows, source.zone),
        tuple(pitch_line(row, staff=one.staff) for row in rows),
        group=group,
        points=points_of(rows, source.zone),
        note=mirrored_note(rows),
    )


def _of(one: Reviewed, *, named: bool) -> str:
    return f"{one.name}: " if named else ""


# pages of text


def _pages(review: Review, people: Sequence[Reviewed], whose: Whose) -> dict[str, tuple[str, ...]]:
    if whose == "them":
        theirs = opponent_text(Review(people[0].pitches, tuple(people)))
        return {"follow-up": (theirs,), "ledger": (_NOT_THEIRS,), "tells": (_NOT_THEIRS,)}
    entries = review.ledger
    ledgers = tuple(
        _table_first([each for each in entries if each["by"] == by], by_plan=review.by_plan)
        for by in LEDGERS
        if any(each["by"] == by for each in entries)
    )
    return {
        "follow-up": ("\n\n".join("\n".join(_read(one)) for one in people),),
        "ledger": ledgers or (_NOTHING,),
        "tells": (tells_text(review.tells),),
        "not found": ("\n\n".join("\n".join(_unseen(one)) for one in people),),
    }


def _table_first(entries: list[dict[str, object]], *, by_plan: bool) -> str:
    """Return a ledger with its table first: what its words mean is read once."""
    words, _, table = ledger_text(entries, by_plan=by_plan).partition("\n\n")
    return f"{table}\n\n{words}"


def _title(one: Reviewed) -> list[str]:
    by = {"caller": "Called by ", "catcher": "Caught by ", "pitcher": ""}[one.of]
    return titled(f"{by}{one.name}: {size(one)}")


def _read(one: Reviewed) -> Iterator[str]:
    """Yield what a reader makes of him, what became of his habits, what was asked and thrown."""
    yield from _title(one)
    yield from wrapped(one.reader.says)
    if one.worth.runs_per_100 is not None:
        yield from wrapped(one.worth.says)
    for note in one.notes:
        yield from wrapped(note)
    for part in (follow_up_lines(one), asked_lines(one.asked)):
        if part:
            yield ""
            yield from part


def _unseen(one: Reviewed) -> Iterator[str]:
    yield from _title(one)
    yield from unseen_lines(one) or ["Every question asked has its answer under 1."]


def _tell_steps(review: Review, ids: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    for each in review.tells:
        found: list[SeenTell | MeasuredTell] = [*each.seen, *each.measured]
        for tell in found:
            if tell.flagged and not tell.same_as and tell.fix and each.pitcher in ids:
                yield ids[each.pitcher], in_words(tell.fix).line
