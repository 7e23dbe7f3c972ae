import datetime as dt
import subprocess
import sys
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from sequencer.baseball.pitches import family
from sequencer.baseball.zone import to_hitter
from sequencer.errors import BadInput
from sequencer.records import tables
from sequencer.records.columns import PITCH_COLUMNS, names
from sequencer.records.frames import (
    FRAME_COLUMNS,
    bullpen_frame,
    event_frame,
    pitch_frame,
    read_log,
)
from sequencer.records.readers import import_file
from sequencer.records.store import Book, open_book
from sequencer.records.writers import export_book
from tests.records import rich_book
from tests.records.readers.helpers import ROWS, with_columns, write_log


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    opened = open_book(tmp_path_factory.mktemp("frames") / "book.db")
    rich_book.fill(opened)
    return opened


@pytest.fixture(scope="module")
def frame(book: Book) -> pd.DataFrame:
    return pitch_frame(book)


def test_a_pitch_frame_has_every_column_of_the_log_and_the_declared_more(
    frame: pd.DataFrame,
) -> None:
    assert tuple(frame.columns) == names(FRAME_COLUMNS)
    assert set(names(PITCH_COLUMNS)) < set(frame.columns)


def test_places_are_in_the_hitters_words(book: Book, frame: pd.DataFrame) -> None:
    to_a_lefty = frame[(frame["bats"] == "L") & (frame["cell"] == "belt-off-in")]
    assert list(to_a_lefty["result"]) == ["foul tip"]
    assert not frame["cell"].str.contains("left|right", regex=True).any()


def test_merged_people_are_told_once(frame: pd.DataFrame) -> None:
    assert "dup" not in set(frame["hitter_id"])
    merged = frame[frame["hitter_id"] == "c1"]
    assert set(merged["hitter"]) == {"Cy Marsh"}
    assert len(merged) > 0


def test_types_are_declared_and_missing_numbers_are_nan(frame: pd.DataFrame) -> None:
    text = pd.StringDtype("python", na_value=np.nan)
    assert frame["pitch"].dtype == text
    assert frame["on_first"].dtype == text
    assert frame["balls"].dtype == np.int64
    assert frame["speed_mph"].dtype == np.float64
    assert frame["shakes"].dtype == np.float64
    assert frame["bunt"].dtype == np.bool_
    assert str(frame["date"].dtype) == "datetime64[ns]"
    assert frame["speed_mph"].isna().sum() == len(frame) - 1
    assert frame["note"].isna().sum() == 0


def test_an_empty_book_gives_the_same_types(tmp_path: Path, frame: pd.DataFrame) -> None:
    with open_book(tmp_path / "book.db") as empty:
        none = pitch_frame(empty)
    assert len(none) == 0
    pd.testing.assert_series_equal(none.dtypes, frame.dtypes)


def test_what_follows_from_the_log_is_there(frame: pd.DataFrame) -> None:
    for _, game in frame.groupby("game_id"):
        assert list(game["n"]) == list(range(1, len(game) + 1))
    assert list(frame["family"]) == [family(pitch) for pitch in frame["pitch"]]
    ended = frame[frame["end"] != ""]
    assert (ended["end"] == "in play").equals(ended["result"] == "in play")
    assert frame["outs_after"].between(0, 3).all()
    assert set(frame["bases_after"]) <= {"", "1", "2", "3", "12", "13", "23", "123"}


def test_each_row_of_a_frame_is_the_pitch_replay_has(book: Book, frame: pd.DataFrame) -> None:
    rows = iter(frame.to_dict("records"))
    people = book.everyone()
    for state in tables.states(book):
        for logged, row in zip(state.log, rows, strict=False):
            pitch, before, after = logged.pitch, logged.before, logged.after
            assert (row["game_id"], row["n"], row["slot"]) == (state.game.id, logged.n, before.slot)
            assert (row["pitcher_id"], row["hitter_id"]) == (before.pitcher, before.hitter)
            assert row["hitter"] == people[before.hitter].label
            assert row["team"] == people[before.hitter].team
            assert row["on_first"] == (people[before.on_first].label if before.on_first else "")
            assert (row["balls"], row["strikes"], row["outs"]) == (
                *(before.balls, before.strikes),
                before.outs,
            )
            assert (row["result"], row["pitch"], row["note"]) == (
                *(pitch.result, pitch.pitch),
                pitch.note,
            )
            for place in ("cell", "target"):
                assert row[place] == to_hitter(getattr(pitch, place), before.bats)
            assert row["imported"] == (pitch.observed is not None)
            assert row["family"] == family(pitch.pitch)
            assert row["called_family"] == (family(pitch.called) if pitch.called else "")
            assert (row["end"], row["runs"], row["outs_after"]) == (
                *(after.end, after.runs),
                after.outs,
            )
            assert len(row["bases_after"]) == sum(map(bool, after.bases))
    assert next(rows, None) is None


def test_a_book_without_games_is_narrowed_to_nothing(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as empty:
        assert pitch_frame(empty, team="Herons", pitcher="Vela").empty


def test_frames_are_narrowed_by_team_pitcher_day_and_game(book: Book, frame: pd.DataFrame) -> None:
    ours = pitch_frame(book, team=rich_book.US)
    assert 0 < len(ours) < len(frame)
    assert set(ours["pitching"]) == {"us"}
    reed = pitch_frame(book, pitcher="ash reed")
    assert set(reed["pitcher_id"]) == {"p1"}
    assert len(pitch_frame(book, pitcher="p1")) == len(reed)
    assert len(pitch_frame(book, game="opener")) + len(pitch_frame(book, game="g2")) == len(frame)
    assert len(pitch_frame(book, since="2026-04-19")) == 0
    assert len(pitch_frame(book, since=dt.date(2026, 4, 18))) == len(frame)
    with pytest.raises(BadInput, match="not a date"):
        pitch_frame(book, since="yesterday")


def test_events_and_bullpens_have_frames(book: Book) -> None:
    events = event_frame(book)
    assert {"steal", "count", "substitution", "half ended"} <= set(events["event"])
    assert set(events.loc[events["event"] == "pitcher", "who"]) == {"Ash Reed", "Bo Lind"}
    throws = bullpen_frame(book)
    assert len(throws) == 3
    assert list(throws["target"]) == ["down-right", "low-away", ""]
    assert throws["strike"].isna().sum() == 1
    assert len(bullpen_frame(book, pitcher="p2")) == 0


def test_a_log_is_read_to_the_same_frame_as_through_a_book(tmp_path: Path) -> None:
    header, *rows = with_columns(
        "bats,cell,date", *["R,down-away,2026-04-18"] * 3, "L,up-in,2026-04-18"
    )
    path = write_log(tmp_path / "log.csv", *rows, header=header)
    with open_book(tmp_path / "book.db") as own:
        import_file(own, path)
        pd.testing.assert_frame_equal(read_log(path, replayed=True), pitch_frame(own))


def test_an_export_is_read_to_the_frame_of_its_book(
    book: Book, frame: pd.DataFrame, tmp_path: Path
) -> None:
    export_book(book, tmp_path / "out")
    pd.testing.assert_frame_equal(read_log(tmp_path / "out"), frame)


def test_a_log_with_bad_rows_is_refused_naming_them_unless_the_good_are_enough(
    tmp_path: Path,
) -> None:
    path = write_log(tmp_path / "log.csv", *ROWS, ROWS[0], "opener,9,1,5,0,A,B,fastball,ball")
    with pytest.raises(BadInput, match=r"log\.csv line 6: .*; log\.csv line 7: "):
        read_log(path)
    assert len(read_log(path, keep_good=True)) == 4


WITHOUT_PYARROW = """
import sys
sys.modules["pyarrow"] = None
from sequencer.records.frames import read_log
frame = read_log(sys.argv[1])
print(";".join(f"{name}={dtype!r}" for name, dtype in frame.dtypes.items()))
print(frame.to_csv(lineterminator="|"))
"""


def test_a_frame_is_the_same_without_pyarrow(tmp_path: Path) -> None:
    header, *rows = with_columns("date,speed_mph", *["2026-04-18,70.5", "2026-04-18,"] * 2)
    path = write_log(tmp_path / "log.csv", *rows, header=header)
    run = subprocess.run(
        [sys.executable, "-c", WITHOUT_PYARROW, str(path)],
        capture_output=True,
        text=True,
        check=True,
    )
    types, content = run.stdout.strip().split("\n")
    here = read_log(path)
    assert types == ";".join(f"{name}={dtype!r}" for name, dtype in here.dtypes.items())
    assert content == here.to_csv(lineterminator="|")
