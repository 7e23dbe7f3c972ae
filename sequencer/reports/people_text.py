"""The people of the book as a list: who, which side, what was marked, how many pitches."""

import textwrap
from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Any, Final

from sequencer.records import tables
from sequencer.records.people import Mark, Person
from sequencer.records.store import Book

_WIDTH: Final = 80


def people_rows(book: Book, team: str | None = None) -> list[dict[str, Any]]:
    """Return the people of a team, or of the whole book, as JSON would hold them.

    `pitches_seen` counts pitches thrown to him, `pitches_thrown` his own; `also` names the
    entries of the book that were found to be him.
    """
    everyone = book.everyone()
    seen: Counter[str] = Counter()
    thrown: Counter[str] = Counter()
    for state in tables.states(book):
        seen.update(one.before.hitter for one in state.log)
        thrown.update(one.before.pitcher for one in state.log)
    also = [(everyone[gone.id].id, gone.label) for gone, _ in book.merged_away()]
    return [
        {
            "id": one.id,
            "team": one.team,
            "name": one.name,
            "number": one.number,
            "bats": one.bats,
            "throws": one.throws,
            "marks": [_mark(mark) for mark in book.marks(one.id)],
            "pitches_seen": sum(seen[id_] for id_, now in everyone.items() if now.id == one.id),
            "pitches_thrown": sum(thrown[id_] for id_, now in everyone.items() if now.id == one.id),
            "also": [label for id_, label in also if id_ == one.id],
        }
        for one in book.people(team)
    ]


def _mark(mark: Mark) -> dict[str, str]:
    return {"mark": mark.mark, "how_often": mark.how_often, "against": mark.against}


def people_text(rows: Sequence[dict[str, Any]]) -> str:
    """Return the list as text, a team after the other; marks stand under their hitter."""
    lines = []
    for team, members in groupby(rows, key=lambda row: str(row["team"])):
        listed = list(members)
        lines += [
            "",
            team,
            f"{'no':>4}  {'name':<30}{'bats':<6}{'throws':<8}{'seen':>6}{'thrown':>8}",
        ]
        for row in listed:
            lines += _lines(row, _twins(row, listed))
    return "\n".join(lines[1:]) if lines else "Nobody is in the book yet."


def _twins(row: dict[str, Any], listed: Iterable[dict[str, Any]]) -> bool:
    """Return whether name and number do not tell him from the others."""
    alike = [one for one in listed if (one["name"], one["number"]) == (row["name"], row["number"])]
    return len(alike) > 1


def _lines(row: dict[str, Any], twins: bool) -> list[str]:
    person = Person(id=row["id"], team=row["team"], name=row["name"], number=row["number"])
    number = "" if row["number"].startswith("?") else row["number"]
    counts = f"{row['pitches_seen']:>6}{row['pitches_thrown']:>8}"
    name = person.label if len(person.label) <= 29 else person.label[:28] + "…"
    line = f"{number:>4}  {name:<30}{row['bats'] or '?':<6}{row['throws'] or '?':<8}{counts}"
    marks = ", ".join(f"{mark['mark']} ({_manner(mark)})" for mark in row["marks"])
    known = [f"id {row['id']}"] if twins or person.number.startswith("?") else []
    known += [f"also {', '.join(row['also'])}"] if row["also"] else []
    wrapped = [
        part
        for text in (*known, marks)
        for part in textwrap.wrap(text, _WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6)
    ]
    return [line, *wrapped]


def _manner(mark: dict[str, str]) -> str:
    return mark["how_often"] + (f", {mark['against']} throwing" if mark["against"] else "")
