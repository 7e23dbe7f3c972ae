"""`sequencer people`: who is in the book, who is one person, and what is marked of them."""

from typing import TYPE_CHECKING, Final

import click

from sequencer.cli.options import book_option, json_option, print_json

if TYPE_CHECKING:
    from sequencer.records.people import Person
    from sequencer.records.store import Book

Pair = tuple[str, str] | None
_CHANGES: Final = ("same", "apart", "name", "number", "bats", "mark", "unmark")


@click.command(
    "people",
    epilog='Example: sequencer people "Osier Bend Wrens" --mark "Rafe Ostrow" '
    '"late on the fastball" --how-often always',
)
@click.argument("team", required=False)
@click.option("--same", nargs=2, metavar="KEEP GONE", help="Two entries are one player.")
@click.option("--apart", metavar="WHO", help="Take the last --same of a player back.")
@click.option("--name", nargs=2, metavar="WHO NAME", help="Give a player a name.")
@click.option("--number", nargs=2, metavar="WHO NO", help="Give a player a number.")
@click.option(
    "--bats",
    type=(str, click.Choice(["R", "L", "S"])),
    metavar="WHO SIDE",
    help="The side he hits from: R, L, or S for both.",
)
@click.option("--mark", nargs=2, metavar="WHO MARK", help="Give a hitter a mark.")
@click.option(
    "--how-often",
    type=click.Choice(["once", "some", "always"]),
    default="some",
    show_default=True,
    help="How often the mark was seen.",
)
@click.option("--unmark", nargs=2, metavar="WHO MARK", help="Take a mark off a hitter.")
@json_option
@book_option
def command(team: str | None, how_often: str, as_json: bool, book: str, **said: str | Pair) -> None:
    """List the people of the book or of a TEAM, or change one thing that is said of one.

    The list tells the pitches each has seen and thrown, and how a hitter is marked.
    A player is named by his name, by #7, by both ("Rafe Ostrow #7") or by the id of --json.
    """
    asked = [change for change in _CHANGES if said[change]]
    if len(asked) > 1:
        raise click.UsageError(
            f"--{asked[0]} and --{asked[1]} are two changes: make one at a time."
        )
    from sequencer.records.store import open_book
    from sequencer.reports.people_text import people_rows, people_text

    with open_book(book, create=False) as opened:
        of = opened.find_team(team).name if team else None
        if not asked:
            rows = people_rows(opened, of)
            _print(rows, people_text(rows), as_json=as_json)
            return
        change = asked[0]
        words = said[change]
        who, what = (words, "") if isinstance(words, str) else words or ("", "")
        person, says = _change(opened, of, change, who, what, how_often)
    done = {"says": says, "id": person.id, "name": person.name, "number": person.number}
    _print(done, says, as_json=as_json)


def _print(value: object, text: str, *, as_json: bool) -> None:
    if as_json:
        print_json(value)
    else:
        click.echo(text)


def _change(
    book: "Book", team: str | None, change: str, who: str, what: str, how_often: str
) -> tuple["Person", str]:
    """Make one change; returns the player as he is now, and what was done."""
    from sequencer.live import same_person
    from sequencer.records.tables import reference

    person = book.find_person(team, who)
    if change == "same":
        joined = same_person.make_one(book, person.id, book.find_person(team, what).id)
        called = reference(joined.person, book.people(joined.person.team))
        back = f'sequencer people "{joined.person.team}" --apart "{called}"'
        return joined.person, f"{joined.says}\nTo take it back: {back}"
    if change == "apart":
        parted = same_person.make_two(book, person.id)
        return parted.person, parted.says
    if change in ("mark", "unmark"):
        return person, _mark(book, person, what, how_often if change == "mark" else "")
    value = what.strip().lstrip("#") if change == "number" else what
    now = book.change_person(person.id, **{change: value})
    return now, _changed(book, person, now)


def _changed(book: "Book", before: "Person", now: "Person") -> str:
    from sequencer.live.same_person import full

    sides = {"R": "right", "L": "left", "S": "both ways", "": "from a side not known"}
    says = f"{full(before)} is {full(now)} now, and hits {sides[now.bats]}."
    twins = [one for one in book.people(now.team) if one.name == now.name and one.id != now.id]
    if now.name and twins:
        says += f" {full(twins[0])} has the same name: if they are one player, say so with --same."
    return says


def _mark(book: "Book", person: "Person", word: str, how_often: str) -> str:
    import datetime as dt

    from sequencer.baseball.marks import MARKS
    from sequencer.live.same_person import full
    from sequencer.records.columns import known_word
    from sequencer.records.people import Mark

    mark = known_word(word, MARKS, "mark")
    if not how_often:
        book.drop_mark(person.id, mark)
        return f"{full(person)} is not marked {mark} any more."
    said = {"person": person.id, "mark": mark, "how_often": how_often, "date": dt.date.today()}
    book.add_mark(Mark.model_validate(said))
    return f"{full(person)} is marked {mark} ({how_often})."
