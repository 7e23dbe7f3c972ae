import pandas as pd

from sequencer.reports.tells_text import NOTHING, tells_lines, tells_text
from sequencer.review.tells import TellNote, tells_of
from tests.review.test_tells import NINE_OF_TWELVE, log, measured, shown


def test_a_page_of_tells_keeps_to_its_width_and_tells_the_sure_ones_first() -> None:
    rows = [
        *log([*NINE_OF_TWELVE, *shown("curveball", 1, 20)]),
        *log([*shown("changeup", 3, 9, "winks"), *shown("fastball", 5, 20, "winks")], game="gulls"),
        *measured(0.12),
    ]
    notes = [
        TellNote(game="owls", observer=who, order=n, tells_watched=("arm slows",))
        for who in ("Ida Moss", "Ole Brand")
        for n in range(1, 20)
    ]
    text = tells_text(tells_of(pd.DataFrame(rows), notes=notes))
    lines = text.splitlines()
    assert lines[:2] == ["Tells", "====="]
    assert lines[2].startswith("Ash Reed: 133 pitches watched in 3 games and bullpens")
    assert max(map(len, lines)) <= 80
    order = [
        "1. Arm slows on the changeup",
        "The same tells seen another way:",
        "Watched, and not sure:",
        "- Winks on the changeup: 3 of 9 against 5 of 20 other pitches.",
        "Do two people see the same?",
    ]
    places = [text.index(words) for words in order]
    assert places == sorted(places)


def test_where_nothing_was_noted_the_page_says_how_to() -> None:
    assert " ".join(tells_lines(())[2:]) == NOTHING


def test_a_quiet_pitcher_has_no_tell_that_could_be_used() -> None:
    rows = log([*shown("changeup", 3, 10), *shown("fastball", 9, 30)])
    text = tells_text(tells_of(pd.DataFrame(rows)))
    assert "No tell found that an opponent could use." in text
    assert "1. " not in text
