from pathlib import Path

from sequencer.records.people import Person, Team
from sequencer.records.readers import import_file
from sequencer.records.readers.roster import Roster, said
from sequencer.records.store import Book
from sequencer.records.tables import reference
from tests.records.readers.helpers import HEADER, write_log


def row(at_bat: int, hitter: str, rest: str) -> str:
    return f"opener,{at_bat},1,0,0,Ash Reed,{hitter},fastball,in play,{rest}"


WIDE = f"{HEADER},hitter_no,hitter_id,bats"


def test_two_people_of_one_name_stay_two_by_their_numbers(book: Book, tmp_path: Path) -> None:
    rows = (row(1, "Sam Lee", "7,,R"), row(2, "Sam Lee", "12,,L"), row(3, "Sam Lee", "7,,R"))
    assert import_file(book, write_log(tmp_path / "a.csv", *rows, header=WIDE)).bad == ()
    assert [(p.number, p.bats) for p in book.people("Them")] == [("7", "R"), ("12", "L")]


def test_two_people_of_one_name_without_a_number_are_refused_naming_both(
    book: Book, tmp_path: Path
) -> None:
    rows = (row(1, "Sam Lee", "7,,R"), row(2, "sam lee", ",,R"), row(3, "Sam Lee", "12,,L"))
    done = import_file(book, write_log(tmp_path / "a.csv", *rows, header=WIDE))
    assert [bad.line for bad in done.bad] == [3]
    reason = done.bad[0].reason
    assert "Sam Lee (#7) and Sam Lee (#12)" in reason
    assert "hitter_no" in reason


def test_a_key_tells_two_people_of_one_name_apart(book: Book, tmp_path: Path) -> None:
    rows = (row(1, "Sam Lee", ",one,R"), row(2, "Sam Lee", ",two,L"))
    path = write_log(tmp_path / "a.csv", *rows, header=WIDE)
    assert import_file(book, path).added == 2
    assert {p.id: p.bats for p in book.people("Them")} == {"one": "R", "two": "L"}
    bare = write_log(tmp_path / "b.csv", "b,1,1,0,0,Ash Reed,Sam Lee,fastball,ball")
    assert "Sam Lee (one) and Sam Lee (two)" in import_file(book, bare).bad[0].reason


def test_a_number_learnt_later_belongs_to_the_one_who_had_none(book: Book, tmp_path: Path) -> None:
    first = write_log(tmp_path / "a.csv", row(1, "Sam Lee", ",,R"), header=WIDE)
    later = write_log(
        tmp_path / "b.csv", row(1, "Sam Lee", "7,,R").replace("opener", "second"), header=WIDE
    )
    import_file(book, first)
    import_file(book, later)
    assert [(p.name, p.number) for p in book.people("Them")] == [("Sam Lee", "7")]


def test_a_hitter_may_be_known_by_number_alone(book: Book, tmp_path: Path) -> None:
    rows = (row(1, "#7", ",,R"), row(2, "12", ",,L"), row(3, "", "7,,R"))
    assert import_file(book, write_log(tmp_path / "a.csv", *rows, header=WIDE)).bad == ()
    assert [(p.name, p.number, p.label) for p in book.people("Them")] == [
        ("", "7", "#7"),
        ("", "12", "#12"),
    ]


def test_a_new_hitter_seen_on_both_sides_is_a_switch_hitter(book: Book, tmp_path: Path) -> None:
    rows = (row(1, "Sam Lee", ",,R"), row(2, "Lew Toll", ",,R"), row(3, "Sam Lee", ",,L"))
    import_file(book, write_log(tmp_path / "a.csv", *rows, header=WIDE))
    assert {p.name: p.bats for p in book.people("Them")} == {"Sam Lee": "S", "Lew Toll": "R"}


def test_a_name_of_a_merged_person_means_the_one_kept(book: Book, tmp_path: Path) -> None:
    book.add_team(Team(name="Them"))
    book.add_person(Person(id="a", team="Them", name="Sam Lee"))
    book.add_person(Person(id="b", team="Them", number="7"))
    book.merge_people("a", "b")
    import_file(book, write_log(tmp_path / "a.csv", row(1, "Sam Lee", ",b,R"), header=WIDE))
    assert [p.id for p in book.people("Them")] == ["a"]


def test_a_reference_leads_back_to_the_same_person(book: Book) -> None:
    book.add_team(Team(name="T"))
    people = [
        Person(id="a", team="T", name="Sam Lee", number="7"),
        Person(id="b", team="T", name="Sam Lee", number="12"),
        Person(id="c", team="T", number="12"),
        Person(id="d", team="T", name="7"),
        Person(id="e", team="T", name="#12 Ito"),
        Person(id="f", team="T", name="Ned Oak"),
        Person(id="g", team="T"),
    ]
    for person in people:
        book.add_person(person)
    roster = Roster(book)
    texts = {person.id: reference(person, people) for person in people}
    assert texts["f"] == "Ned Oak"
    assert texts["a"] == "#7"
    assert {id_: roster.named(("T",), text).id for id_, text in texts.items()} == {
        id_: id_ for id_ in texts
    }


def test_said_reads_names_numbers_and_both() -> None:
    assert said("T", " Sam Lee ") == ("T", "Sam Lee", "", "")
    assert said("T", "Sam Lee #7") == ("T", "Sam Lee", "7", "")
    assert said("T", "#7") == ("T", "", "7", "")
    assert said("T", "07") == ("T", "", "07", "")
    assert said("T", "#7", "7") == ("T", "", "7", "")
