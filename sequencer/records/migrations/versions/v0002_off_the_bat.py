"""A pitch may hold what was measured off the bat: `exit_mph`, `launch_deg`, `contact_value`.

A pitch is kept as its JSON, so no table changes; the number tells an older program that the book
may hold what it does not know.
"""

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Change nothing: older pitches are pitches of this version without a measurement."""
