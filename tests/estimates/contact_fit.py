"""Fit the committed contact surface again: python -m tests.estimates.contact_fit."""

import json

import numpy as np
import pandas as pd

from sequencer.estimates import contact
from tests import open_data


def balls_in_play() -> pd.DataFrame:
    """Return the balls in play whose exit speed, angle and value are known, with their source."""
    raw = pd.read_parquet(open_data.FILE)
    hit = raw[(raw["result"] == "in_play") & raw["contact_value"].notna()]
    return pd.DataFrame(
        {
            "source": hit["source"].astype(str),
            "hitter": hit["batter_id"].astype(str),
            "exit_mph": hit["exit_mph"].to_numpy(dtype=float),
            "launch_deg": hit["launch_deg"].to_numpy(dtype=float),
            "runs": contact.runs_of_value(hit["contact_value"].to_numpy(dtype=float)),
        }
    )


def surface(balls: pd.DataFrame) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
    """Return the surface fitted to balls in play."""
    columns = [balls[name].to_numpy() for name in ("exit_mph", "launch_deg", "runs")]
    return contact.fitted(*columns).reshape(contact.SHAPE)


def main() -> None:
    """Write the committed coefficients."""
    balls = balls_in_play()
    body = {
        "name": f"{len(balls)} balls in play of professionals, 2019 and 2023",
        "notice": open_data.NOTICE,
        "runs": [[float(f"{value:.4g}") for value in row] for row in surface(balls)],
    }
    contact.COMMITTED.write_text(json.dumps(body, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
