"""`sequencer page` as its user calls it, on a demo book."""

import json

import pytest
from click.testing import CliRunner

from sequencer.cli.demo import command as demo
from sequencer.cli.page import command
from sequencer.errors import NotInBook


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = str(tmp_path_factory.mktemp("page") / "demo.db")
    made = CliRunner().invoke(demo, ["--into", path], catch_exceptions=False)
    assert made.exit_code == 0
    return path


def _page(book: str, who: str, *more: str) -> str:
    done = CliRunner().invoke(command, [who, "--book", book, *more], catch_exceptions=False)
    assert done.exit_code == 0
    return done.output


def test_a_hitters_page_says_what_it_rests_on_and_what_was_marked(book: str) -> None:
    page = _page(book, "Rafe Ostrow")
    assert "pitches logged." in page
    assert "Marked: extends" in page
    assert "cannot tell yet" in page
    assert max(map(len, page.splitlines())) <= 80


def test_a_pitchers_page_has_strikes_misses_and_which_pitches_are_told_apart(book: str) -> None:
    page = _page(book, "Ilo Brandt")
    for said in ("strikes in 100", "Strikes in any count", "Are three pitches three?", "charted"):
        assert said in page
    assert max(map(len, page.splitlines())) <= 80
    assert "nan" not in page.lower()


def test_the_page_as_json_holds_every_number_with_its_spread(book: str) -> None:
    told = json.loads(_page(book, "Ilo Brandt", "--json"))
    pitcher = told["as_pitcher"]
    assert pitcher["pitcher"] == "Ilo Brandt"
    for pitch in pitcher["pitches"]:
        low, high = pitch["strikes"]["interval"]
        assert 0.0 < low < pitch["strikes"]["share"] < high < 1.0
        assert 0.0 <= pitch["reaches_mark_in_any_count"] <= 1.0
        assert pitch["spread_interval_in"][0] < pitch["spread_in"] < pitch["spread_interval_in"][1]
    hitter = json.loads(_page(book, "Rafe Ostrow", "--json"))["as_hitter"]
    assert all(0.0 < trait["sd"] <= 1.001 * trait["level_sd"] for trait in hitter["traits"])


def test_somebody_nobody_knows_is_one_sentence(book: str) -> None:
    with pytest.raises(NotInBook, match="Nobody Inparticular"):
        _page(book, "Nobody Inparticular")
