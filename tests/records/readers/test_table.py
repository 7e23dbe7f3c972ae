import builtins
from pathlib import Path
from typing import Any

import pytest

from sequencer.errors import BadInput
from sequencer.records.columns import PITCH_COLUMNS
from sequencer.records.readers.table import checked, read_table
from tests.records.readers.helpers import HEADER, ROWS


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "is empty"),
        (b" \n\r\n", "is empty"),
        (b"\xef\xbb\xbf", "no header line"),
        (b",,\n1,2,3\n", "no header line"),
        ("game,h\n1,caf\xe9\n".encode("latin-1"), "byte 13, in line 2, is 0xe9; save the file"),
        ("game\n1\n".encode("utf-16"), "is UTF-16, not UTF-8"),
        (b"game\n\x00\n", "NUL byte in line 2"),
        (b"PK\x03\x04rest", "spreadsheet or zip"),
        (b"game,game\n1,2\n", "has the column game twice"),
        (b'game\n"never closed\n2\n', "not a CSV file from line 2 on"),
    ],
)
def test_a_file_that_is_no_table_is_refused_in_one_sentence(
    tmp_path: Path, content: bytes, says: str
) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(content)
    with pytest.raises(BadInput, match=r"log\.csv") as refused:
        read_table(path)
    assert says in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_missing_file_and_a_folder_are_named(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="there is no file"):
        read_table(tmp_path / "none.csv")
    with pytest.raises(BadInput, match="is a folder"):
        read_table(tmp_path)


def test_a_byte_order_mark_blank_lines_and_windows_line_ends_are_read_through(
    tmp_path: Path,
) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(b"\xef\xbb\xbfGame,Pitch No\r\n\r\na,1\r\n,\r\nb,2\r\n")
    table = read_table(path)
    assert table.columns == ("game", "pitch_no")
    assert table.rows == [
        (3, {"game": "a", "pitch_no": "1"}),
        (5, {"game": "b", "pitch_no": "2"}),
    ]


def test_a_row_is_named_by_the_line_it_begins_on_even_after_a_note_of_several_lines(
    tmp_path: Path,
) -> None:
    path = tmp_path / "log.csv"
    path.write_text('game,note\na,"one\ntwo"\nb\n', encoding="utf-8")
    table = read_table(path)
    assert [line for line, _ in table.rows] == [2]
    assert [(bad.line, bad.reason) for bad in table.bad] == [
        (4, "has 1 cells where the header has 2")
    ]


@pytest.mark.parametrize("mark", [";", "\t"])
def test_semicolons_and_tabs_are_read_where_the_header_has_no_comma(
    tmp_path: Path, mark: str
) -> None:
    path = tmp_path / "log.csv"
    path.write_text(f"game{mark}pitch_no\na{mark}1\n", encoding="utf-8")
    assert read_table(path).rows == [(2, {"game": "a", "pitch_no": "1"})]


def test_missing_columns_are_all_named_with_the_one_that_may_be_meant(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    header = HEADER.replace("hitter", "hiter").replace("result", "what")
    path.write_text("\n".join((header, *ROWS)), encoding="utf-8")
    with pytest.raises(BadInput, match=r"no column hitter, result \(is it 'hiter' for hitter\?\)"):
        checked(read_table(path), PITCH_COLUMNS)


def test_an_unknown_column_is_a_warning_that_suggests_the_nearest(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text(f"{HEADER},weather,speed\n", encoding="utf-8")
    table = checked(read_table(path), PITCH_COLUMNS)
    assert table.warnings[0] == "column 'weather' is not one of ours and was left out"
    assert "column 'speed' is not one of ours" in table.warnings[1]


def test_json_lines_are_read_and_a_broken_line_is_named(tmp_path: Path) -> None:
    path = tmp_path / "log.jsonl"
    path.write_text(
        '{"game": "a", "balls": 2, "bunt": true, "tells": ["x", "y"]}\n{no\n[1]\n', encoding="utf-8"
    )
    table = read_table(path)
    assert table.rows == [(1, {"game": "a", "balls": "2", "bunt": "1", "tells": "x; y"})]
    assert [bad.line for bad in table.bad] == [2, 3]


def test_parquet_without_its_library_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = builtins.__import__

    def without(name: str, *rest: Any, **more: Any) -> Any:
        if name.startswith("pyarrow"):
            raise ImportError(name)
        return real(name, *rest, **more)

    path = tmp_path / "log.parquet"
    path.write_bytes(b"PAR1")
    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(BadInput, match=r"pip install 'sequencer\[parquet\]'"):
        read_table(path)


def test_a_parquet_file_that_is_none_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "log.parquet"
    path.write_bytes(b"not parquet at all")
    with pytest.raises(BadInput, match="not a Parquet file"):
        read_table(path)
