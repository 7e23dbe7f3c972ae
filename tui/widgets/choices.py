"""A list of choices that a page key may reach before there is a page."""

from typing import Literal

from textual.widgets import OptionList


class Choices(OptionList):
    """An option list; paging does nothing while it is not laid out, where Textual 8.2 would end."""

    def _move_page(self, direction: Literal[-1, 1]) -> None:
        if self.scrollable_content_region:
            super()._move_page(direction)
