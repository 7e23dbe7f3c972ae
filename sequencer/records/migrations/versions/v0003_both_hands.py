"""A pitcher may throw with both hands, and an event `throws` may say which he shows.

People and events are kept as their JSON, so no table changes; the number tells an older program
that the book may hold what it does not know.
"""

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Change nothing: older pitchers are pitchers of this version with one hand."""
