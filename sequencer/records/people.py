"""People of the book: players of our teams and of opponents, and what a coach marked about them."""

import datetime as dt
from typing import Literal

from pydantic import Field

from sequencer.records.base import Record

#: A hand, or a side; S is both.
Throws = Literal["", "R", "L", "S"]
Bats = Literal["", "R", "L", "S"]


class Team(Record):
    """A team of the book; `ours` when it is one of the user's own."""

    name: str
    ours: bool = False
    level: str = ""
    rules: str = ""


class Person(Record):
    """One player. A hitter may be known by number and side alone until he has a name.

    `signs` maps the catcher's sign digits to this pitcher's pitch types, 1 being the fastball.
    """

    id: str
    team: str
    name: str = ""
    number: str = ""
    bats: Bats = ""
    throws: Throws = ""
    signs: dict[str, str] = Field(default_factory=dict)
    note: str = ""

    @property
    def label(self) -> str:
        """The name, or `#7` while only the number is known.

        Someone nobody named yet has `?` and his slot (`P`: the pitcher) for a number.
        """
        if self.name or not self.number.startswith("?"):
            return self.name or f"#{self.number}"
        return "unnamed pitcher" if self.number == "?P" else f"unnamed hitter {self.number[1:]}"


class Mark(Record):
    """One thing a coach saw of a hitter: which mark, how often, against what, from what."""

    person: str
    mark: str
    how_often: Literal["once", "some", "always"] = "some"
    against: Literal["", "hard", "average", "soft"] = ""
    seen_in: Literal["swing", "stance"] = "swing"
    date: dt.date | None = None
    note: str = ""
