from pathlib import Path

import pytest

from sequencer.errors import BadInput
from sequencer.places import demo_folder
from sequencer.records.frames import pitch_frame
from sequencer.records.readers import draft_mapping, import_file
from sequencer.records.readers.mapping import load_mapping
from sequencer.records.store import Book

FOREIGN = """Contest,PA,Thrown no,B,K,Arm,Batter,Batter hand,Kind,Outcome,Where,Height ft,Sky
A at B,1,1,0,0,Ash Reed,Lew Toll,right,heater,taken for a ball,low outside,1.5,grey
A at B,1,2,1,0,Ash Reed,Lew Toll,right,Slow Ball,fouled,middle middle,2.25,grey
A at B,2,1,0,0,Ash Reed,Moe Pratt,left,heater,ball,high inside,3.5,grey
"""
MAP = """
[columns]
Contest = "game"
PA = "at_bat"
"Thrown no" = "pitch_no"
B = "balls"
K = "strikes"
Arm = "pitcher"
Batter = "hitter"
"Batter hand" = "bats"
Kind = "pitch"
Outcome = "result"
Where = "cell"
"Height ft" = "height_in"

[words.pitch]
heater = "fastball"
"slow ball" = "changeup"

[words.result]
"taken for a ball" = "ball"
fouled = "foul"

[words.bats]
right = "R"
left = "L"

[words.cell]
"low outside" = "down-away"
"middle middle" = "belt-middle"
"high inside" = "up-in"

[units]
height_in = 12

[values]
us = "Herons"
them = "Owls"
date = 2026-04-18
"""


@pytest.fixture
def foreign(tmp_path: Path) -> Path:
    path = tmp_path / "theirs.csv"
    path.write_text(FOREIGN, encoding="utf-8")
    return path


def mapping(folder: Path, text: str = MAP) -> Path:
    path = folder / "map.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_foreign_log_is_read_through_its_mapping(
    book: Book, foreign: Path, tmp_path: Path
) -> None:
    done = import_file(book, foreign, mapping=mapping(tmp_path))
    assert (done.added, done.bad, done.warnings) == (3, (), ())
    frame = pitch_frame(book)
    assert list(frame["pitch"]) == ["fastball", "changeup", "fastball"]
    assert list(frame["result"]) == ["ball", "foul", "ball"]
    assert list(frame["cell"]) == ["down-away", "belt-middle", "up-in"]
    assert list(frame["height_in"]) == [18.0, 27.0, 42.0]
    assert set(frame["us"]) == {"Herons"}
    assert str(frame["date"].iloc[0].date()) == "2026-04-18"
    assert import_file(book, foreign, mapping=mapping(tmp_path)).known == 3


def test_a_bad_word_in_a_mapped_file_is_named_by_their_line(
    book: Book, foreign: Path, tmp_path: Path
) -> None:
    short = mapping(tmp_path, MAP.replace('fouled = "foul"', ""))
    (bad,) = import_file(book, foreign, mapping=short).bad
    assert bad.line == 3
    assert "unknown result 'fouled'" in bad.reason


@pytest.mark.parametrize(
    ("change", "to", "says"),
    [
        ('Kind = "pitch"', 'Knd = "pitch"', "column 'knd', which theirs.csv has not"),
        ('Kind = "pitch"', 'Kind = "pich"', "did you mean 'pitch'?"),
        ('Sky = "note"', "[nonsense", "not TOML"),
        ("[units]", "[unit]", "unit"),
        ('K = "strikes"', 'K = "balls"', "two columns of the file to one"),
        ("height_in = 12", 'height_in = "much"', "units.height_in"),
    ],
)
def test_a_mapping_that_cannot_be_meant_is_refused(
    book: Book, foreign: Path, tmp_path: Path, change: str, to: str, says: str
) -> None:
    text = MAP.replace(change, to) if change in MAP else MAP + to
    with pytest.raises(BadInput) as refused:
        import_file(book, foreign, mapping=mapping(tmp_path, text))
    assert says in str(refused.value)


def test_a_missing_mapping_is_named(book: Book, foreign: Path, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"none\.toml cannot be read"):
        import_file(book, foreign, mapping=tmp_path / "none.toml")


def test_a_drafted_mapping_loads_and_guesses_what_names_and_words_show(
    foreign: Path, tmp_path: Path
) -> None:
    text = draft_mapping(foreign)
    drafted = load_mapping(mapping(tmp_path, text))
    assert drafted.columns["batter"] == "hitter"
    assert drafted.columns["outcome"] == "result"
    assert drafted.columns["pa"] == "at_bat"
    assert "sky" not in drafted.columns
    assert "fouled" in text
    assert "# us =" in text


def test_a_drafted_mapping_of_our_own_log_has_nothing_to_map(tmp_path: Path) -> None:
    from tests.records.readers.helpers import ROWS, write_log

    drafted = load_mapping(mapping(tmp_path, draft_mapping(write_log(tmp_path / "a.csv", *ROWS))))
    assert drafted.columns == {}
    assert drafted.words == {}


def test_a_column_is_guessed_by_its_words_alone(tmp_path: Path) -> None:
    path = tmp_path / "theirs.csv"
    path.write_text("zz,yy\nfastball,1\nchangeup,2\nslider,3\n", encoding="utf-8")
    assert load_mapping(mapping(tmp_path, draft_mapping(path))).columns == {"zz": "pitch"}


def drafted(folder: Path, text: str) -> tuple[str, dict[str, str]]:
    path = folder / "theirs.csv"
    path.write_text(text, encoding="utf-8")
    draft = draft_mapping(path)
    return draft, load_mapping(mapping(folder, draft)).columns


@pytest.mark.parametrize(
    ("words", "ours"),
    [(("R", "L"), {"bats", "throws"}), (("up-in", "down-away"), {"cell", "target"})],
)
def test_words_that_fit_two_columns_are_a_comment_that_names_both(
    tmp_path: Path, words: tuple[str, str], ours: set[str]
) -> None:
    draft, columns = drafted(tmp_path, "zz,yy\n{},1\n{},2\n".format(*words))
    assert columns == {}
    (line,) = [line for line in draft.splitlines() if line.startswith('# "zz" = ')]
    assert " or " in line
    assert ours == {line.split('"')[3], line.split('"')[5]}


def test_a_name_settles_what_the_words_of_two_columns_leave_open(tmp_path: Path) -> None:
    _, columns = drafted(tmp_path, "Throwing hand,zz\nR,L\nL,R\n")
    assert columns == {"throwing_hand": "throws", "zz": "bats"}
    draft, columns = drafted(tmp_path, "zz,yy\nfastball,slider\nslider,fastball\n")
    assert columns == {}
    assert draft.count(" or ") == 2


def test_a_column_that_cannot_hold_what_is_in_it_is_no_guess(tmp_path: Path) -> None:
    draft, columns = drafted(tmp_path, "Inning s,Speeed\nfirst,fast\nlast,slow\n")
    assert columns == {}
    assert '# "inning_s" = ""' in draft


def test_the_draft_of_the_demo_chart_is_the_finished_mapping(tmp_path: Path) -> None:
    folder = demo_folder() / "lamplighters"
    draft = load_mapping(mapping(tmp_path, draft_mapping(folder / "chart.csv")))
    assert draft == load_mapping(folder / "chart_map.toml")
