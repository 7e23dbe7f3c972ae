"""A log read by column gives what replaying its games gives, and refuses the same rows."""

import contextlib
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sequencer.baseball import pitches
from sequencer.baseball.count import START, after
from sequencer.errors import BadInput
from sequencer.records import frames
from sequencer.records.frames import read_log
from sequencer.records.store import open_book
from sequencer.records.writers import export_book
from tests.records import rich_book
from tests.records.readers.helpers import HEADER, ROWS, with_columns, write_log

Row = dict[str, str]

EXAMPLES = 30

_RESULTS = [word for word in pitches.RESULTS if word]
_WORDS: dict[str, list[str]] = {
    "called": ["", "fastball", "Changeup", " curveball "],
    "target": ["", "away", "Low-Away", "down-away", "unknown", "low-left"],
    "cell": ["", "down-away", "belt-middle", "above", "off-in", "down-right", "Unknown"],
    "side_in": ["", "0", "-8.5", "17"],
    "height_in": ["", "30", "12.25", "-3e0"],
    "top_in": ["", "42", "41.5"],
    "bottom_in": ["", "18", "17.5"],
    "speed_mph": ["", "90", "71.5", "1e2"],
    "shakes": ["", "0", "2"],
    "launch_deg": ["", "-12.5", "28"],
    "timing": ["", "early", "On  Time", "late"],
    "tells": ["", "glove", "glove;arm ; ", "glove height = 31;arm"],
    "note": ["", "a note", " 'quoted', and more "],
    "catcher": ["", "Cy Marsh", "#4"],
    "on_first": ["", "0", "Abe Fox"],
    "outs": ["0", "1", "2"],
    "bunt": ["", "0"],
}
_GAMES = ["a", "b", "b 2026-04-02"]
_HITTERS = ["Lew Toll", "Moe Pratt", "7", "#12", "Ned Oak #3"]
_PITCHERS = ["Ash Reed", "11"]


@st.composite
def logs(draw: st.DrawFn) -> list[Row]:
    """Small logs whose counts follow, with some columns more, in any order of rows."""
    more = draw(st.lists(st.sampled_from(sorted(_WORDS)), unique=True, max_size=6))
    sided = draw(st.sampled_from(["", "bats", "bats throws"])).split()
    innings, halves = draw(st.booleans()), draw(st.sampled_from([["top"], ["", "top"]]))
    rows: list[Row] = []
    for game in draw(st.lists(st.sampled_from(_GAMES), unique=True, min_size=1)):
        number = 0
        for _ in range(draw(st.integers(1, 4))):
            number += draw(st.integers(1, 2))
            who = {
                "game": game,
                "at_bat": str(number),
                "pitcher": draw(st.sampled_from(_PITCHERS)),
                "hitter": draw(st.sampled_from(_HITTERS)),
            }
            if innings:
                who |= {"inning": str(1 + number // 3), "half": draw(st.sampled_from(halves))}
            rows += _at_bat(draw, who, more, sided)
    return list(draw(st.permutations(rows)))


def _at_bat(draw: st.DrawFn, who: Row, more: list[str], sided: list[str]) -> list[Row]:
    rows, count = [], START
    hands = {"bats": draw(st.sampled_from(["R", "l", ""])), "throws": "R"}
    for number in range(1, draw(st.integers(1, 6)) + 1):
        result = draw(st.sampled_from(_RESULTS))
        row = who | {name: hands[name] for name in sided}
        row |= {
            "pitch_no": str(number),
            "balls": str(count.balls),
            "strikes": str(count.strikes),
            "pitch": draw(st.sampled_from(["fastball", "Slider", " four-seam", "unknown"])),
            "result": draw(st.sampled_from([result, result.upper(), result.replace("'", "’")])),
        }
        row |= {name: draw(st.sampled_from(_WORDS[name])) for name in more}
        rows.append(row)
        swung = bool(row.get("timing"))
        step = after(count, result, swung=swung)
        count = step.count
        if step.end:
            break
    return rows


@pytest.fixture(scope="module", autouse=True)
def one_empty_book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Reading a log writes nothing to the book it is read for: all of them share one."""
    with (
        open_book(tmp_path_factory.mktemp("empty") / "book.db") as book,
        pytest.MonkeyPatch.context() as patch,
    ):
        patch.setattr(frames, "open_book", lambda path: contextlib.nullcontext(book))
        yield


def _written(folder: Path, rows: list[Row], kind: str = "csv") -> Path:
    path = folder / f"log.{kind}"
    if kind == "csv":
        pd.DataFrame(rows).fillna("").to_csv(path, index=False)
    elif kind == "parquet":
        pd.DataFrame(rows).fillna("").to_parquet(path)
    else:
        path.write_text("".join(json.dumps(row) + "\n" for row in rows), encoding="utf-8")
    return path


#: What a replay fills in where the file leaves it empty.
_DERIVED = {
    *("inning", "half", "outs", "on_first", "on_second", "on_third", "score_us", "score_them"),
    "catcher",
}


def _check_same(path: Path, **how: Any) -> None:
    """Both ways give the same columns, where the file says something."""
    by_column, replayed = read_log(path, **how), read_log(path, replayed=True, **how)
    assert len(by_column) == len(replayed)
    assert list(by_column.columns) == [
        name for name in replayed.columns if name in by_column.columns
    ]
    for name in by_column.columns:
        ours, theirs = by_column[name], replayed[name]
        if name in _DERIVED:
            said = ours.notna() & (ours.astype(str) != "") & (ours.astype(str) != "1")
            ours, theirs = ours[said], theirs[said].astype(ours.dtype)
        pd.testing.assert_series_equal(ours, theirs, check_exact=True)


@settings(deadline=None, max_examples=EXAMPLES, suppress_health_check=list(HealthCheck))
@given(rows=logs(), kind=st.sampled_from(["csv", "jsonl"]))
def test_any_log_read_by_column_is_as_replayed(tmp_path: Path, rows: list[Row], kind: str) -> None:
    _check_same(_written(tmp_path, rows, kind))


def test_a_place_said_of_a_hitter_seen_from_both_sides_is_read_alike(tmp_path: Path) -> None:
    plain = {
        "at_bat": "1",
        "pitch_no": "1",
        "pitcher": "Ash Reed",
        "hitter": "Lew Toll",
        "balls": "0",
        "strikes": "0",
        "pitch": "fastball",
        "result": "ball",
    }
    rows = [
        {"game": "a", **plain, "bats": "R"},
        {"game": "b", **plain, "bats": "L"},
        {"game": "c", **plain, "target": "low-left"},
    ]
    _check_same(_written(tmp_path, rows))


_SLIPS: dict[str, list[str]] = {
    "pitch": ["", "slidr", "zzz"],
    "result": ["", "bal", "in play", "ball"],
    "balls": ["", "4", "x", "2", "nan", "1_0"],
    "strikes": ["", "3", "-1", "1.5", "inf"],
    "at_bat": ["", "0", "1", "100000"],
    "pitch_no": ["", "1", "7", "0"],
    "hitter": ["", "Lew Toll #1", "Lew Toll #2", "Lew Toll"],
    "pitcher": [""],
    "game": ["", "a"],
    "speed_mph": ["900", "-3", "fast", "1e400"],
    "side_in": ["4000", "61", "left"],
    "exit_mph": ["131", "hard"],
    "height_in": ["121", "-30"],
    "top_in": ["20"],
    "bottom_in": ["40", "nan"],
    "cell": ["down-away-left", "x"],
    "play": ["single", "out", "touchdown"],
    "moves": ["1-3", "b-2", "nonsense", "2-out"],
    "half": ["top", "bottom", "middle"],
    "pitching": ["us", "them"],
    "home": ["us", "them"],
    "date": ["2026-04-01", "2026-04-02", "01.04.2026"],
    "level": ["college", "collage"],
    "rules": ["scrimmage", "none such"],
    "us": ["Heron Creek", "Gull Harbor"],
    "hitter_no": ["1", "2"],
    "imported": ["0", "1"],
}


def _outcome(path: Path, **how: Any) -> str:
    try:
        return f"{len(read_log(path, **how))} rows"
    except BadInput as error:
        return str(error)


@settings(deadline=None, max_examples=EXAMPLES, suppress_health_check=list(HealthCheck))
@given(rows=logs(), data=st.data())
def test_any_slip_is_refused_by_column_as_it_is_by_replay(
    tmp_path: Path, rows: list[Row], data: st.DataObject
) -> None:
    for _ in range(data.draw(st.integers(1, 4))):
        name = data.draw(st.sampled_from(sorted(_SLIPS)))
        slip = data.draw(st.sampled_from(_SLIPS[name]))
        row = data.draw(st.sampled_from(rows))
        row[name] = slip
    path = _written(tmp_path, rows)
    assert _outcome(path) == _outcome(path, replayed=True)
    assert _outcome(path, keep_good=True) == _outcome(path, keep_good=True, replayed=True)


def test_an_export_read_alone_is_as_replayed(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        rich_book.fill(book)
        export_book(book, tmp_path / "out")
    both = [read_log(tmp_path / "out" / "pitches.csv", replayed=whole) for whole in (False, True)]
    assert len(both[0]) == len(both[1]) > 15
    for name in ("pitch", "result", "balls", "strikes", "cell", "target", "side_in", "note", "us"):
        pd.testing.assert_series_equal(both[0][name], both[1][name])


def test_parquet_is_read_by_column(tmp_path: Path) -> None:
    pytest.importorskip("pyarrow")
    header, *rows = with_columns("bats,speed_mph", *["R,70.5"] * 4)
    path = write_log(tmp_path / "log.csv", *rows, header=header)
    frame = pd.read_csv(path)
    frame.to_parquet(tmp_path / "log.parquet")
    pd.testing.assert_frame_equal(read_log(path), read_log(tmp_path / "log.parquet"))


def test_a_mapping_file_is_followed_by_column(tmp_path: Path) -> None:
    header = "Match,PA,n,b,s,Arm,Up,Type,Call,kmh"
    rows = ("m,1,1,0,0,Ash Reed,Lew Toll,heater,looking,130", "m,1,2,0,1,Ash Reed,Lew Toll,x,ball,")
    path = write_log(tmp_path / "log.csv", *rows, header=header)
    mapping = tmp_path / "map.toml"
    mapping.write_text(
        "[columns]\nMatch = 'game'\nPA = 'at_bat'\nn = 'pitch_no'\nb = 'balls'\ns = 'strikes'\n"
        "Arm = 'pitcher'\nUp = 'hitter'\nType = 'pitch'\nCall = 'result'\nkmh = 'speed_mph'\n"
        "[words.pitch]\nheater = 'fastball'\nx = 'slider'\n[words.result]\n"
        "looking = 'called strike'\n[values]\nbats = 'L'\n[units]\nspeed_mph = 0.5\n",
        encoding="utf-8",
    )
    frame = read_log(path, mapping=mapping)
    assert list(frame["pitch"]) == ["fastball", "slider"]
    assert list(frame["bats"]) == ["L", "L"]
    assert frame["speed_mph"].iloc[0] == 65
    _check_same(path, mapping=mapping)


def test_games_are_in_the_order_played_and_pitches_in_the_order_thrown(tmp_path: Path) -> None:
    header, *rows = with_columns("date", *["2026-04-19"] * 4)
    early = [row.replace("opener", "early").replace("-19", "-18") for row in rows]
    path = write_log(tmp_path / "log.csv", *rows[::-1], *early[::-1], header=header)
    frame = read_log(path)
    assert list(frame["game"]) == ["early"] * 4 + ["opener"] * 4
    assert list(frame["n"]) == [1, 2, 3, 4] * 2
    assert list(frame["pitch_no"]) == [1, 2, 3, 1] * 2


def test_a_count_that_does_not_follow_is_named_by_its_line(tmp_path: Path) -> None:
    path = write_log(tmp_path / "log.csv", *ROWS, "opener,3,1,0,2,Ash Reed,Lew Toll,fastball,ball")
    with pytest.raises(BadInput) as refused:
        read_log(path)
    assert str(refused.value) == (
        "log.csv line 6: count 0-2 does not follow: at the start of an at-bat the count is 0-0"
    )


def test_what_a_row_cannot_be_is_named_by_line_and_reason(tmp_path: Path) -> None:
    header, *rows = with_columns("speed_mph,side_in", "900,", ",4000", "fast,", "70,1")
    path = write_log(tmp_path / "log.csv", *rows, header=header)
    with pytest.raises(BadInput) as refused:
        read_log(path)
    assert str(refused.value) == (
        "log.csv line 2: speed_mph 900 cannot be; it is 15 to 115; "
        "log.csv line 3: A pitch at 4000 inches to the side and 30 inches up is off the map: the "
        "side goes from -60 to 60, the height from -24 to 120 inches.; "
        "log.csv line 4: speed_mph 'fast' is not a number"
    )


def test_a_log_that_is_wrong_all_through_is_not_read_to_its_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(frames, "_ENOUGH", 5)
    games = [[row.replace("opener", f"g{n}") for row in ROWS] for n in range(4)]
    path = write_log(tmp_path / "log.csv", *(row for game in games for row in game * 2))
    with pytest.raises(
        BadInput, match=r"log\.csv line 6: .* in line 2 already; .* at least 5 more"
    ):
        read_log(path)
    assert len(read_log(path, keep_good=True)) == 16


def test_a_missing_column_is_told_before_rows_are_read(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text(HEADER.replace("pitch_no,", "") + '\n"never closed\n', encoding="utf-8")
    with pytest.raises(BadInput, match="has no column pitch_no"):
        read_log(path)


def test_a_header_alone_is_a_log_without_pitches(tmp_path: Path) -> None:
    path = write_log(tmp_path / "log.csv")
    assert len(read_log(path)) == 0
    pd.testing.assert_series_equal(
        read_log(path).dtypes, read_log(write_log(tmp_path / "two.csv", *ROWS)).dtypes
    )
