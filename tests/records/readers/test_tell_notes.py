from pathlib import Path

import pytest

from sequencer.errors import BadInput
from sequencer.records.readers.tell_notes import TellNote, read_notes

HEADER = "game,at_bat,pitch_no,order,observer,tells,tells_watched\n"
GOOD = (
    HEADER
    + 'owls,3,2,,Ida Moss,arm slows; hold=1.4,"arm slows; flare"\nowls,,,9,Ole Brand,,flare\n'
)


def written(folder: Path, text: str) -> Path:
    path = folder / "notes.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_notes_name_their_pitch_by_at_bat_or_by_order(tmp_path: Path) -> None:
    first, second = read_notes(written(tmp_path, GOOD))
    assert first == TellNote(
        game="owls",
        observer="Ida Moss",
        at_bat=3,
        pitch_no=2,
        tells=("arm slows", "hold=1.4"),
        tells_watched=("arm slows", "flare"),
    )
    assert (first.where, second.where) == (
        "at-bat 3 pitch 2 of game owls",
        "pitch 9 of game owls",
    )


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("owls,3,,,Ida,flare,", "line 2: no pitch is named"),
        ("owls,,,0,Ida,flare,", "order 0 cannot be"),
        ("owls,3,2,,,flare,", "observer is empty"),
        (",3,2,,Ida,flare,", "game is empty"),
        ("owls,3,2,,Ida,,", "nothing was watched"),
        ("owls,three,2,,Ida,flare,", "at_bat 'three' is not a number"),
        ("owls,3,2,,Ida,hold=long,", "'long' of the tell 'hold' is not a number"),
        ("owls,3,2,,Ida,flare,\nowls,3,2,,ida,,flare", "line 3: ida has noted .* in line 2"),
        ("owls,3,2", "has 3 cells where the header has 7"),
    ],
)
def test_a_bad_note_is_named_by_its_line(tmp_path: Path, row: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        read_notes(written(tmp_path, HEADER + row + "\n"))


def test_many_bad_notes_are_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"and 2 more$"):
        read_notes(written(tmp_path, HEADER + "owls,,,,Ida,flare,\n" * 5))


def test_a_file_without_observers_and_an_unknown_column_are_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="has no column observer"):
        read_notes(written(tmp_path, "game,at_bat,pitch_no,tells\nowls,1,1,flare\n"))
    with pytest.raises(BadInput, match=r"'tels' .did you mean 'tells'"):
        read_notes(written(tmp_path, "game,order,observer,tels\nowls,1,Ida,flare\n"))
    with pytest.raises(BadInput, match="there is no file"):
        read_notes(tmp_path / "none.csv")
