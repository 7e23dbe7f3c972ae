"""Help is drawn whole: every word of its pages, within its width."""

import re

import pytest
from rich.text import Text

from sequencer.records.keymaps import RIGHT_HANDED
from tui.help_drawn import WIDTH, drawn
from tui.help_page import page
from tui.screens import PLACES


def styles(text: Text, words: str) -> set[str]:
    """Return the styles that words stand in."""
    at = text.plain.index(words)
    return {str(span.style) for span in text.spans if span.start <= at < span.end}


def _words(page: str) -> list[str]:
    """Return the words of a page without the marks of Markdown."""
    bare = re.sub(r"^```\w*$|[*`•]", "", page, flags=re.MULTILINE)
    return [word for word in bare.split() if set(word) - set("#-")]


@pytest.mark.parametrize("place", [place.name for place in PLACES])
def test_every_word_of_a_page_is_drawn_within_its_width(place: str) -> None:
    written = page(place, RIGHT_HANDED)
    shown = drawn(written).plain
    assert _words(shown) == _words(written)
    as_written = written.splitlines()
    assert all(len(line) <= WIDTH or line in as_written for line in shown.splitlines())


def test_headings_lists_blocks_and_what_is_bold_are_drawn() -> None:
    text = drawn(
        "# Plan\n\nOne **two**,\nthree *four* `five`.\n\n## Keys\n\n"
        "- first\n  goes on\n- second\n\n```\na   b\n\n  c\n```\n\nLast."
    )
    assert text.plain == (
        "Plan\n\nOne two, three four five.\n\nKeys\n\n• first goes on\n• second\n\n"
        "a   b\n\n  c\n\nLast."
    )
    assert styles(text, "Plan") == {"bold underline"} and styles(text, "Keys") == {"bold"}
    assert styles(text, "two") == {"bold"} and styles(text, "four") == {"italic"}
    assert styles(text, "five") == {"bold"} and not styles(text, "One")


def test_an_item_that_goes_on_stands_under_its_first_word() -> None:
    lines = drawn("- " + "word " * 30).plain.splitlines()
    assert lines[0].startswith("• word") and all(line.startswith("  word") for line in lines[1:])
