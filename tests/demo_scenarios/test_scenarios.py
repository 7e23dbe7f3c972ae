"""Each demo scenario is laid out, its game logged line by line, and its habits found."""

import json
from pathlib import Path
from typing import Any

import pytest

from demo_scenarios import folder, lay_out, scenarios
from demo_scenarios.cast import CASTS
from sequencer.errors import BadInput
from sequencer.live.plain_log import PlainLog
from sequencer.live.session import Session
from sequencer.places import demo_folder
from sequencer.records.frames import pitch_frame
from sequencer.records.store import open_book
from sequencer.review.review import review

NAMES = [cast.name for cast in CASTS]


def expected(name: str) -> dict[str, Any]:
    said: dict[str, Any] = json.loads((folder(name) / "expected.json").read_text(encoding="utf-8"))
    return said


def test_every_folder_is_a_scenario_with_a_cast() -> None:
    assert sorted(scenarios()) == sorted(NAMES)
    assert all(title for title in scenarios().values())
    assert sorted(path.parent.name for path in demo_folder().glob("*/tonight.txt")) == sorted(NAMES)


def test_an_unknown_scenario_is_named_with_those_there_are() -> None:
    with pytest.raises(BadInput, match="lamplighters"):
        folder("no-such-place")


@pytest.mark.parametrize("name", NAMES)
def test_tonights_game_logs_line_by_line_to_its_expected_end(name: str, tmp_path: Path) -> None:
    lay_out(name, tmp_path / "book.db")
    tonight = expected(name)["tonight"]
    with open_book(tmp_path / "book.db") as book:
        game = book.find_game(tonight["game"])
        assert game
        log = PlainLog(Session(book, game))
        lines = (folder(name) / "tonight.txt").read_text(encoding="utf-8").splitlines()
        answers = [log.answer(line) for line in lines]
        assert not [answer for answer in answers if answer and answer.startswith("no ")]
        state = Session(book, game).state
    ended = {
        "pitches": len(state.log),
        "inning": state.inning,
        "outs": state.outs,
        "score_them": state.score_them,
        "pitch_counts": {state.people[who].name: n for who, n in state.pitch_counts.items()},
    }
    assert ended == {key: tonight[key] for key in ended}


@pytest.mark.parametrize("name", NAMES)
def test_the_review_finds_the_habits_that_were_put_in(name: str, tmp_path: Path) -> None:
    lay_out(name, tmp_path / "book.db")
    with open_book(tmp_path / "book.db") as book:
        found: Any = review(pitch_frame(book)).as_json()
    flagged = {
        (pitcher["pitcher"], pattern["pattern"], *pattern["where"].values(), pattern["what"][key])
        for pitcher in found["pitchers"]
        for pattern in pitcher["patterns"]
        if pattern["flagged"]
        for key in pattern["what"]
    }
    for finding in expected(name)["findings"]:
        assert tuple(finding) in flagged
