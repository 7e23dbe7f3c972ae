"""Open pitches in the columns of the pitch log, for fits and checks; never part of the project.

The data lies outside the repository: environment variable OPEN_DATA, else ../shared/data/open.
Values that the log has no column for: `contact_value` (expected batting value of a ball in play),
`swing` (known even where the result is not), `source`.
"""

import os
from importlib.util import find_spec
from pathlib import Path

import pandas as pd

FOLDER = Path(
    os.environ.get("OPEN_DATA")
    or Path(__file__).resolve().parents[2].joinpath("shared", "data", "open")
)
FILE = FOLDER / "pitches_open.parquet"
#: Why tests on the open data cannot run here; empty when they can.
MISSING = (
    "" if FILE.exists() and find_spec("pyarrow") else "no open data or no pyarrow on this machine"
)

_RESULTS = {
    "ball": "ball",
    "called_strike": "called strike",
    "foul": "foul",
    "hit_by_pitch": "hit by pitch",
    "in_play": "in play",
    "swinging_strike": "swinging strike",
}
_PLAYS = {
    "out in play": "out",
    "double play": "double play",
    "reached on error": "error",
    "sacrifice fly": "sacrifice fly",
    "sacrifice bunt": "sacrifice bunt",
    "fielder's choice": "fielder's choice",
    "single": "single",
    "double": "double",
    "triple": "triple",
    "home run": "home run",
}


def read(path: Path = FILE) -> pd.DataFrame:
    """Return the located pitches as a pitch log; results kept only in part are unknown."""
    raw = pd.read_parquet(path)
    raw = raw[~raw["duplicate"].astype(bool) & raw["x_in"].notna() & raw["z_in"].notna()]
    raw = raw[(raw["x_in"].abs() <= 60) & (raw["z_in"] >= -24) & raw["bats"].notna()]
    raw = raw[(raw["balls"] <= 3) & (raw["strikes"] <= 2)].reset_index(drop=True)
    result = raw["result"].map(_RESULTS).astype(object).fillna("unknown")
    # One series keeps balls in play and loses misses: it says only whether he swung.
    partial = raw["source"] == "one_hitter_2009_12"
    tipped = (raw["detail"] == "foul tip").fillna(False).astype(bool)
    swing = raw["swing"].astype("boolean")
    frame = pd.DataFrame(
        {
            "source": raw["source"].astype(str),
            # Only the year of a date is kept.
            "date": raw["season"].astype(str) + "-07-01",
            "game": raw["source"].astype(str) + "-" + raw["game_id"].astype(str),
            "at_bat": raw["at_bat_no"].astype("Int64"),
            "pitch_no": raw["pitch_no"].astype("Int64"),
            "pitcher": raw["pitcher_id"].astype("Int64").astype(object).where(
                raw["pitcher_id"].notna(), ""
            ),
            "hitter": raw["batter_id"].astype("Int64").astype(object).where(
                raw["batter_id"].notna(), ""
            ),
            "throws": raw["throws"].astype(object).where(raw["throws"].notna(), ""),
            "bats": raw["bats"].astype(object),
            "balls": raw["balls"].astype(int),
            "strikes": raw["strikes"].astype(int),
            "pitch": raw["pitch_type"].astype(object).where(raw["pitch_type"].notna(), "unknown"),
            "speed_mph": raw["speed_mph"].astype(float),
            "side_in": raw["x_in"].astype(float),
            "height_in": raw["z_in"].astype(float),
            "top_in": raw["zone_top_in"].astype(float),
            "bottom_in": raw["zone_bot_in"].astype(float),
            "seen_from": "measured",
            "result": result.where(~partial, "unknown").where(~tipped, "foul tip"),
            "bunt": (raw["detail"] == "bunt").fillna(False).astype(bool),
            "play": raw["event"].map(_PLAYS).astype(object).fillna(""),
            "launch_deg": raw["launch_deg"].astype(float),
            "contact_value": raw["contact_value"].astype(float),
        }
    )  # fmt: skip
    frame["swing"] = swing.astype(object)
    return frame


NOTICE = (
    "Fitted on public tracking data of one professional league, whose notice allows individual, "
    "non-commercial use; only coefficients are shipped. Levels by count, shares of plays and run "
    "values use Retrosheet: the information used here was obtained free of charge from and is "
    "copyrighted by Retrosheet. Interested parties may contact Retrosheet at www.retrosheet.org."
)


def main() -> None:
    """Fit the committed coefficients again: python -m tests.open_data."""
    from dataclasses import replace

    from sequencer.estimates import coefficients
    from sequencer.estimates.calibrate import calibrated_with_draws
    from sequencer.estimates.fit import fit_league

    # The prior of surprise was fitted on 15,000 swings of open professional pitches, and these are
    # among them: learning from them again would count them twice. (On the 7,489 here it comes to
    # .31 a nat on a miss, standard error .17, and .07, .14, on a foul.)
    fitted = fit_league(
        read(), name="open professional pitches, 2009-2012, 2019, 2023", learn_surprise=False
    )
    found = calibrated_with_draws(fitted)
    found = replace(found, data=found.data | {"notice": NOTICE})
    coefficients.save(found, coefficients.COMMITTED)


if __name__ == "__main__":
    main()
