"""The first book: teams, people, merges, marks, games and their rows, bullpens and throws."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make every table of the first version."""
    _people()
    _games()
    _bullpens()


def _people() -> None:
    op.create_table(
        "teams",
        sa.Column("name", sa.String, primary_key=True),
        sa.Column("ours", sa.Boolean, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
    )
    op.create_table(
        "people",
        sa.Column("id", sa.String, primary_key=True),
        sa.Column(
            "team", sa.String, sa.ForeignKey("teams.name", onupdate="CASCADE"), nullable=False
        ),
        sa.Column("name", sa.String, nullable=False),
        sa.Column("number", sa.String, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
    )
    op.create_index("people_by_team", "people", ["team", "name"])
    op.create_table(
        "merges",
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("keep", sa.String, sa.ForeignKey("people.id"), nullable=False),
        sa.Column("gone", sa.String, sa.ForeignKey("people.id"), nullable=False),
        sa.Column("undoes", sa.Integer, sa.ForeignKey("merges.n")),
        sa.Column("at", sa.String, nullable=False),
    )
    op.create_table(
        "marks",
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("person", sa.String, sa.ForeignKey("people.id"), nullable=False),
        sa.Column("mark", sa.String, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
    )
    op.create_index("marks_by_person", "marks", ["person"])


def _games() -> None:
    op.create_table(
        "games",
        sa.Column("id", sa.String, primary_key=True),
        sa.Column("game", sa.String, nullable=False),
        sa.Column("date", sa.Date, nullable=False),
        sa.Column("game_no", sa.Integer, nullable=False),
        sa.Column("us", sa.String, sa.ForeignKey("teams.name", onupdate="CASCADE"), nullable=False),
        sa.Column(
            "them", sa.String, sa.ForeignKey("teams.name", onupdate="CASCADE"), nullable=False
        ),
        sa.Column("body", sa.Text, nullable=False),
    )
    op.create_index("games_by_date", "games", ["date", "game_no"])
    op.create_table(
        "rows",
        sa.Column("game_id", sa.String, sa.ForeignKey("games.id"), primary_key=True),
        sa.Column("seq", sa.Integer, primary_key=True),
        sa.Column("action", sa.String, nullable=False),
        sa.Column("kind", sa.String, nullable=False),
        sa.Column("target", sa.Integer),
        sa.Column("joined", sa.Boolean, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("at", sa.String, nullable=False),
    )


def _bullpens() -> None:
    op.create_table(
        "bullpens",
        sa.Column("id", sa.String, primary_key=True),
        sa.Column("bullpen", sa.String, nullable=False),
        sa.Column("date", sa.Date, nullable=False),
        sa.Column("pitcher", sa.String, sa.ForeignKey("people.id"), nullable=False),
        sa.Column("body", sa.Text, nullable=False),
    )
    op.create_index("bullpens_by_pitcher", "bullpens", ["pitcher", "date"])
    op.create_table(
        "throws",
        sa.Column("bullpen_id", sa.String, sa.ForeignKey("bullpens.id"), primary_key=True),
        sa.Column("n", sa.Integer, primary_key=True),
        sa.Column("body", sa.Text, nullable=False),
    )
