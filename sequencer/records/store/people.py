"""Teams, people, who is one person under two ids, and what a coach marked."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from sqlalchemy import Connection, delete, func, insert, select, update

from sequencer.errors import BookError, NotInBook
from sequencer.records.migrations.schema import MARKS, MERGES, PEOPLE, TEAMS
from sequencer.records.people import Mark, Person, Team
from sequencer.records.store.door import Door, body_of, put, stamp


class People(Door):
    """Who is in the book."""

    def teams(self) -> list[Team]:
        """Return every team, ours first, then by name."""
        with self._read() as connection:
            found = connection.execute(
                select(TEAMS.c.name, TEAMS.c.ours, TEAMS.c.body).order_by(
                    TEAMS.c.ours.desc(), TEAMS.c.name
                )
            ).all()
        return [Team.model_validate_json(body) for _name, _ours, body in found]

    def find_team(self, said: str) -> Team:
        """Return the team of a name (case aside).

        Raises
        ------
        NotInBook
            If there is none: the sentence names those there are.
        """
        teams = {team.name.casefold(): team for team in self.teams()}
        found = teams.get(said.strip().casefold())
        if found is None:
            known = ", ".join(team.name for team in teams.values()) or "none yet"
            raise NotInBook(f"No team of the book is called {said}; there are: {known}.")
        return found

    def add_team(self, team: Team) -> Team:
        """Keep a team; one of the same name is replaced by what is said now."""
        values = {"ours": team.ours, "body": body_of(team)}
        with self._write() as connection:
            known = connection.execute(
                update(TEAMS).where(TEAMS.c.name == team.name).values(values)
            )
            if not known.rowcount:
                connection.execute(insert(TEAMS).values(name=team.name, **values))
        return team

    def everyone(self) -> dict[str, Person]:
        """Return every id ever given -> the person it means now (merged ids mean who was kept)."""
        with self._read() as connection:
            bodies = connection.execute(select(PEOPLE.c.body).order_by(PEOPLE.c.id)).scalars().all()
            kept = self._kept(connection)
        people = {person.id: person for person in map(Person.model_validate_json, bodies)}
        for gone in kept:
            keep = _end(kept, gone)
            people[keep] = _filled(people[keep], people[gone])
        return {id_: people[_end(kept, id_)] for id_ in people}

    def people(self, team: str | None = None) -> list[Person]:
        """Return the people of a team, or of the whole book, by number and name."""
        found = [
            person
            for id_, person in self.everyone().items()
            if id_ == person.id and team in (None, person.team)
        ]
        return sorted(found, key=_by_number)

    def person(self, id_: str) -> Person:
        """Return the person an id means.

        Raises
        ------
        NotInBook
            If no such id was ever given.
        """
        with self._read() as connection:
            kept = self._kept(connection)
            same = _same(kept, id_)
            bodies = connection.execute(
                select(PEOPLE.c.id, PEOPLE.c.body).where(PEOPLE.c.id.in_(same))
            ).all()
        held = {id_: Person.model_validate_json(body) for id_, body in bodies}
        if id_ not in held:
            raise NotInBook(f"No one in the book has the id {id_}.")
        person = held[same[0]]
        for gone in same[1:]:
            person = _filled(person, held[gone])
        return person

    def candidates(self, team: str | None, said: str) -> list[Person]:
        """Return everyone of a team that a name, a number, `name #7` or an id means."""
        people = self.people(team)
        wanted = " ".join(said.split()).casefold()
        by_both = [p for p in people if wanted == f"{p.name} #{p.number}".casefold()]
        if by_both or " #" in wanted:
            return by_both
        number = wanted.lstrip("#")
        return [p for p in people if wanted and wanted in (p.name.casefold(), p.id)] or [
            p for p in people if number and p.number.casefold() == number
        ]

    def find_person(self, team: str | None, said: str) -> Person:
        """Return the one person of a team that a name or number means (case aside).

        Raises
        ------
        NotInBook
            If there is none, or more than one: the sentence names the candidates.
        """
        found = self.candidates(team, said)
        if len(found) == 1:
            return found[0]
        where = f"of {team}" if team else "of the book"
        if found:
            those = "; ".join(_described(p) for p in found)
            raise NotInBook(f"More than one player {where} is called {said}: {those}.")
        there = ", ".join(p.label for p in self.people(team)[:12]) or "nobody yet"
        raise NotInBook(f"No player {where} is called {said}; there are: {there}.")

    def add_person(self, person: Person) -> Person:
        """Keep a new person.

        Raises
        ------
        BookError
            If his id is taken.
        """
        with self._write() as connection:
            put(connection, PEOPLE, [_person_columns(person)])
        return person

    def change_person(self, id_: str, **changes: Any) -> Person:
        """Change what is said of a person; returns him as he is now.

        Raises
        ------
        BookError
            If he would have neither a name nor a number.
        """
        with self._write() as connection:
            keep = self.person(id_).id
            body = connection.execute(select(PEOPLE.c.body).where(PEOPLE.c.id == keep)).scalar_one()
            old = Person.model_validate_json(body)
            person = Person.model_validate({**old.model_dump(), **changes, "id": keep})
            if {"name", "number"} & changes.keys() and not (person.name or person.number):
                raise BookError("A player needs a name or a number.")
            connection.execute(
                update(PEOPLE).where(PEOPLE.c.id == keep).values(_person_columns(person))
            )
            return self.person(keep)

    def merge_people(self, keep: str, gone: str) -> int:
        """Say that two ids are one person: from now on `gone` means `keep`.

        Returns
        -------
        int
            The merge's number, for `undo_merge`.
        """
        with self._write() as connection:
            kept, lost = self.person(keep), self.person(gone)
            if kept.id == lost.id:
                raise BookError(f"{kept.label} is already one person in the book.")
            n = int(connection.execute(select(func.max(MERGES.c.n))).scalar() or 0) + 1
            merge = {"n": n, "keep": kept.id, "gone": lost.id, "at": stamp()}
            put(connection, MERGES, [merge])
        return n

    def undo_merge(self, n: int) -> None:
        """Take merge `n` back: the two are two again, with everything each had."""
        with self._write() as connection:
            merge = connection.execute(select(MERGES).where(MERGES.c.n == n)).one_or_none()
            if merge is None or merge.undoes is not None:
                raise NotInBook(f"There is no merge {n} in the book.")
            values = {"keep": merge.keep, "gone": merge.gone, "undoes": n, "at": stamp()}
            put(connection, MERGES, [values])

    def merges(self) -> list[tuple[int, str, str]]:
        """Return the merges that stand: number, id kept, id gone."""
        with self._read() as connection:
            merges = connection.execute(select(MERGES).order_by(MERGES.c.n)).all()
        undone = {merge.undoes for merge in merges}
        return [(m.n, m.keep, m.gone) for m in merges if m.undoes is None and m.n not in undone]

    def merged_away(self) -> list[tuple[Person, str]]:
        """Return the people merged away, as they were, each with the id he was merged into."""
        merges = [(keep, gone) for _, keep, gone in self.merges()]
        with self._read() as connection:
            query = select(PEOPLE.c.id, PEOPLE.c.body).where(
                PEOPLE.c.id.in_([gone for _, gone in merges])
            )
            bodies = {row.id: row.body for row in connection.execute(query)}
        return [(Person.model_validate_json(bodies[gone]), keep) for keep, gone in merges]

    @staticmethod
    def _kept(connection: Connection) -> dict[str, str]:
        merges = connection.execute(select(MERGES).order_by(MERGES.c.n)).all()
        undone = {merge.undoes for merge in merges}
        return {m.gone: m.keep for m in merges if m.undoes is None and m.n not in undone}

    def _meant(self, connection: Connection) -> Callable[[str], str]:
        """Return the function from an id to the id it means now."""
        return partial(_end, self._kept(connection))

    # marks

    def marks(self, person: str | None = None) -> list[Mark]:
        """Return the marks of a person (of every id that means him), or of everyone."""
        with self._read() as connection:
            kept = self._kept(connection)
            query = select(MARKS.c.body).order_by(MARKS.c.n)
            if person is not None:
                query = query.where(MARKS.c.person.in_(_same(kept, person)))
            bodies = connection.execute(query).scalars().all()
        marks = [Mark.model_validate_json(body) for body in bodies]
        return [mark.model_copy(update={"person": _end(kept, mark.person)}) for mark in marks]

    def add_mark(self, mark: Mark) -> Mark:
        """Keep a mark; the same one seen the same way is replaced."""
        with self._write() as connection:
            self._drop(connection, mark.person, mark.mark, mark.against, mark.seen_in)
            put(
                connection,
                MARKS,
                [{"person": mark.person, "mark": mark.mark, "body": body_of(mark)}],
            )
        return mark

    def drop_mark(self, person: str, mark: str) -> None:
        """Take a mark off a person, however it was seen."""
        with self._write() as connection:
            self._drop(connection, person, mark, None, None)

    def _drop(
        self,
        connection: Connection,
        person: str,
        mark: str,
        against: str | None,
        seen_in: str | None,
    ) -> None:
        same = _same(self._kept(connection), person)
        found = connection.execute(
            select(MARKS.c.n, MARKS.c.body).where(MARKS.c.mark == mark, MARKS.c.person.in_(same))
        ).all()
        for n, body in found:
            old = Mark.model_validate_json(body)
            if against in (None, old.against) and seen_in in (None, old.seen_in):
                connection.execute(delete(MARKS).where(MARKS.c.n == n))


def _end(kept: Mapping[str, str], id_: str) -> str:
    """Follow merges to the person kept."""
    while id_ in kept:
        id_ = kept[id_]
    return id_


def _same(kept: Mapping[str, str], id_: str) -> list[str]:
    """Return every id that means the same person, the one kept first."""
    keep = _end(kept, id_)
    return [keep, *(gone for gone in kept if _end(kept, gone) == keep)]


def _filled(person: Person, gone: Person) -> Person:
    """Return a person with what was only known under an id merged into his."""
    number = "" if gone.number.startswith("?") else gone.number
    said = {"name": gone.name, "number": number, "bats": gone.bats, "throws": gone.throws}
    blank = {name: value for name, value in said.items() if value and not getattr(person, name)}
    return person.model_copy(update=blank) if blank else person


def _by_number(person: Person) -> tuple[str, int, str, str]:
    number = int(person.number) if person.number.isdigit() else 10_000
    return (person.team, number, person.name, person.id)


def _described(person: Person) -> str:
    number = f"#{person.number}" if person.number else ""
    parts = [person.label, number, person.team, f"id {person.id}"]
    return ", ".join(dict.fromkeys(part for part in parts if part))


def _person_columns(person: Person) -> dict[str, Any]:
    return {
        "id": person.id,
        "team": person.team,
        "name": person.name,
        "number": person.number,
        "body": body_of(person),
    }
