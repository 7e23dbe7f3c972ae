"""Everything the dugout does by key is a line too, and help says so."""

from sequencer.records import plain
from sequencer.records.keymaps import RIGHT_HANDED, SWITCH_KEYS
from tests.tui.driving import opened
from tests.tui.test_dugout_mending import line
from tui import keys
from tui.dugout_lines import LINES, OF_THE_SCREEN
from tui.help_page import page

#: What the screen's own arrows, Enter and Del do to a marked entry.
MARKED = {("mark", "remove"), ("mark", "correct")}
#: Of the results a pitch or a play stands for all of its kind; these have a line of their own.
RARE = ("catcher's interference", "automatic ball", "automatic strike")


def test_every_key_of_the_key_table_has_a_line() -> None:
    """Walk over the table that help, footer and buttons are made from."""
    wanted = {("result", "pitch"), ("result", "play"), *(("result", rare) for rare in RARE)}
    for _, kind, _ in keys.pitch_keys(RIGHT_HANDED):
        if kind in ("sign", "place", "edit", "result", "runner"):
            continue
        if kind == "switch":
            wanted |= {("switch", what) for what, _ in SWITCH_KEYS.values()}
            continue
        wanted |= {(kind, a.value) for a in RIGHT_HANDED.acts.values() if a.kind == kind}
    wanted |= MARKED
    assert wanted == {key for key in LINES if key[0] != "rule"}


def test_every_line_is_read_and_stands_in_help() -> None:
    words = " ".join(page("dugout", RIGHT_HANDED).split())
    for lines in LINES.values():
        assert " ".join(lines.split()) in words
        for one in lines.split(", or: "):
            assert plain.parse(one) is not None
    assert all(plain.parse(one) is not None for one in OF_THE_SCREEN)


async def test_rules_of_the_coach_are_lines_that_the_plan_keeps(with_advice: str) -> None:
    async with opened(with_advice, game="tonight") as driven:
        await line(driven, "rule nothing down the middle")
        await driven.until_text("Rule: nothing down the")
        await line(driven, "rule inner half only against 7")
        await driven.until(lambda: driven.app.rules[1:] == (("owl7", "inner half only"),))
        await line(driven, "rules")
        await driven.until_text("rules nothing down the middle; inner half only against Marin")
        await line(driven, "rule away half only against 99")
        await driven.until_text("Nobody of the other side is called 99")
        await driven.press("escape", "f3")
        await driven.until_place("plan")
        await driven.until(lambda: len(driven.screen.rules) == 2)
        await driven.press("f4")
        await driven.until_place("dugout")
        await line(driven, "rules off")
        await driven.until(lambda: driven.app.rules == ())
