"""Chances to win beside the games that were won: `python -m tests.baseball.win_chances`.

Three professional seasons of plate appearances (tests.open_data.FOLDER, never part of the project).
The half is found from the order: a game begins with its top, and outs never fall within a half.
"""

from importlib.util import find_spec

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from sequencer.baseball.half_innings import half_inning
from sequencer.baseball.rules import rule_set
from sequencer.baseball.win_chances import Score, WinChances, win_chances
from tests.open_data import FOLDER

FILE = FOLDER / "sequences_open.parquet"
MISSING = (
    "" if FILE.exists() and find_spec("pyarrow") else "no open data or no pyarrow on this machine"
)
_COLUMNS = [
    *("game_id", "at_bat_no", "season", "outs", "on_1b", "on_2b", "on_3b"),
    *("inning", "score_diff_fielding", "event"),
]
#: Ends that leave a trailing side beaten when they are the last of a game.
_OUT = ("out in play", "strikeout", "double play", "fielder's choice", "sacrifice fly")


def plate_appearances() -> pd.DataFrame:
    """Every plate appearance with its half, the home lead, what followed and who won.

    Columns `state` (0..23), `bottom`, `home` (lead), `half_id`, `come` (runs to the end of the
    half; missing in the last half) and `won` (home; missing where a game ended early).
    """
    pitches = pd.read_parquet(FILE, columns=_COLUMNS)
    keys = ["game_id", "at_bat_no"]
    found = pitches.drop_duplicates(keys)
    ends = pitches.dropna(subset=["event"]).drop_duplicates(keys, keep="last")
    found = found.drop(columns="event").merge(ends[[*keys, "event"]], on=keys, how="left")
    found = found.sort_values(keys, ignore_index=True)
    begins = (
        (found["game_id"] != found["game_id"].shift())
        | (found["inning"] != found["inning"].shift())
        | (found["outs"] < found["outs"].shift())
    )
    found["half_id"] = begins.cumsum()
    halves = found.groupby("half_id").first()
    nth = halves.groupby(["game_id", "inning"]).cumcount()
    found["bottom"] = found["half_id"].map(nth) > 0
    found["home"] = found["score_diff_fielding"].where(
        ~found["bottom"], -found["score_diff_fielding"]
    )
    found["state"] = (
        8 * found["outs"] + found["on_1b"] * 1 + found["on_2b"] * 2 + found["on_3b"] * 4
    )
    found["come"] = _to_come(found)
    found["won"] = found["game_id"].map(_winners(found))
    return found[found["half_id"].map(nth) < 2]


def _to_come(found: pd.DataFrame) -> pd.Series:
    first = found.drop_duplicates("half_id").set_index("half_id")
    after = first["home"].shift(-1).where(first["game_id"] == first["game_id"].shift(-1))
    end = found["half_id"].map(after)
    return (end - found["home"]).where(found["bottom"], found["home"] - end)


def _winners(found: pd.DataFrame) -> pd.Series:
    """Whether the home side won, by game; those that ended before the ninth are left out."""
    last = found.drop_duplicates("game_id", keep="last").set_index("game_id")
    caught = last["bottom"] & (last["home"] < 0) & last["event"].isin(_OUT)
    return (~caught & ~(~last["bottom"] & (last["home"] <= 0))).astype(float)[last["inning"] >= 9]


def expected(found: pd.DataFrame, chances: WinChances) -> NDArray[np.float64]:
    """The home side's chance to win before every plate appearance."""
    wins = np.empty(len(found))
    rows = found.reset_index(drop=True)
    for _, part in rows.groupby(["inning", "bottom", "home"]):
        one = part.iloc[0]
        half = "bottom" if one["bottom"] else "top"
        table = chances.table(Score(int(one["inning"]), half, int(one["home"])))
        wins[part.index] = table[0, part["state"].to_numpy(dtype=np.intp)]
    return wins


def nine_innings(found: pd.DataFrame) -> pd.DataFrame:
    """Plate appearances of games won in nine innings or more, up to the ninth."""
    return found[found["won"].notna() & (found["inning"] <= 9)]


def runs_per_game(found: pd.DataFrame) -> float:
    """Nine times the runs of a half, counted over those that were played out."""
    first = found[found["inning"] <= 8].drop_duplicates("half_id")
    return 9.0 * float(first["come"].mean())


def both_ways(found: pd.DataFrame, wins: NDArray[np.float64]) -> pd.DataFrame:
    """Chance and outcome of the side that hits: home's advantage cancels in most cells."""
    bottom = found["bottom"].to_numpy()
    won = found["won"].to_numpy(dtype=np.float64)
    return pd.DataFrame(
        {
            "chance": np.where(bottom, wins, 1.0 - wins),
            "won": np.where(bottom, won, 1.0 - won),
            "inning": found["inning"].to_numpy(),
            "lead": np.where(bottom, found["home"], -found["home"]),
            "bottom": bottom,
        }
    )


def main() -> None:
    """Print calibration by chance, by inning and lead, and runs of a half."""
    if MISSING:
        print(MISSING)  # noqa: T201
        return
    found = plate_appearances()
    scoring = runs_per_game(found)
    kept = nine_innings(found)
    wins = expected(kept, win_chances(rule_set("pro"), scoring))
    said = both_ways(kept, wins)
    lines = [
        f"{len(kept)} plate appearances, {kept['game_id'].nunique()} games, {scoring:.2f} runs"
    ]
    lines.append(f"home won {kept.drop_duplicates('game_id')['won'].mean():.3f} of games")
    tenth = (said["chance"] * 10).astype(int).clip(0, 9)
    lines.append("hitting side's chance, won, plate appearances")
    for _, part in said.groupby(tenth):
        chance, won = part["chance"].mean(), part["won"].mean()
        lines.append(f"  {chance:.3f} {won:.3f} {len(part):7d}")
    lines.append("by inning and the hitters' lead: chance, won (standard error of games)")
    for (inning, lead), part in said[said["lead"].abs() <= 3].groupby(["inning", "lead"]):
        error = 0.5 / np.sqrt(max(len(part) / 4.2, 1.0))
        chance, won = part["chance"].mean(), part["won"].mean()
        lines.append(f"  {inning} {lead:+d}  {chance:.3f} {won:.3f} ({error:.3f})")
    half = half_inning(scoring)
    begin = found[(found["inning"] <= 8)].drop_duplicates("half_id")["come"].dropna()
    lines.append("runs of a half: counted, chain")
    lines += [f"  {k} {np.mean(begin == k):.4f} {half.runs[0, k]:.4f}" for k in range(7)]
    print("\n".join(lines))  # noqa: T201


if __name__ == "__main__":
    main()
