"""The comparison on held-out pitches holds out what it says, and tells what was said."""

import numpy as np
import pandas as pd
import pytest

from sequencer.estimates import rivals, scoring, steps
from sequencer.estimates.fit_data import data_of
from sequencer.estimates.league import League, load
from tests.estimates import held_out
from tests.estimates.simulated import season


@pytest.fixture(scope="module")
def log() -> pd.DataFrame:
    """Return two sources: one with games and hitters that meet again, one without ids."""
    one = season(500, seed=21)
    at_bat = one["at_bat"].to_numpy()
    one = one.assign(
        source="day_2023",
        game=[f"day-{n}" for n in at_bat // 40],
        hitter=[int(n * 7 % 23) for n in at_bat],
    )
    other = season(200, seed=22).assign(source="called_2012", game="called-0", hitter="")
    takes = other["result"].isin(["ball", "called strike"])
    return pd.concat([one, other[takes]], ignore_index=True)


def test_whole_games_and_whole_hitters_are_held_out(log: pd.DataFrame) -> None:
    tested = np.zeros(len(log), dtype=int)
    for split in held_out.by_game_and_hitter(log, folds=4):
        train, test = log[split.train], log[split.test]
        ids = (train["source"] == "day_2023", test["source"] == "day_2023")
        for column in ("game", "hitter"):
            assert not set(train.loc[ids[0], column]) & set(test.loc[ids[1], column])
        block = np.flatnonzero(split.test & (log["source"] == "called_2012").to_numpy())
        assert (np.diff(block) == 1).all()
        tested += split.test
    assert (tested == 1).all()


def test_each_source_is_held_out_whole(log: pd.DataFrame) -> None:
    for split in held_out.by_source(log):
        assert not (split.train & split.test).any()
        assert set(log.loc[split.test, "source"]) <= {split.name.removeprefix("without ")}


def test_scores_are_the_losses_of_what_league_trees_and_base_rate_say(log: pd.DataFrame) -> None:
    test = (log["source"] == "day_2023").to_numpy() & (np.arange(len(log)) < 900)
    train = (log["source"] == "day_2023").to_numpy() & ~test
    trained: list[int] = []

    def fitter(frame: pd.DataFrame) -> League:
        trained.append(len(frame))
        return load("pro")

    scores = held_out.compare(log, iter([held_out.Split("once", train, test)]), fitter)
    assert trained == [train.sum()]
    swing = next(s for s in scores if (s.step, s.test) == ("swing", "day_2023"))
    before, after = data_of(log[train]), data_of(log[test])
    use, y = steps.used("swing", before)
    here, came = steps.used("swing", after)
    x = [rivals.features(d.rows) for d in (before, after)]
    trees = rivals.grown(x[0][use], y[use], x[1][here])
    assert trees is not None
    assert swing.n == here.sum()
    assert swing.trees == pytest.approx(scoring.losses(came[here], trees).mean())
    ours = steps.told("swing", after.rows.take(here), load("pro"))
    assert swing.ours == pytest.approx(scoring.losses(came[here], ours).mean())
    assert swing.base == pytest.approx(
        scoring.losses(came[here], np.full(here.sum(), y[use].mean())).mean()
    )
    assert swing.ratio == pytest.approx(swing.ours / swing.trees)
    # The error of a ratio of means is what drawing games anew gives.
    told = held_out.Told(came[here], ours, trees, ours, np.arange(here.sum()) // 9)
    found = held_out.score("day_2023", "swing", told)
    rng, drawn = np.random.default_rng(0), []
    losses = np.array([scoring.losses(told.outcome, said) for said in (ours, trees)])
    sums = np.array([np.bincount(told.groups, one) for one in losses])
    for _ in range(600):
        own = sums[:, rng.integers(0, sums.shape[1], sums.shape[1])].sum(1)
        drawn.append(own[0] / own[1])
    assert found.ratio_se == pytest.approx(np.std(drawn), rel=0.15)
    page = held_out.table(scores)
    assert "swing" in page and "nan" not in page
