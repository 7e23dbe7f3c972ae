"""The frozen base of every record."""

from pydantic import BaseModel, ConfigDict


class Record(BaseModel):
    """A frozen value; unknown fields are refused so that a typing slip is never lost in silence."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)
