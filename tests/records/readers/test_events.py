import datetime as dt
from pathlib import Path

from sequencer.records.readers import import_file
from sequencer.records.replay import replay
from sequencer.records.state import State
from sequencer.records.store import Book
from tests.records.readers.helpers import HEADER, write_log

EVENTS = "game,after_at_bat,after_pitch,order,event,who,from,to,for,reason"
PITCHES = (
    "opener,1,1,0,0,Ash Reed,Lew Toll,fastball,in play,single",
    "opener,2,1,0,0,Ash Reed,Moe Pratt,fastball,ball,",
    "opener,2,2,1,0,Ash Reed,Moe Pratt,fastball,in play,single",
    "opener,4,1,0,0,Bo Lind,Ned Oak,fastball,in play,double",
)


def read(book: Book, folder: Path, *events: str, pitches: tuple[str, ...] = PITCHES) -> list[str]:
    log = write_log(folder / "log.csv", *pitches, header=f"{HEADER},play")
    happened = write_log(folder / "events.csv", *events, header=EVENTS)
    done = import_file(book, log, events=happened, date=dt.date(2026, 4, 18))
    return [f"{bad.file} {bad.line}: {bad.reason}" for bad in done.bad]


def state_of(book: Book) -> State:
    (game,) = book.games()
    return replay(game, book.everyone(), book.rows(game.id))


def named(book: Book, *ids: str) -> list[str]:
    people = book.everyone()
    return [people[id_].name if id_ else "" for id_ in ids]


def test_pitches_and_events_together_replay_to_runners_and_score(
    book: Book, tmp_path: Path
) -> None:
    bad = read(
        book,
        tmp_path,
        "opener,2,1,1,steal,Lew Toll,1,2,,",
        "opener,2,2,1,intentional walk,Gus Vane,,,,",
        "opener,2,2,2,pitcher,Bo Lind,,,,",
        "opener,2,2,3,substitution,Pip Roe,,,Gus Vane,courtesy runner",
    )
    assert bad == []
    state = state_of(book)
    first, second = state.log[2], state.log[3]
    assert named(book, *first.before.bases) == ["", "Lew Toll", ""]
    assert named(book, second.before.pitcher, second.before.hitter) == ["Bo Lind", "Ned Oak"]
    assert second.before.at_bat == 4
    assert [h.event.event for h in state.happened if h.event.event == "intentional walk"]
    assert "Pip Roe" in named(book, *second.before.bases)
    assert state.score_them == second.before.score_them + second.after.runs
    assert state.problems == ()


def test_reading_pitches_and_events_again_adds_nothing(book: Book, tmp_path: Path) -> None:
    events = ("opener,2,1,1,steal,Lew Toll,1,2,,", "opener,2,2,1,visit,,,,,slow down")
    assert read(book, tmp_path, *events) == []
    before = book.stamps()
    done = import_file(book, tmp_path / "log.csv", events=tmp_path / "events.csv")
    assert (done.added, done.known) == (0, 6)
    assert book.stamps() == before


def test_events_read_after_their_pitches_are_put_in_their_places(
    book: Book, tmp_path: Path
) -> None:
    read(book, tmp_path)
    assert read(book, tmp_path, "opener,2,1,1,wild pitch,Lew Toll,1,2,,") == []
    state = state_of(book)
    assert named(book, *state.log[2].before.bases) == ["", "Lew Toll", ""]


def test_an_event_without_a_pitch_number_follows_its_at_bat_and_zero_opens_it(
    book: Book, tmp_path: Path
) -> None:
    assert read(book, tmp_path, "opener,1,,1,note,,,,,after", "opener,2,0,2,note,,,,,before") == []
    happened = [h for h in state_of(book).happened if h.event.event == "note"]
    assert [(h.event.reason, h.after_n) for h in happened] == [("after", 1), ("before", 1)]


def test_bad_events_are_named_by_their_own_file(book: Book, tmp_path: Path) -> None:
    bad = read(
        book,
        tmp_path,
        "opener,1,1,1,steals,Lew Toll,1,2,,",
        "opener,1,1,1,substitution,Pip Roe,,,,",
        "opener,1,1,1,count,,,,,five",
        "closer,1,1,1,note,,,,,x",
        "opener,1,1,1,steal,Lew Toll,1,5,,",
    )
    assert [text.split(":")[0] for text in bad] == [f"events.csv {line}" for line in range(2, 7)]
    assert "did you mean 'steal'?" in bad[0]
    assert "for is empty" in bad[1]
    assert "not a count" in bad[2]
    assert "no game closer" in bad[3]


def test_a_half_that_ended_by_itself_does_not_end_twice(book: Book, tmp_path: Path) -> None:
    outs = tuple(f"opener,{n},1,0,0,Ash Reed,Hitter {n},fastball,in play,out" for n in range(1, 5))
    assert read(book, tmp_path, "opener,3,1,1,half ended,,,,,three out", pitches=outs) == []
    assert [logged.before.inning for logged in state_of(book).log] == [1, 1, 1, 2]


def test_a_half_may_end_without_three_outs(book: Book, tmp_path: Path) -> None:
    outs = tuple(f"opener,{n},1,0,0,Ash Reed,Hitter {n},fastball,in play,out" for n in range(1, 4))
    assert read(book, tmp_path, "opener,2,1,1,half ended,,,,,run limit", pitches=outs) == []
    assert [logged.before.inning for logged in state_of(book).log] == [1, 1, 2]


def test_an_event_that_does_not_fit_is_kept_and_noted(book: Book, tmp_path: Path) -> None:
    assert read(book, tmp_path, "opener,2,1,1,steal,Lew Toll,3,home,,") == []
    state = state_of(book)
    assert len(state.problems) == 1
    assert named(book, *state.log[2].before.bases) == ["Lew Toll", "", ""]
    assert "steal" in {h.event.event for h in state.happened}
