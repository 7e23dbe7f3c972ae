import datetime as dt
from pathlib import Path

import pytest

from sequencer.errors import BookError
from sequencer.records.event import Event
from sequencer.records.readers import import_file, read_files
from sequencer.records.replay import replay
from sequencer.records.state import State
from sequencer.records.store import Book
from tests.records.readers.helpers import HEADER, ROWS, with_columns, write_log


def only_state(book: Book) -> State:
    (game,) = book.games()
    return replay(game, book.everyone(), book.rows(game.id))


def lines_and_reasons(book: Book, path: Path) -> list[tuple[int, str]]:
    return [(bad.line, bad.reason) for bad in import_file(book, path).bad]


def test_the_least_log_makes_people_a_game_and_its_pitches(book: Book, tmp_path: Path) -> None:
    done = import_file(book, write_log(tmp_path / "log.csv", *ROWS), date=dt.date(2026, 4, 18))
    assert (done.added, done.known, done.bad) == (4, 0, ())
    state = only_state(book)
    assert [logged.pitch.result for logged in state.log] == [
        "ball",
        "foul",
        "in play",
        "called strike",
    ]
    assert str(state.count) == "0-1"
    assert {person.name for person in book.people("Them")} == {"Lew Toll", "Moe Pratt"}
    assert {person.name for person in book.people("Us")} == {"Ash Reed"}
    assert book.games()[0].date == dt.date(2026, 4, 18)


def test_reading_the_same_file_again_adds_nothing(book: Book, tmp_path: Path) -> None:
    path = write_log(tmp_path / "log.csv", *ROWS)
    import_file(book, path)
    before = book.stamps(), book.people()
    done = import_file(book, path)
    assert (done.added, done.known, done.bad) == (0, 4, ())
    assert (book.stamps(), book.people()) == before


def test_column_order_is_free(book: Book, tmp_path: Path) -> None:
    names = HEADER.split(",")
    path = write_log(
        tmp_path / "log.csv",
        *(",".join(reversed(row.split(","))) for row in ROWS),
        header=",".join(reversed(names)),
    )
    assert import_file(book, path).added == 4


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("opener,3,1,0,0,Ash Reed,Gus Vane,fastbal,ball", "did you mean 'fastball'?"),
        ("opener,3,1,0,0,Ash Reed,Gus Vane,fastball,swing and miss", "unknown result"),
        ("opener,3,1,6,1,Ash Reed,Gus Vane,fastball,ball", "no count 6-1"),
        ("opener,3,1,2,1,Ash Reed,Gus Vane,fastball,ball", "count 2-1 does not follow"),
        ("opener,2,2,1,1,Ash Reed,Moe Pratt,fastball,ball", "after a called strike on 0-0"),
        ("opener,2,2,0,0,Ash Reed,Moe Pratt,fastball,ball", "the count is 0-1"),
        ("opener,1,4,1,1,Ash Reed,Lew Toll,fastball,ball", "at-bat 1 ended"),
        ("opener,2,1,0,0,Ash Reed,Moe Pratt,fastball,ball", "is in line 5 already"),
        ("opener,3,0,0,0,Ash Reed,Gus Vane,fastball,ball", "pitch_no 0 cannot be"),
        ("opener,x,1,0,0,Ash Reed,Gus Vane,fastball,ball", "at_bat 'x' is not a number"),
        ("opener,3,1.5,0,0,Ash Reed,Gus Vane,fastball,ball", "not a whole number"),
        ("opener,3,1,,0,Ash Reed,Gus Vane,fastball,ball", "balls is empty"),
        ("opener,3,1,0,0,Ash Reed,,fastball,ball", "hitter is empty"),
        ("opener,3,1,0,0,,Gus Vane,fastball,ball", "pitcher is empty"),
        ("opener,3,1,0,0,Ash Reed,Gus Vane,,ball", "pitch is empty"),
        (",3,1,0,0,Ash Reed,Gus Vane,fastball,ball", "game is empty"),
        ("opener,3,1,0,0,Ash Reed,Gus Vane,fastball", "has 8 cells where the header has 9"),
    ],
)
def test_a_bad_row_is_named_by_line_and_reason_and_nothing_is_read(
    book: Book, tmp_path: Path, row: str, says: str
) -> None:
    path = write_log(tmp_path / "log.csv", *ROWS, row)
    done = import_file(book, path)
    assert [bad.line for bad in done.bad] == [6]
    assert says in done.bad[0].reason
    assert done.added == 0
    assert book.games() == []
    assert book.people() == []


@pytest.mark.parametrize(
    ("names", "cells", "says"),
    [
        ("cell", "down-outside", "did you mean 'down-middle'?"),
        ("cell", "nowhere", "is off the map"),
        ("target", "left field", "is off the map"),
        ("side_in", "400", "off the map"),
        ("height_in", "-90", "off the map"),
        ("side_in", "nan", "is not a number"),
        ("top_in,bottom_in", "21,38", "strike zone from 38 to 21"),
        ("speed_mph", "990", "speed_mph 990 cannot be; it is 15 to 115"),
        ("play", "single", "the result is ball"),
        ("moves", "1-5", "does not say where a runner went"),
        ("outs", "3", "outs 3 cannot be; it is 0 to 2"),
        ("bats", "S", "unknown bats 'S'"),
        ("date", "18/04/2026", "write it as 2026-04-18"),
        ("bunt", "maybe", "neither 0 nor 1"),
        ("half,home,pitching", "top,us,them", "one of them is wrong"),
        ("level", "pony", "unknown level 'pony'"),
        ("rules", "street", "unknown rule set 'street'"),
    ],
)
def test_a_cell_that_cannot_be_is_refused(
    book: Book, tmp_path: Path, names: str, cells: str, says: str
) -> None:
    header, *rows = with_columns(names, cells)
    reasons = lines_and_reasons(book, write_log(tmp_path / "log.csv", *rows, header=header))
    assert reasons[0][0] == 2
    assert says in reasons[0][1]


def test_every_bad_row_is_named_not_only_the_first(book: Book, tmp_path: Path) -> None:
    rows = [
        ROWS[0],
        ROWS[1].replace("changeup", "chanegup"),
        ROWS[2],
        ROWS[3].replace(",0,0", ",7,0"),
    ]
    path = write_log(tmp_path / "log.csv", *rows)
    assert [line for line, _ in lines_and_reasons(book, path)] == [3, 5]


def test_keep_good_keeps_the_rest_and_the_corrected_file_fills_the_gap(
    book: Book, tmp_path: Path
) -> None:
    spoilt = [ROWS[0], ROWS[1].replace("changeup", "chanegup"), *ROWS[2:]]
    done = import_file(book, write_log(tmp_path / "a.csv", *spoilt), keep_good=True)
    assert (done.added, [bad.line for bad in done.bad]) == (3, [3])
    done = import_file(book, write_log(tmp_path / "b.csv", *ROWS))
    assert (done.added, done.known, done.bad) == (1, 3, ())
    assert [logged.pitch.pitch for logged in only_state(book).log] == [
        "fastball",
        "changeup",
        "curveball",
        "fastball",
    ]


def test_a_whole_at_bat_that_was_missing_is_put_in_its_place(book: Book, tmp_path: Path) -> None:
    third = "opener,3,1,0,0,Ash Reed,Gus Vane,slider,ball"
    import_file(book, write_log(tmp_path / "a.csv", *ROWS[:3], third))
    done = import_file(book, write_log(tmp_path / "b.csv", *ROWS, third))
    assert (done.added, done.known, done.bad) == (1, 4, ())
    log = only_state(book).log
    assert [logged.before.at_bat for logged in log] == [1, 1, 1, 2, 3]
    people = book.everyone()
    assert [people[logged.before.hitter].name for logged in log[2:]] == [
        "Lew Toll",
        "Moe Pratt",
        "Gus Vane",
    ]


def test_more_of_the_same_game_goes_to_its_end(book: Book, tmp_path: Path) -> None:
    import_file(book, write_log(tmp_path / "a.csv", *ROWS[:2]))
    done = import_file(book, write_log(tmp_path / "b.csv", *ROWS))
    assert (done.added, done.known, done.bad) == (2, 2, ())
    assert len(only_state(book).log) == 4


def test_a_game_logged_to_meanwhile_is_not_written_over(book: Book, tmp_path: Path) -> None:
    import_file(book, write_log(tmp_path / "a.csv", *ROWS[:2]))
    reading = read_files(book, write_log(tmp_path / "b.csv", *ROWS))
    (game,) = book.games()
    book.append(game.id, "add", entry=Event(event="note", reason="rain"))
    with pytest.raises(BookError, match="read the file again"):
        reading.write()
    assert len(only_state(book).log) == 2


def test_a_pitch_that_differs_from_the_book_is_refused(book: Book, tmp_path: Path) -> None:
    import_file(book, write_log(tmp_path / "a.csv", *ROWS))
    changed = [
        ROWS[0].replace("fastball", "slider"),
        *ROWS[1:3],
        ROWS[3].replace("Moe Pratt", "Gus Vane"),
    ]
    done = import_file(book, write_log(tmp_path / "b.csv", *changed))
    assert done.known == 2
    assert done.bad[0].reason == (
        "at-bat 1 pitch 1 of opener is in the book with pitch 'fastball', not 'slider'"
    )
    assert "with hitter Moe Pratt, not Gus Vane" in done.bad[1].reason
    assert "Gus Vane" not in {person.name for person in book.people()}


def test_gaps_in_pitch_numbers_and_unknown_results_are_tolerated_but_never_four_balls(
    book: Book, tmp_path: Path
) -> None:
    rows = (
        "opener,1,2,1,0,Ash Reed,Lew Toll,fastball,unknown",
        "opener,1,3,2,0,Ash Reed,Lew Toll,fastball,ball",
        "opener,1,6,3,2,Ash Reed,Lew Toll,fastball,foul",
    )
    path = write_log(tmp_path / "log.csv", *rows)
    assert import_file(book, path).added == 3
    assert [logged.before.pitch_no for logged in only_state(book).log] == [2, 3, 6]
    assert import_file(book, path).known == 3
    worse = write_log(tmp_path / "b.csv", *rows, "opener,1,8,4,2,Ash Reed,Lew Toll,fastball,foul")
    assert "no count 4-2" in import_file(book, worse).bad[0].reason


def test_a_league_that_starts_at_one_and_one_is_read_by_its_rules(
    book: Book, tmp_path: Path
) -> None:
    path = write_log(tmp_path / "log.csv", "opener,1,1,1,1,Ash Reed,Lew Toll,fastball,ball")
    assert "the count is 0-0" in import_file(book, path).bad[0].reason
    assert import_file(book, path, rules="scrimmage").added == 1


def test_observed_outs_bases_and_score_are_kept_as_observed(book: Book, tmp_path: Path) -> None:
    header, *rows = with_columns(
        "inning,half,outs,on_first,on_second,on_third,score_us,score_them",
        "2,top,1,,1,Rex Ide,3,2",
        "2,top,2,0,0,Rex Ide,3,2",
        "2,top,2,0,0,Rex Ide,3,2",
        "4,top,0,,,,3,3",
    )
    assert import_file(book, write_log(tmp_path / "log.csv", *rows, header=header)).bad == ()
    moments = [logged.before for logged in only_state(book).log]
    people = book.everyone()
    assert [(m.inning, m.outs, m.score_us, m.score_them) for m in moments] == [
        (2, 1, 3, 2),
        (2, 2, 3, 2),
        (2, 2, 3, 2),
        (4, 0, 3, 3),
    ]
    assert moments[0].on_second == "1"
    assert people[moments[0].on_third].name == "Rex Ide"
    assert moments[3].bases == ("", "", "")


def test_both_sides_pitching_makes_a_game_of_both_halves(book: Book, tmp_path: Path) -> None:
    header, *rows = with_columns(
        "pitching,half,inning", "us,top,1", "us,top,1", "us,top,1", "them,bottom,1"
    )
    rows[3] = rows[3].replace("Ash Reed,Moe Pratt", "Vic Oman,Bo Lind")
    assert import_file(book, write_log(tmp_path / "log.csv", *rows, header=header)).bad == ()
    (game,) = book.games()
    assert (game.both_halves, game.home) == (True, "us")
    log = only_state(book).log
    assert [logged.before.pitching for logged in log] == ["us", "us", "us", "them"]
    assert {p.name for p in book.people("Us")} == {"Ash Reed", "Bo Lind"}
    assert {p.name for p in book.people("Them")} == {"Lew Toll", "Vic Oman"}


def test_their_pitching_alone_can_be_read(book: Book, tmp_path: Path) -> None:
    rows = [f"opener,{n},1,0,0,Vic Oman,Hitter {n},fastball,in play,out,them" for n in range(1, 5)]
    path = write_log(tmp_path / "log.csv", *rows, header=f"{HEADER},play,pitching")
    assert import_file(book, path).bad == ()
    moments = [logged.before for logged in only_state(book).log]
    assert [(m.inning, m.half, m.outs) for m in moments] == [
        (1, "bottom", 0),
        (1, "bottom", 1),
        (1, "bottom", 2),
        (2, "bottom", 0),
    ]
    assert {m.pitching for m in moments} == {"them"}
    assert import_file(book, path).known == 4


def test_a_half_that_does_not_go_with_the_rows_before_it_is_refused(
    book: Book, tmp_path: Path
) -> None:
    header, *rows = with_columns("pitching,half", "us,top", "us,top", "us,bottom", "us,top")
    (bad,) = import_file(book, write_log(tmp_path / "log.csv", *rows, header=header)).bad
    assert bad.line == 4
    assert "does not go with line 2" in bad.reason


def test_a_message_stays_on_one_line_whatever_the_cell_holds(book: Book, tmp_path: Path) -> None:
    row = 'opener,1,1,0,0,Ash Reed,Lew Toll,"fast\n\x1b[31mball ","ball"'
    (bad,) = import_file(book, write_log(tmp_path / "log.csv", row)).bad
    assert bad.reason == "unknown pitch 'fast [31mball'; did you mean 'fastball'?"


def test_places_are_stored_as_the_catcher_saw_them(book: Book, tmp_path: Path) -> None:
    header, *rows = with_columns(
        "bats,cell,target",
        "R,down-away,in",
        "R,down-right,left",
        "R,off-in,",
        "L,down-away,high-in",
    )
    assert import_file(book, write_log(tmp_path / "log.csv", *rows, header=header)).bad == ()
    pitches = [logged.pitch for logged in only_state(book).log]
    assert [(p.cell, p.target, p.entered) for p in pitches] == [
        ("down-right", "left", "hitter"),
        ("down-right", "left", "catcher"),
        ("off-left", "", "hitter"),
        ("down-left", "high-right", "hitter"),
    ]


def test_in_play_without_a_play_is_kept_with_a_warning(book: Book, tmp_path: Path) -> None:
    done = import_file(book, write_log(tmp_path / "log.csv", *ROWS))
    assert any("in play without a play" in warning for warning in done.warnings)


def test_rows_of_one_game_must_agree_on_the_game(book: Book, tmp_path: Path) -> None:
    header, *rows = with_columns("them", "Owls", "Owls", "Larks", "Owls")
    reasons = lines_and_reasons(book, write_log(tmp_path / "log.csv", *rows, header=header))
    assert [line for line, _ in reasons] == [4]
    assert reasons[0][1].startswith("them of game opener is Larks here and Owls in line 2; give")


def test_a_game_without_a_date_takes_it_from_its_name_or_warns(book: Book, tmp_path: Path) -> None:
    rows = [row.replace("opener", "owls 2025-05-06") for row in ROWS]
    done = import_file(book, write_log(tmp_path / "a.csv", *rows))
    assert book.games()[0].date == dt.date(2025, 5, 6)
    assert not any("date" in warning for warning in done.warnings)
    done = import_file(book, write_log(tmp_path / "b.csv", *ROWS))
    assert any("has no date" in warning for warning in done.warnings)


def test_our_only_team_is_meant_when_the_file_does_not_say(book: Book, tmp_path: Path) -> None:
    from sequencer.records.people import Team

    book.add_team(Team(name="Herons", ours=True))
    import_file(book, write_log(tmp_path / "a.csv", *ROWS), them="Owls")
    (game,) = book.games()
    assert (game.us, game.them) == ("Herons", "Owls")


def test_the_umpires_count_in_the_events_is_no_impossible_count(book: Book, tmp_path: Path) -> None:
    rows = (ROWS[0], "opener,1,2,0,1,Ash Reed,Lew Toll,changeup,foul")
    path = write_log(tmp_path / "log.csv", *rows)
    assert "count 0-1 does not follow" in import_file(book, path).bad[0].reason
    events = write_log(
        tmp_path / "events.csv",
        "opener,1,1,1,count,,,,,0-1",
        header="game,after_at_bat,after_pitch,order,event,who,from,to,for,reason",
    )
    assert import_file(book, path, events=events).bad == ()
    assert [str(log.before.strikes) for log in only_state(book).log] == ["0", "1"]
