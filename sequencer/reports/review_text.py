"""A review as a page of plain text, 80 columns wide: the costliest first, then everyone in turn."""

import textwrap
from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from sequencer.reports.asked_text import asked_lines
from sequencer.reports.ledger_text import ledger_text, turning_text
from sequencer.reports.lines import WIDTH
from sequencer.reports.tells_text import tells_text
from sequencer.review.enough import TALKED_OF, Needed
from sequencer.review.reviewed import Habit, Kind, Review, Reviewed
from sequencer.review.says import counted, sentence
from sequencer.review.tells import MeasuredTell, PitcherTells, SeenTell

#: How many habits the page leads with.
_LEAD: Final = 3
#: What habits come to, in the order of a page, and the title of each group.
GROUPS: Final[Mapping[Kind, str]] = {
    "costs runs": "Readable, and it costs runs: change these",
    "cost not known": "Readable; what it costs is not known",
    "asked for": "Readable, but the plan asks for it: leave these",
}
#: How many at-bats are told as the call or the miss.
_TURNING: Final = 10


def review_text(review: Review) -> str:
    """Lay a review out for reading.

    Returns
    -------
    str
        Lines of at most 80 columns, with a line break at the end.
    """
    if review.says:
        return review.says + "\n"
    parts = [_lead(review), *map(_one, review.pitchers)]
    if len(review.pitchers) > 1:
        parts += map(_one, (*review.callers, *review.catchers))
    parts += [
        tells_text(review.tells).rstrip(),
        turning_text(review.turning_points, most=_TURNING),
        ledger_text(review.ledger, by_plan=review.by_plan),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _lead(review: Review) -> str:
    """Say first what surely costs most, then tells, then the habits that give most away."""
    if not review.tells and not any(each.findings for each in review.pitchers):
        return ""
    habits = [
        (habit, reviewed.name)
        for reviewed in review.pitchers
        for habit in reviewed.habits
        if habit.kind != "asked for"
    ]
    habits.sort(key=lambda each: (-each[0].runs, -each[0].finding.gain))
    said = [
        *(_costs(*each) for each in habits if each[0].runs),
        *_tells(review.tells),
        *(_costs(*each) for each in habits if not each[0].runs),
    ]
    lines = titled("First of all")
    for number, each in enumerate(said[:_LEAD], start=1):
        lines += wrapped(each, first=f"{number}. ", rest="   ")
    return "\n".join(lines if said else [*lines, "No habit found that costs anything."])


def _costs(habit: Habit, name: str) -> str:
    said = counted(habit.finding)
    worth = habit.cost.says if habit.cost and habit.runs else _gain(habit)
    return f"{name}: {said[0].lower()}{said[1:]} {worth}"


def _tells(tells: Iterable[PitcherTells]) -> Iterator[str]:
    for each in tells:
        found: list[SeenTell | MeasuredTell] = [*each.seen, *each.measured]
        for tell in found:
            if tell.flagged and not tell.same_as:
                yield f"{each.pitcher}: {tell.says[0].lower()}{tell.says[1:]}"


def _one(reviewed: Reviewed) -> str:
    by = {"caller": "Called by ", "catcher": "Caught by ", "pitcher": ""}[reviewed.of]
    lines = titled(f"{by}{reviewed.name}: {size(reviewed)}")
    for note in reviewed.notes:
        lines += wrapped(note)
    verdicts = [each for each in reviewed.findings if not each.why_not]
    if reviewed.findings and not verdicts:
        lines += ["", *bullets(counted(each, staff=reviewed.staff) for each in reviewed.findings)]
    elif verdicts:
        lines += ["", *_habits(reviewed)]
    for part in (follow_up_lines(reviewed), asked_lines(reviewed.asked)):
        lines += ["", *part] if part else []
    unseen = unseen_lines(reviewed)
    lines += ["", *unseen] if unseen else []
    lines += ["", *wrapped(reviewed.reader.says)]
    if reviewed.worth.runs_per_100 is not None:
        lines += wrapped(reviewed.worth.says)
    return "\n".join(lines).rstrip()


def _habits(reviewed: Reviewed) -> list[str]:
    lines = list(_grouped(reviewed)) or ["", "No habit found that an opponent could use."]
    flagged = [each for each in reviewed.findings if each.flagged]
    for title, told in (
        ("The same habits seen another way:", [each for each in flagged if each.same_as]),
        ("Days that were not like the others:", [each for each in flagged if each.pattern.of_days]),
    ):
        if told:
            lines += ["", title, *bullets(counted(each, staff=reviewed.staff) for each in told)]
    return lines[1:]


def _grouped(reviewed: Reviewed) -> Iterator[str]:
    """Yield the habits by what they come to, numbered on, an empty line before each group."""
    number = 0
    for kind, title in GROUPS.items():
        group = [each for each in reviewed.habits if each.kind == kind]
        if group:
            yield from ("", title, "-" * len(title))
        for habit in group:
            number += 1
            said = counted(habit.finding, staff=reviewed.staff)
            yield from wrapped(said, first=f"{number}. ", rest="   ")
            for more in about(habit):
                yield from wrapped(more, first="   ", rest="   ")


def about(habit: Habit) -> Iterator[str]:
    """Yield what there is to say of a habit: the plan, its cost, what it gives away, its cure."""
    if habit.finding.right is False:
        yield "The plan asks for less of it."
    if habit.cost and habit.kind != "asked for":
        yield habit.cost.says
    yield _gain(habit)
    if habit.fix:
        yield habit.fix.says


def _gain(habit: Habit) -> str:
    low, high = habit.finding.interval
    return (
        f"Looking for it is right {habit.finding.gain:.0f} more times in 100 pitches than without "
        f"the habit ({max(low, 0):.0f} to {high:.0f})."
    )


def follow_up_lines(reviewed: Reviewed) -> list[str]:
    """Return what habits found before have come to since; nothing where there is no follow-up."""
    if not reviewed.follow_up:
        return []
    split = reviewed.follow_up[0].split
    shows = "it shows" if split == "the last game" else "the pitches since show"
    title = f"Habits found before {split}, and what {shows}"
    return [
        title,
        "-" * len(title),
        *bullets(each.says for each in reviewed.follow_up),
        *wrapped("(By exact tests: chance alone brings such a verdict 1 time in 20 at most.)"),
    ]


def unseen_lines(reviewed: Reviewed) -> list[str]:
    """Return what was looked for and not found, and what could have been; short for a staff."""
    return _some(reviewed) if reviewed.staff else _not_found(reviewed)


def _not_found(reviewed: Reviewed) -> list[str]:
    enough = [each for each in reviewed.needed if not each.more]
    short = [each for each in reviewed.needed if each.more]
    untold = [each for each in reviewed.findings if each.why_not]
    lines: list[str] = []
    if enough:
        lines += [
            "",
            *wrapped(
                "Looked for and not found. A habit smaller than this, in points of 100, may be "
                "there unseen:"
            ),
            *(f"  {each.question:<66}{each.points:>6.0f}" for each in enough),
        ]
    if short:
        lines += [
            "",
            *wrapped(
                f"Not found, but there were too few pitches for a habit of {TALKED_OF:.0f} points "
                f"of 100. What could have been found, and what {TALKED_OF:.0f} needs:"
            ),
            *bullets(_short(each) for each in short),
        ]
    if untold and len(untold) < len(reviewed.findings):
        lines += ["", "Not to be told:"]
        lines += bullets(sentence(each, staff=reviewed.staff) for each in untold)
    return lines[1:]


def _short(needed: Needed) -> str:
    more = f"; about {needed.more} more {needed.pitches}" if needed.pitches else ""
    return f"{needed.question} {needed.points:.0f}{more}."


def _some(reviewed: Reviewed) -> list[str]:
    """Say in one sentence what could have been found, for those who have a page of many."""
    points = sorted(each.points for each in reviewed.needed)
    if not points:
        return []
    return wrapped(
        f"{len(points)} more questions found nothing. They could have found habits of "
        f"{points[0]:.0f} points of 100 at best, {points[-1]:.0f} at worst."
    )


def size(reviewed: Reviewed) -> str:
    """Return how many pitches in how many games."""
    pitches, games = reviewed.pitches, reviewed.games
    return (
        f"{pitches} {'pitch' if pitches == 1 else 'pitches'} in {games} "
        f"{'game' if games == 1 else 'games'}"
    )


def titled(title: str) -> list[str]:
    """Return a title and the line under it."""
    return [*(lines := wrapped(title)), "=" * max(map(len, lines))]


def wrapped(text: str, *, first: str = "", rest: str = "") -> list[str]:
    """Return text in lines of the page."""
    return textwrap.wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False
    )


def bullets(sentences: Iterable[str]) -> list[str]:
    """Return sentences as a list of the page."""
    return [line for each in sentences for line in wrapped(each, first="- ", rest="  ")]
