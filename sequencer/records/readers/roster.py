"""Who a file means: names, numbers and keys of a log become people of the book."""

import hashlib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Final, NamedTuple

from sequencer.baseball.hands import BOTH
from sequencer.errors import BadInput
from sequencer.records.base import new_id
from sequencer.records.people import Person, Team
from sequencer.records.store import Book

#: `#7`, or `Rook #7` where two of a team share a name.
_NUMBERED: Final = re.compile(r"(?P<name>.*?)\s*#(?P<number>\S+)")


class Said(NamedTuple):
    """What a file says of one person."""

    team: str
    name: str = ""
    number: str = ""
    id: str = ""


def said(team: str, text: str, number: str = "", id_: str = "") -> Said:
    """Return who `text` names: a name, `#7` or a bare 7, or `name #7`."""
    text = text.strip()
    found = _NUMBERED.fullmatch(text)
    if found and not number:
        return Said(team, found["name"], found["number"], id_)
    if text.isdecimal() and not number:
        return Said(team, "", text, id_)
    if number and text in (number, f"#{number}"):
        text = ""
    return Said(team, text, number, id_)


@dataclass(slots=True)
class Roster:
    """The people and teams of a book, and those a file adds; nothing is written here.

    `complete` says that the file's own list of people is the whole truth, so that a log teaches
    nothing more about a person it names.
    """

    book: Book
    complete: bool = False
    people: dict[str, Person] = field(default_factory=dict)
    teams: dict[str, Team] = field(default_factory=dict)
    added: dict[str, None] = field(default_factory=dict)
    changed: dict[str, None] = field(default_factory=dict)
    used: set[str] = field(default_factory=set)
    told_teams: set[str] = field(default_factory=set)
    merged: dict[str, tuple[Person, str]] = field(default_factory=dict)
    _by_team: dict[str, dict[str, None]] = field(default_factory=dict)
    _answers: dict[Said, Person | BadInput] = field(default_factory=dict)
    _sides: dict[str, set[str]] = field(default_factory=dict)
    _hands: dict[str, set[str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Read who is in the book."""
        self.people = self.book.everyone()
        self.teams = {team.name: team for team in self.book.teams()}
        for person in self.people.values():
            self._by_team.setdefault(person.team, {})[person.id] = None

    def of(self, team: str) -> list[Person]:
        """Return the people of a team, those just added too."""
        return [self.people[id_] for id_ in self._by_team.get(team, ())]

    def expect(self, sayings: Iterable[Said]) -> None:
        """Meet everyone a file names, the surest first: by key, by name and number, by name."""
        for one in sorted(set(sayings), key=lambda s: (not s.id, not s.number, s)):
            self._answers.setdefault(one, self._answer(one))

    def find(self, one: Said) -> Person:
        """Return the person meant, made if unknown.

        Raises
        ------
        BadInput
            If two people of the team are meant equally, naming both; or nobody is named.
        """
        if one not in self._answers:
            self.expect([one])
        answer = self._answers[one]
        if isinstance(answer, BadInput):
            raise answer
        return self.people[answer.id]

    def known(self, one: Said) -> Person | None:
        """Return the person meant if there is exactly one already; nobody is made."""
        if one.id in self.people:
            return self.people[one.id]
        found = self._candidates(one)
        return found[0] if len(found) == 1 else None

    def named(self, teams: Sequence[str], text: str) -> Person:
        """Return who a text means among teams, made in the first of them if unknown to all.

        Raises
        ------
        BadInput
            If two people are meant equally, naming both.
        """
        if text in self.people:
            return self.people[text]
        for team in teams:
            if self._candidates(said(team, text)):
                return self.find(said(team, text))
        return self.find(said(teams[0], text))

    def use(self, *ids: str) -> None:
        """Say that a good row named these people: only such newcomers are written."""
        self.used.update(ids)

    def add(self, person: Person, *, merged_into: str = "") -> bool:
        """Add a person of a file's own list; False when the book has him already.

        Raises
        ------
        BadInput
            If he was merged into somebody whom the list has not named before him.
        """
        if merged_into and merged_into not in self.people:
            raise BadInput(f"merged_into {merged_into} is nobody named above")
        self.use(person.id)
        if person.id in self.people:
            return False
        self._make(person)
        if merged_into:
            self.merged[person.id] = (person, merged_into)
            self._by_team[person.team].pop(person.id)
            self.people[person.id] = self.people[merged_into]
        return True

    def record(self, id_: str) -> Person:
        """Return a newcomer as the book is to keep him, merged or not."""
        return self.merged[id_][0] if id_ in self.merged else self.people[id_]

    def add_team(self, team: Team) -> bool:
        """Add a team of a file's own list; False when the book has it already."""
        if team.name in self.teams:
            return False
        self.teams[team.name] = team
        self.told_teams.add(team.name)
        return True

    def tell(self, id_: str, *, bats: str, note: str) -> None:
        """Take in what a coach says of a hitter now: a side replaces, a note is added."""
        person = self.people[id_]
        new: dict[str, Any] = {"bats": bats} if bats and bats != person.bats else {}
        if note and note not in person.note:
            new["note"] = "; ".join(filter(None, (person.note, note)))
        if new:
            self._change(person, new)

    def learn(self, id_: str, **facts: Any) -> None:
        """Fill in what the book did not know of a person (side, hand, number)."""
        person = self.people[id_]
        new = {name: value for name, value in facts.items() if value and not getattr(person, name)}
        if new and not self.complete:
            self._change(person, new)

    def saw_batting(self, id_: str, bats: str) -> None:
        """Note the side a hitter was seen on; a new one seen on both is a switch hitter."""
        if self.complete or not bats:
            return
        if id_ not in self.added:
            self.learn(id_, bats=bats)
            return
        sides = self._sides.setdefault(id_, set())
        if bats not in sides:
            sides.add(bats)
            self._change(self.people[id_], {"bats": bats if len(sides) == 1 else "S"})

    def saw_throwing(self, id_: str, throws: str) -> None:
        """Note the hand a pitcher threw with; a new one seen with both throws with both."""
        if self.complete or not throws:
            return
        if id_ not in self.added:
            self.learn(id_, throws=throws)
            return
        hands = self._hands.setdefault(id_, set())
        if throws not in hands:
            hands.add(throws)
            self._change(self.people[id_], {"throws": throws if len(hands) == 1 else BOTH})

    def _change(self, person: Person, facts: dict[str, Any]) -> None:
        self.people[person.id] = person.model_copy(update=facts)
        if person.id not in self.added:
            self.changed[person.id] = None

    def _answer(self, one: Said) -> Person | BadInput:
        if one.id and one.id in self.people:
            return self.people[one.id]
        if not (one.name or one.number or one.id):
            return BadInput("nobody is named: give a name, a number or an id")
        found = [] if one.id else self._candidates(one)
        if len(found) > 1:
            return BadInput(_two(one, found))
        if not found:
            name, number = one.name, one.number
            id_ = one.id or self._fresh_id(one)
            return self._make(Person(id=id_, team=one.team, name=name, number=number))
        person = found[0]
        self.learn(person.id, number=one.number)
        return self.people[person.id]

    def _candidates(self, one: Said) -> list[Person]:
        """Return the people of the team that may be meant: one is an answer, two are a question."""
        team = self.of(one.team)
        if not one.name:
            return [p for p in team if p.number == one.number and p.number]
        name = one.name.casefold()
        named = [p for p in team if p.name.casefold() == name]
        if not named:
            return [p for p in team if p.id == one.name]
        if not one.number:
            return named
        exact = [p for p in named if p.number == one.number]
        return exact or [p for p in named if not p.number]

    def _make(self, person: Person) -> Person:
        if person.team and person.team not in self.teams:
            self.teams[person.team] = Team(name=person.team)
        self.people[person.id] = person
        self._by_team.setdefault(person.team, {})[person.id] = None
        self.added[person.id] = None
        return person

    def _fresh_id(self, one: Said) -> str:
        """Return the same key for the same person in every reading, unless it is taken."""
        id_ = stable_id("person", one.team, one.name.casefold(), one.number)
        return new_id() if id_ in self.people else id_


def stable_id(*parts: object) -> str:
    """Return a key made of what it is the key of: reading a file twice gives the same key."""
    text = "\x1f".join(str(part) for part in parts)
    return hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()[:16]


def _two(one: Said, found: Iterable[Person]) -> str:
    those = " and ".join(
        f"{p.label} ({f'#{p.number}' if p.name and p.number else p.id})"
        for p in sorted(found, key=lambda p: (len(p.number), p.number, p.id))
    )
    what = one.name or f"#{one.number}"
    return f"{what} of {one.team} may be {those}; give the number (hitter_no) or the id"
