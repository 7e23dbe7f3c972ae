"""By a plan, a call of the ledger is the plan's own price of it, and the mix is worth nought."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from sequencer.baseball.zone import HALF_WIDTH_IN, away_sign
from sequencer.estimates import command, hitter, league
from sequencer.planning.calls import CoachRules
from sequencer.planning.plan import Plan, plan
from sequencer.planning.throws import plane, weights
from sequencer.reports.ledger_values import Everywhere, PlanPrices, ledger_values
from sequencer.review.coded import encode
from sequencer.review.ledger import PARTS, Ledger, ledger_of
from tests.review.random_log import random_log

ARSENAL = ("fastball", "changeup", "curveball")


def planned(level: str = "17-18", trust: float = 0.0, throws: str = "R") -> Plan:
    pitcher = command.average(level, arsenal=ARSENAL, name="Ames", throws=throws)
    usual = [hitter.average(level, name=bats, bats=bats) for bats in ("R", "L")]
    return plan(usual, pitcher, league.load(level), trust=trust, coach=CoachRules(last_pitch=False))


@pytest.fixture(scope="module")
def made() -> Plan:
    return planned()


def ledger(frame: pd.DataFrame, plans: list[Plan]) -> Ledger:
    log = encode(frame)
    return ledger_of(frame, log, ledger_values(frame, log, plans))


@pytest.mark.parametrize("trust", [0.0, 0.5])
def test_a_call_costs_what_it_costs_in_the_plan(trust: float) -> None:
    made = planned("13-14", trust)
    solved, everywhere = made.solved, Everywhere()
    for h, bats in enumerate(("R", "L")):
        prices = PlanPrices.of(made, bats, everywhere)
        priced = [prices.call(call.pitch, call.target) for call in solved.tables.calls]
        for balls, strikes in np.ndindex(4, 3):
            best = solved.looks[h, balls, strikes, 0]
            habit = solved.tables.habit[h, balls, strikes, 0]
            looks = (1 - trust) * best + trust * habit
            expected = solved.payoffs(h, balls, strikes, 0) @ looks
            found = [runs[3 * balls + strikes] for runs in priced if runs is not None]
            np.testing.assert_allclose(found, expected, atol=1e-9)


def test_every_call_of_the_mix_is_worth_about_nought(made: Plan) -> None:
    solved = made.solved
    for h, bats in enumerate(("R", "L")):
        prices = PlanPrices.of(made, bats)
        for balls, strikes in np.ndindex(4, 3):
            for call, share in zip(
                solved.tables.calls, solved.mix[h, balls, strikes, 0], strict=True
            ):
                runs = prices.call(call.pitch, call.target)
                assert runs is not None
                if share > 0:
                    less = runs[3 * balls + strikes] - solved.value[h, balls, strikes, 0]
                    assert abs(less) < 0.005


def thrown_by(made: Plan, pitches: int, sharper: float = 1.0, seed: int = 0) -> pd.DataFrame:
    """Return pitches drawn from a plan's mix and its pitcher's miss; taken, called by chance."""
    rng, solved = np.random.default_rng(seed), made.solved
    zone, grid = made.given.around.level.zone, plane()
    rows = []
    for i in range(pitches):
        h, balls, strikes = int(rng.integers(2)), int(rng.integers(4)), int(rng.integers(3))
        bats = ("R", "L")[h]
        call = solved.tables.calls[
            rng.choice(len(solved.tables.calls), p=solved.mix[h, balls, strikes, 0])
        ]
        pitch = made.given.pitcher.pitch(call.pitch)
        pitch = replace(pitch, cov=pitch.cov * sharper**2)
        node = rng.choice(grid.u.size, p=weights((call,), pitch, zone, bats)[0])
        rows.append(
            {
                "game": "g", "pitcher": "Ames", "throws": "R", "hitter": bats, "bats": bats,
                "at_bat": i, "pitch_no": 1, "level": made.level, "balls": balls,
                "strikes": strikes, "pitch": call.pitch, "called": call.pitch,
                "target": call.target, "result": "ball", "seen_from": "measured",
                "side_in": away_sign(bats) * grid.u[node] * HALF_WIDTH_IN,
                "height_in": zone.middle_in + grid.v[node] * zone.centre_half_height_in,
            }
        )  # fmt: skip
    return pd.DataFrame(rows)


def mean_and_error(runs: np.ndarray) -> tuple[float, float]:
    return float(np.nanmean(runs)), float(np.nanstd(runs) / np.sqrt(len(runs)))


def test_pitches_drawn_from_the_plan_cost_nothing_by_their_calls_nor_by_their_misses(
    made: Plan,
) -> None:
    frame = thrown_by(made, 4000)
    found = ledger(frame, [made])
    assert found.by_plan.all()
    mean, _ = mean_and_error(found.parts["call"])
    assert abs(mean) < 2e-4
    mean, error = mean_and_error(found.parts["execution"])
    assert abs(mean) < 4 * error
    assert error < 0.002


def test_umpires_who_call_by_chance_cost_nothing(made: Plan) -> None:
    frame = thrown_by(made, 4000, seed=1)
    log = encode(frame)
    values = ledger_values(frame, log, [made])
    as_strikes = ledger_values(frame.assign(result="called strike"), log, [made])
    assert values.taken == pytest.approx(as_strikes.taken)
    chance = (values.taken - values.reached) / (as_strikes.reached - values.reached)
    strike = np.random.default_rng(2).random(len(frame)) < chance
    umpire = np.where(strike, as_strikes.reached, values.reached) - values.taken
    mean, error = mean_and_error(umpire)
    assert abs(mean) < 4 * error


def test_by_one_frozen_plan_hitting_spots_costs_less_than_missing_them(made: Plan) -> None:
    sharp, wild = (
        ledger(thrown_by(made, 1500, size), [made]).parts["execution"].mean() for size in (0.5, 1.5)
    )
    assert sharp < -0.005 < 0.005 < wild


def test_the_parts_add_up_by_plan_as_by_level(made: Plan) -> None:
    frame = random_log(11, at_bats=60)
    found = ledger(frame, [made])
    parts = np.stack([found.parts[part] for part in PARTS])
    known = ~np.isnan(found.runs)
    assert np.abs(np.nansum(parts, axis=0) - found.runs)[known].max() < 1e-9


def test_who_has_no_plan_goes_by_his_level(made: Plan) -> None:
    frame = random_log(12, at_bats=60)
    log = encode(frame)
    by_plan, by_level = ledger(frame, [made]), ledger_of(frame, log)
    others = log.pitcher != log.words.pitchers.index("Ames")
    np.testing.assert_array_equal(by_plan.runs[others], by_level.runs[others])
    assert not by_plan.by_plan[others].any()
    sides = frame["bats"].to_numpy()[log.row]
    np.testing.assert_array_equal(by_plan.by_plan, ~others & (sides != ""))


def test_a_plan_of_someone_who_threw_nothing_changes_nothing(made: Plan) -> None:
    frame = random_log(13)
    nobody = replace(made, pitcher="Nobody")
    np.testing.assert_array_equal(ledger(frame, [nobody]).runs, ledger(frame, []).runs)


def test_a_mirrored_pitcher_has_a_mirrored_ledger(made: Plan) -> None:
    pitch = {
        "game": "g", "pitcher": "Ames", "hitter": "h", "at_bat": 1, "pitch_no": 1, "balls": 1,
        "strikes": 1, "pitch": "curveball", "target": "low-away", "result": "called strike",
        "height_in": 22.0, "seen_from": "measured",
    }  # fmt: skip
    right = pd.DataFrame([{**pitch, "throws": "R", "bats": "R", "side_in": 7.0}])
    left = pd.DataFrame([{**pitch, "throws": "L", "bats": "L", "side_in": -7.0}])
    one, other = ledger(right, [made]), ledger(left, [planned(throws="L")])
    for part in PARTS:
        np.testing.assert_allclose(one.parts[part], other.parts[part], atol=1e-6)


def test_between_the_nodes_of_the_plane_a_place_is_worth_what_lies_between(made: Plan) -> None:
    prices, grid = PlanPrices.of(made, "R"), plane()
    table = prices.place("fast").runs
    read = np.linspace(-3.2, 3.2, len(table))
    inside = np.flatnonzero((np.abs(grid.u) <= 3.0) & (np.abs(grid.v) <= 3.0))
    i, j = (
        np.rint((axis[inside] + 3.2) / (read[1] - read[0])).astype(int) for axis in (grid.u, grid.v)
    )
    away = table[i, j] - prices.nodes["fast"][inside]
    assert np.abs(away).max() < 0.008
    assert np.sqrt((away**2).mean()) < 0.001


def test_a_pitch_he_was_not_planned_with_has_call_and_miss_as_one(made: Plan) -> None:
    frame = random_log(14).assign(
        pitcher="Ames", bats="R", pitch="knuckleball", called="", target="middle", target_when=""
    )
    found = ledger(frame, [made])
    assert np.isnan(found.parts["call"]).all()
    assert not np.isnan(found.parts["call_and_execution"]).all()


def test_what_is_worked_out_for_one_plan_serves_another(made: Plan) -> None:
    everywhere = Everywhere()
    alone = PlanPrices.of(made, "R")
    PlanPrices.of(planned(throws="L"), "R", everywhere)
    PlanPrices.of(planned("13-14"), "R", everywhere)
    again = [PlanPrices.of(made, "R", everywhere) for _ in range(2)]
    for prices in again:
        for family, runs in prices.nodes.items():
            np.testing.assert_array_equal(runs, alone.nodes[family])
