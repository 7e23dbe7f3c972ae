import datetime as dt
from pathlib import Path

import pytest

from sequencer.errors import BadInput
from sequencer.records.readers import READERS, Imported, import_file
from sequencer.records.store import Book

HITTERS = """team,hitter,hitter_no,bats,marks,note
Owls,Lew Toll,7,R,late on the fastball: always soft; pull hitter,"tall, slow"
Owls,,12,L,,
Owls,Moe Pratt,,S,good eye: stance,
"""
BULLPENS = """bullpen,date,pitcher,throws,pitch,target,cell,hitter_side,set,strike
tuesday,2026-04-14,Ash Reed,R,fastball,low-away,down-away,R,1,1
tuesday,2026-04-14,Ash Reed,R,slider,low-in,,L,1,0
tuesday,2026-04-14,Ash Reed,R,changeup,,below,,2,
"""


def read(book: Book, folder: Path, kind: str, text: str) -> Imported:
    path = folder / f"{kind}.csv"
    path.write_text(text, encoding="utf-8")
    return import_file(book, path, kind=kind)


def test_a_hitters_file_makes_people_and_marks(book: Book, tmp_path: Path) -> None:
    assert read(book, tmp_path, "hitters", HITTERS).added == 3
    people = {person.label: person for person in book.people("Owls")}
    assert set(people) == {"Lew Toll", "#12", "Moe Pratt"}
    assert (people["Lew Toll"].number, people["Lew Toll"].note) == ("7", "tall, slow")
    marks = {mark.mark: mark for mark in book.marks()}
    late = marks["late on the fastball"]
    assert (late.how_often, late.against, late.seen_in) == ("always", "soft", "swing")
    assert (marks["good eye"].seen_in, marks["good eye"].how_often) == ("stance", "some")


def test_reading_hitters_again_adds_nothing_and_news_is_taken_in(
    book: Book, tmp_path: Path
) -> None:
    read(book, tmp_path, "hitters", HITTERS)
    again = read(book, tmp_path, "hitters", HITTERS)
    assert (again.added, again.known) == (0, 3)
    news = HITTERS.replace("Moe Pratt,,S", "Moe Pratt,,L").replace("tall, slow", "quick hands")
    assert read(book, tmp_path, "hitters", news).added == 2
    people = {person.label: person for person in book.people("Owls")}
    assert people["Moe Pratt"].bats == "L"
    assert people["Lew Toll"].note == "tall, slow; quick hands"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("Owls,Lew Toll,7,R,late on the fastbal,", "did you mean 'late on the fastball'?"),
        ("Owls,Lew Toll,7,R,extends: often,", "word after a mark's colon 'often'"),
        ("Owls,,,R,,", "nobody is named"),
        (",Lew Toll,7,R,,", "team is empty"),
        ("Owls,Lew Toll,7,X,,", "unknown bats 'X'"),
    ],
)
def test_a_bad_hitter_is_named(book: Book, tmp_path: Path, text: str, says: str) -> None:
    done = read(book, tmp_path, "hitters", HITTERS.split("\n")[0] + "\n" + text + "\n")
    assert [bad.line for bad in done.bad] == [2]
    assert says in done.bad[0].reason
    assert book.people() == []


def test_a_bullpens_file_gathers_throws_in_sets(book: Book, tmp_path: Path) -> None:
    assert read(book, tmp_path, "bullpen", BULLPENS).added == 3
    (pen,) = book.bullpens()
    assert (pen.bullpen, pen.date) == ("tuesday", dt.date(2026, 4, 14))
    assert book.person(pen.pitcher).throws == "R"
    throws = [(t.set_no, t.throw_no, t.pitch, t.target, t.cell, t.strike) for t in pen.throws]
    assert throws == [
        (1, 1, "fastball", "low-right", "down-right", True),
        (1, 2, "slider", "low-right", "", False),
        (2, 1, "changeup", "", "below", None),
    ]
    again = read(book, tmp_path, "bullpen", BULLPENS)
    assert (again.added, again.known) == (0, 3)


def test_more_throws_of_a_bullpen_are_added_to_it(book: Book, tmp_path: Path) -> None:
    read(book, tmp_path, "bullpen", BULLPENS)
    more = BULLPENS + "tuesday,2026-04-14,Ash Reed,R,fastball,high-in,,R,2,1\n"
    assert read(book, tmp_path, "bullpen", more).added == 1
    (pen,) = book.bullpens()
    assert [(t.set_no, t.throw_no) for t in pen.throws] == [(1, 1), (1, 2), (2, 1), (2, 2)]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("tuesday,2026-04-14,Ash Reed,R,fastball,,,R,1,1", "needs its target or its cell"),
        ("tuesday,,Ash Reed,R,fastball,low-in,,R,1,1", "--date"),
        ("tuesday,2026-04-14,Ash Reed,R,,low-in,,R,1,1", "pitch is empty"),
        ("tuesday,2026-04-14,Ash Reed,R,fastball,lowin,,R,1,1", "off the map"),
        (",2026-04-14,Ash Reed,R,fastball,low-in,,R,1,1", "bullpen is empty"),
    ],
)
def test_a_bad_throw_is_named(book: Book, tmp_path: Path, text: str, says: str) -> None:
    done = read(book, tmp_path, "bullpen", BULLPENS + text + "\n")
    assert [bad.line for bad in done.bad] == [5]
    assert says in done.bad[0].reason
    assert book.bullpens() == []


def test_an_unknown_kind_and_misplaced_events_are_refused(book: Book, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="it is one of pitches, hitters, bullpen"):
        import_file(book, tmp_path, kind="umpires")
    path = tmp_path / "h.csv"
    path.write_text(HITTERS, encoding="utf-8")
    with pytest.raises(BadInput, match="goes with a pitch log"):
        import_file(book, path, kind="hitters", events=path)


def test_every_reader_has_columns_with_a_required_one() -> None:
    for reader in READERS.values():
        names = [column.name for column in reader.columns]
        assert len(names) == len(set(names))
        assert any(column.required for column in reader.columns)
        assert all(column.meaning for column in reader.columns)


def test_bullpens_hold_what_was_measured_and_a_slip_of_a_tell_is_told(
    book: Book, tmp_path: Path
) -> None:
    text = BULLPENS.replace(",set,strike", ",set,strike,tells,tells_watched")
    rows = text.splitlines()
    rows[1] += ',arm slws; hold=1.5,"arm slows; winks"'
    rows[2:] = [row + ",," for row in rows[2:]]
    done = read(book, tmp_path, "bullpen", "\n".join(rows) + "\n")
    assert done.warnings[-1] == "'arm slws' is counted as 'arm slows'."
    (pen,) = book.bullpens()
    assert pen.throws[0].tells == ("arm slws", "hold=1.5")
    assert pen.throws[0].tells_watched == ("arm slows", "winks")


def test_a_measured_tell_that_is_no_number_is_refused_by_its_line(
    book: Book, tmp_path: Path
) -> None:
    text = BULLPENS.replace(",set,strike", ",set,strike,tells").replace("R,1,1", "R,1,1,hold=long")
    rows = [row + "," if n > 1 else row for n, row in enumerate(text.splitlines())]
    done = read(book, tmp_path, "bullpen", "\n".join(rows) + "\n")
    assert [(bad.line, bad.reason) for bad in done.bad] == [
        (2, "'long' of the tell 'hold' is not a number; write hold=1.5")
    ]
