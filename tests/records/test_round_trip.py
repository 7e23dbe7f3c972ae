import contextlib
import csv
import datetime as dt
import shutil
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from demo_scenarios import lay_out
from sequencer.baseball import pitches, zone
from sequencer.errors import BadInput, CoachError
from sequencer.live.session import Session
from sequencer.records.event import EVENTS, Event
from sequencer.records.frames import bullpen_frame, event_frame, pitch_frame
from sequencer.records.game import Entry, Game
from sequencer.records.health import examine
from sequencer.records.pitch import Observed, Pitch
from sequencer.records.readers import import_file, import_folder
from sequencer.records.store import Book, open_book
from sequencer.records.writers import WRITERS, export_book
from tests.records import rich_book


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def same_books(one: Book, two: Book) -> None:
    assert two.games() == one.games()
    assert two.people() == one.people()
    assert two.teams() == one.teams()
    assert two.bullpens() == one.bullpens()
    for frame in (pitch_frame, event_frame, bullpen_frame):
        pd.testing.assert_frame_equal(frame(one), frame(two))


@pytest.mark.parametrize("fmt", list(WRITERS))
def test_export_then_import_gives_the_same_book(tmp_path: Path, fmt: str) -> None:
    with open_book(tmp_path / "one.db") as one, open_book(tmp_path / "two.db") as two:
        rich_book.fill(one)
        files = export_book(one, tmp_path / "first", fmt)
        assert {file.name for file in files} == set(contents(tmp_path / "first"))
        done = import_file(two, tmp_path / "first")
        assert done.bad == ()
        assert done.warnings == ()
        export_book(two, tmp_path / "second", fmt)
        assert contents(tmp_path / "first") == contents(tmp_path / "second")
        same_books(one, two)
        assert len(pitch_frame(one)) > 15
        assert len(event_frame(one)) > 20
        assert examine(two).sound


def test_importing_an_export_again_adds_nothing(tmp_path: Path) -> None:
    with open_book(tmp_path / "one.db") as one:
        rich_book.fill(one)
        before = one.stamps()
        export_book(one, tmp_path / "out")
        done = import_file(one, tmp_path / "out")
        assert (done.added, done.bad) == (0, ())
        assert done.known > 50
        assert one.stamps() == before


def test_exported_pitches_are_a_pitch_log_of_their_own(tmp_path: Path) -> None:
    with open_book(tmp_path / "one.db") as one, open_book(tmp_path / "two.db") as two:
        rich_book.fill(one)
        export_book(one, tmp_path / "out")
        done = import_file(two, tmp_path / "out" / "pitches.csv", keep_good=True)
        told, kept = pitch_frame(one), pitch_frame(two)
        assert done.added == len(kept)
        # Without the events the umpire's count cannot be known; nothing else is lost.
        assert all("count" in bad.reason for bad in done.bad)
        same = ["game", "at_bat", "pitch_no", "pitch", "result", "cell", "hitter_id", "pitcher_id"]
        both = kept[same].merge(told[same], how="inner")
        assert len(both) == len(kept)


#: Columns and events a log of anybody else has not.
OURS_ALONE = {
    *("game_id", "pitcher_id", "hitter_id", "team", "target_when", "entered", "moves", "imported"),
    *("side", "slot", "bats", "balls", "strikes", "score_us", "score_them"),
}


def without(path: Path, columns: set[str], to: Path, *events: str) -> Path:
    with path.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row.get("event", "") not in events]
    names = [name for name in rows[0] if name not in columns]
    with to.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, names, extrasaction="ignore")
        writer.writeheader()
        writer.writerows(rows)
    return to


def test_a_season_told_in_plain_columns_replays_to_the_same_pitches(tmp_path: Path) -> None:
    lay_out(None, tmp_path / "one.db")
    with open_book(tmp_path / "one.db") as one, open_book(tmp_path / "two.db") as two:
        export_book(one, tmp_path / "out")
        plain = {"bats", "balls", "strikes", "score_us", "score_them"}
        log = without(
            tmp_path / "out" / "pitches.csv", OURS_ALONE - plain, tmp_path / "pitches.csv"
        )
        events = without(
            *(tmp_path / "out" / "events.csv", OURS_ALONE | {"at_bat"}, tmp_path / "events.csv"),
            *("at", "line-up", "score"),
        )
        done = import_file(two, log, events=events, keep_good=True)
        assert {bad.file for bad in done.bad} <= {"events.csv"}  # of a game not yet begun
        told, kept = pitch_frame(one), pitch_frame(two)
        alike = [c for c in told.columns if c not in OURS_ALONE - plain | {"catcher_id", "slot"}]
        pd.testing.assert_frame_equal(told[alike], kept[alike])
        assert len(told) > 300
        assert examine(two).notes == ()


def test_files_end_lines_with_a_line_feed_and_text_survives(tmp_path: Path) -> None:
    with open_book(tmp_path / "one.db") as one:
        rich_book.fill(one)
        export_book(one, tmp_path / "out")
    text = (tmp_path / "out" / "pitches.csv").read_bytes()
    assert b"\r\n" not in text
    assert b"more\rthree" in text
    assert not text.startswith(b"\xef\xbb\xbf")


def test_a_folder_with_other_files_is_left_alone_unless_forced(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear", encoding="utf-8")
    with open_book(tmp_path / "elsewhere.db") as book:
        (tmp_path / "out").mkdir()
        (tmp_path / "out" / "letter.txt").write_text("dear", encoding="utf-8")
        with pytest.raises(BadInput, match=r"holds other files \(letter\.txt\)"):
            export_book(book, tmp_path / "out")
        assert [path.name for path in (tmp_path / "out").iterdir()] == ["letter.txt"]
        export_book(book, tmp_path / "out", force=True)
        assert (tmp_path / "out" / "letter.txt").read_text(encoding="utf-8") == "dear"


def test_an_export_in_another_format_takes_the_place_of_the_earlier_one(tmp_path: Path) -> None:
    with open_book(tmp_path / "one.db") as one:
        rich_book.fill(one)
        export_book(one, tmp_path / "out", "csv")
        export_book(one, tmp_path / "out", "jsonl")
    assert {path.suffix for path in (tmp_path / "out").iterdir()} == {".jsonl"}


def test_a_folder_or_format_that_cannot_be_written_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    with open_book(tmp_path / "one.db") as one:
        with pytest.raises(BadInput, match="cannot be written"):
            export_book(one, tmp_path / "file")
        with pytest.raises(BadInput, match="one of csv, parquet, jsonl"):
            export_book(one, tmp_path / "out", "xlsx")


def test_a_broken_export_changes_nothing(tmp_path: Path) -> None:
    with open_book(tmp_path / "one.db") as one, open_book(tmp_path / "two.db") as two:
        rich_book.fill(one)
        export_book(one, tmp_path / "out")
        people = tmp_path / "out" / "people.csv"
        people.write_text(people.read_text(encoding="utf-8") + "broken\n", encoding="utf-8")
        with pytest.raises(BadInput, match=r"people\.csv line"):
            import_folder(two, tmp_path / "out")
        assert (two.people(), two.games()) == ([], [])


@pytest.mark.parametrize("fmt", ["csv", "jsonl"])
def test_marks_of_an_export_with_a_key_nobody_knows_are_refused(tmp_path: Path, fmt: str) -> None:
    with open_book(tmp_path / "one.db") as one, open_book(tmp_path / "two.db") as two:
        rich_book.fill(one)
        export_book(one, tmp_path / "out", fmt)
        marks = tmp_path / "out" / f"marks.{fmt}"
        marks.write_text(marks.read_text(encoding="utf-8").replace("how_often", "how_oftn"))
        with pytest.raises(BadInput, match=rf"marks\.{fmt} has .*'how_oftn' \(.*'how_often'\?\)"):
            import_folder(two, tmp_path / "out")
        assert two.people() == []


def test_a_column_of_an_export_that_is_left_out_is_told_with_its_table(tmp_path: Path) -> None:
    with open_book(tmp_path / "one.db") as one, open_book(tmp_path / "two.db") as two:
        rich_book.fill(one)
        export_book(one, tmp_path / "out")
        people = tmp_path / "out" / "people.csv"
        people.write_text(people.read_text(encoding="utf-8").replace("throws", "throw"))
        (told,) = import_file(two, tmp_path / "out").warnings
        assert told.startswith(
            "people.csv: column 'throw' is not one of ours and was left out; did"
        )


@pytest.fixture(scope="module")
def seeded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("seeded") / "book.db"
    with open_book(path) as book:
        rich_book.add_people(book)
    return path


@pytest.fixture(scope="module")
def blank(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("blank") / "book.db"
    open_book(path).close()
    return path


WHO = st.sampled_from(["p1", "p2", "c1", "h1", "h2", "h3", "h4", "h5", "h6", "h7", "dup"])
SEEN = st.builds(
    Observed,
    inning=st.sampled_from([None, None, 2, 3]),
    half=st.sampled_from([None, None, "top", "bottom"]),
    outs=st.sampled_from([None, 0, 1, 2]),
    on_first=st.sampled_from([None, "", "1", "h1"]),
    on_third=st.sampled_from([None, "", "1", "h6"]),
    score_us=st.sampled_from([None, 4]),
    balls=st.sampled_from([None, 0, 3]),
    pitch_no=st.sampled_from([None, None, 7]),
)
PLACES = st.sampled_from(["", *(zone.to_catcher(word, "R") for word in zone.CELL_WORDS)])
PITCHES = st.builds(
    Pitch,
    result=st.sampled_from(pitches.RESULTS),
    pitch=st.sampled_from(list(pitches.TYPES)),
    play=st.sampled_from(["", "single", "out", "error", "double play", "home run"]),
    cell=PLACES,
    target=st.sampled_from(["", "left", "high-right", "down-left"]),
    entered=st.sampled_from(["", "hitter", "catcher"]),
    bunt=st.booleans(),
    third_strike=st.sampled_from(["", "dropped"]),
    moves=st.sampled_from(["", "", "", "1-3", "b-2", "3-out"]),
    speed_mph=st.none() | st.floats(40, 105),
    exit_mph=st.none() | st.floats(20, 115),
    launch_deg=st.none() | st.floats(-85, 85),
    contact_value=st.none() | st.floats(0, 2.03),
    side_in=st.none() | st.floats(-60, 60),
    note=st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=8),
    observed=st.none() | st.none() | SEEN,
)
HAPPENINGS = st.builds(
    Event,
    event=st.sampled_from(EVENTS),
    who=st.just("") | WHO,
    for_whom=st.just("") | WHO,
    base_from=st.sampled_from(["", "1", "2", "3"]),
    base_to=st.sampled_from(["", "2", "3", "home", "out"]),
    side=st.sampled_from(["", "us", "them"]),
    slot=st.none() | st.integers(1, 9),
    bats=st.sampled_from(["", "R", "L"]),
    balls=st.none() | st.integers(0, 3),
    strikes=st.none() | st.integers(0, 2),
    reason=st.sampled_from(["", "rain", "courtesy runner"]),
    imported=st.booleans(),
)
SAID = st.lists(
    st.tuples(st.sampled_from(["add"] * 8 + ["undo", "correct", "insert"]), PITCHES | HAPPENINGS),
    max_size=30,
)


ABOUT = {"line-up", "at", "absent", "pitcher", "catcher"}


def told(event: Entry) -> bool:
    """Whether an entry is one that a person could have logged: who matters is named."""
    about = isinstance(event, Event) and event.event in ABOUT
    return not (about and isinstance(event, Event) and not event.who)


def log_what_can_be(log: Session, acts: list[tuple[str, Entry]]) -> None:
    for act, entry in acts:
        if not told(entry):
            continue
        middle = max(1, len(log.state.log) // 2)
        with contextlib.suppress(CoachError):
            if act == "add":
                log.add(entry)
            elif act == "insert":
                log.insert(middle, entry)
            elif act == "undo":
                log.undo()
            else:
                log.correct(middle, {"note": "again", "pitch": "slider"})


@settings(
    deadline=None,
    max_examples=25,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(acts=SAID, both=st.booleans(), home=st.sampled_from(["us", "them"]), data=st.data())
def test_any_game_that_can_be_logged_survives_export_and_import(
    tmp_path: Path,
    seeded: Path,
    blank: Path,
    acts: list[tuple[str, Entry]],
    both: bool,
    home: Any,
    data: st.DataObject,
) -> None:
    for name, source in (("one.db", seeded), ("two.db", blank)):
        shutil.copyfile(source, tmp_path / name)
    for name in ("first", "second"):
        shutil.rmtree(tmp_path / name, ignore_errors=True)
    rules = data.draw(st.sampled_from(["", "scrimmage", "college"]))
    game = Game(
        id="g", game="g", date=dt.date(2026, 4, 18), us=rich_book.US, them=rich_book.THEM,
        home=home, both_halves=both, rules=rules,
    )  # fmt: skip
    with open_book(tmp_path / "one.db") as one, open_book(tmp_path / "two.db") as two:
        one.add_game(game)
        log_what_can_be(Session(one, game), acts)
        export_book(one, tmp_path / "first")
        assert import_file(two, tmp_path / "first").bad == ()
        export_book(two, tmp_path / "second")
        assert contents(tmp_path / "first") == contents(tmp_path / "second")
        same_books(one, two)
