"""The tables of a book as this version has them.

Typed columns are what is searched, ordered or referred to; the rest of a record is its JSON in
`body`, so that a record grows without a new table. Types are portable to another database.
"""

from typing import Final

from sqlalchemy import (
    Boolean,
    Column,
    Date,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
)

METADATA: Final = MetaData()

TEAMS: Final = Table(
    "teams",
    METADATA,
    Column("name", String, primary_key=True),
    Column("ours", Boolean, nullable=False),
    Column("body", Text, nullable=False),
)
PEOPLE: Final = Table(
    "people",
    METADATA,
    Column("id", String, primary_key=True),
    Column("team", String, ForeignKey("teams.name", onupdate="CASCADE"), nullable=False),
    Column("name", String, nullable=False),
    Column("number", String, nullable=False),
    Column("body", Text, nullable=False),
    Index("people_by_team", "team", "name"),
)
MERGES: Final = Table(
    "merges",
    METADATA,
    Column("n", Integer, primary_key=True),
    Column("keep", String, ForeignKey("people.id"), nullable=False),
    Column("gone", String, ForeignKey("people.id"), nullable=False),
    Column("undoes", Integer, ForeignKey("merges.n")),
    Column("at", String, nullable=False),
)
MARKS: Final = Table(
    "marks",
    METADATA,
    Column("n", Integer, primary_key=True),
    Column("person", String, ForeignKey("people.id"), nullable=False),
    Column("mark", String, nullable=False),
    Column("body", Text, nullable=False),
    Index("marks_by_person", "person"),
)
GAMES: Final = Table(
    "games",
    METADATA,
    Column("id", String, primary_key=True),
    Column("game", String, nullable=False),
    Column("date", Date, nullable=False),
    Column("game_no", Integer, nullable=False),
    Column("us", String, ForeignKey("teams.name", onupdate="CASCADE"), nullable=False),
    Column("them", String, ForeignKey("teams.name", onupdate="CASCADE"), nullable=False),
    Column("body", Text, nullable=False),
    Index("games_by_date", "date", "game_no"),
)
ROWS: Final = Table(
    "rows",
    METADATA,
    Column("game_id", String, ForeignKey("games.id"), primary_key=True),
    Column("seq", Integer, primary_key=True),
    Column("action", String, nullable=False),
    Column("kind", String, nullable=False),
    Column("target", Integer),
    Column("joined", Boolean, nullable=False),
    Column("body", Text, nullable=False),
    Column("at", String, nullable=False),
)
BULLPENS: Final = Table(
    "bullpens",
    METADATA,
    Column("id", String, primary_key=True),
    Column("bullpen", String, nullable=False),
    Column("date", Date, nullable=False),
    Column("pitcher", String, ForeignKey("people.id"), nullable=False),
    Column("body", Text, nullable=False),
    Index("bullpens_by_pitcher", "pitcher", "date"),
)
THROWS: Final = Table(
    "throws",
    METADATA,
    Column("bullpen_id", String, ForeignKey("bullpens.id"), primary_key=True),
    Column("n", Integer, primary_key=True),
    Column("body", Text, nullable=False),
)
