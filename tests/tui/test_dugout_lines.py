"""Everything the dugout does by key is a line too, and help says so."""

from sequencer.records import plain
from sequencer.records.keymaps import RIGHT_HANDED
from tui.dugout_lines import LINES, OF_THE_SCREEN
from tui.help_page import page


def test_every_key_that_does_something_has_a_line() -> None:
    kinds = ("prefix", "command", "note", "shown")
    acts = {(act.kind, act.value) for act in RIGHT_HANDED.acts.values() if act.kind in kinds}
    assert acts == {key for key in LINES if key[0] in kinds}


def test_every_line_is_read_and_stands_in_help() -> None:
    words = page("dugout", RIGHT_HANDED)
    for line in LINES.values():
        assert line in words
        for one in line.split(", or: "):
            assert one in OF_THE_SCREEN or plain.parse(one) is not None
