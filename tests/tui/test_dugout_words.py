"""What the panel of advice says, and what it leaves out where it has no rows for it."""

from dataclasses import replace
from textwrap import wrap
from typing import Any

import pytest

from sequencer.planning.beside import Beside
from sequencer.records.keymaps import RIGHT_HANDED
from tui.advising import ways_view
from tui.dugout_words import Drawn, advice_words
from tui.views import AdviceView, DugoutView, WaysView

VIEW = DugoutView(
    game_id="g", stamp=1, us="Herons", them="Owls", score_us=0, score_them=0, inning=1,
    half="top", we_pitch=True, outs=0, bases=("", "", ""), balls=0, strikes=0,
)  # fmt: skip
MIX = AdviceView(
    1, tuple((share, f"pitch {share}") for share in ("40", "30", "20", "10")),
    leading="he is ready", rules="Rules: inner half only; nothing down the middle",
)  # fmt: skip
WAYS = WaysView(1, "Walk +.49, around even", ("walking him costs 0.49 runs", "around him is even"))
BESIDE = Beside(plan=-0.10, walk=0.39, pitch_around=-0.08, base_open=True)


def said(advice: AdviceView, drawn: Drawn | None = None, size: tuple[int, int] = (26, 12)) -> str:
    return advice_words(
        VIEW, advice, RIGHT_HANDED, score_only=False, drawn=drawn, ways=WAYS, size=size
    )


def test_a_small_panel_has_rules_and_ways_in_a_line_each() -> None:
    lines = said(MIX).splitlines()
    assert lines[2:5] == ["Rules: inner half only; …", "He is ready", "Walk +.49, around even"]
    assert lines[5:] == ["Of 100:", " 40 pitch 40", " 30 pitch 30", " 20 pitch 20", " 10 pitch 10"]


def test_a_large_panel_has_them_in_full() -> None:
    lines = said(MIX, size=(39, 19)).splitlines()
    assert MIX.rules in lines
    assert lines[4:6] == ["Walking him costs 0.49 runs.", "Around him is even."]


@pytest.mark.parametrize(("why", "shares"), [("he is ready", 4), ("a long why " * 6, 2)])
def test_only_shares_that_fit_are_said(why: str, shares: int) -> None:
    call = Drawn("fastball in", why)
    lines = said(MIX, call).splitlines()
    assert lines[-shares - 1 :] == [
        "Of 100:",
        *(f" {s} pitch {s}" for s in (40, 30, 20, 10)[:shares]),
    ]


def test_a_call_that_takes_two_lines_is_shown_whole_or_not_at_all() -> None:
    long = replace(MIX, calls=tuple((s, "curveball down-off-away") for s in ("60", "30", "10")))
    for rows in range(6, 16):
        lines = [
            part
            for line in said(long, size=(26, rows)).splitlines()
            for part in wrap(line, 26, break_on_hyphens=False)
        ]
        assert len(lines) <= max(rows, 5) and lines[-1] != " 60 curveball", rows


def test_where_no_share_fits_they_have_no_head_either() -> None:
    assert "Of 100" not in said(MIX, Drawn("fastball in", "a long why " * 12))


def test_a_mix_has_two_calls_at_least_before_one_is_drawn() -> None:
    crowded = replace(
        MIX, note="a long note " * 8, leading="a long why " * 8, time_up="1st time up"
    )
    lines = said(crowded).splitlines()
    assert " 30 pitch 30" in lines and WAYS.short in lines
    assert not any("why" in line or "time up" in line for line in lines)


@pytest.mark.parametrize(
    ("changes", "short"),
    [
        ({}, "Walk +.49, around even"),
        ({"walk": -0.35, "pitch_around": 1.02}, "Walk -.25, around +1.12"),
        ({"developing": True}, "Development: pitch to him"),
        ({"developing": True, "pitch_around": 0.1}, "Walk +.49, around +.20"),
    ],
)
def test_the_ways_are_told_against_pitching_to_him(changes: dict[str, Any], short: str) -> None:
    view = ways_view(replace(BESIDE, **changes), 7)
    assert (view.stamp, view.short) == (7, short)
    assert len(short) <= 26
    assert view.says[0].startswith("walking him ")
