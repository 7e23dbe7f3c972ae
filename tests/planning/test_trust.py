"""Trust by what the book knows: nought for a stranger, more with pitches and marks, bounded."""

from dataclasses import replace

import numpy as np
import pytest

from sequencer.errors import BadInput
from sequencer.estimates import hitter, league
from sequencer.estimates.traits import INDEX
from sequencer.planning.plan import plan
from sequencer.planning.trust import AUTO, HABIT, MOST_TRUST, from_tenths, known, trust_in, trusts
from sequencer.records.people import Mark, Person
from tests.estimates import simulated
from tests.planning.plan_people import LEVEL, a_hitter, a_league, a_pitcher


def marked(*names: str) -> hitter.HitterBelief:
    person = Person(id="h", team="", name="h", bats="R")
    return hitter.believe(person, [Mark(person="h", mark=name) for name in names], None, a_league())


def test_a_stranger_is_not_trusted() -> None:
    assert known(hitter.average(LEVEL)) == 0.0
    assert trusts(AUTO, [hitter.average(LEVEL)]).tolist() == [0.0]


def test_pitches_seen_make_a_habit_known_more_and_more() -> None:
    man, at = Person(id="h", team="", name="h", bats="R"), league.load(LEVEL)
    log = simulated.pitches(600, level=LEVEL, seed=3, league=at)
    shares = [known(hitter.believe(man, (), log[:n], at)) for n in (30, 150, 600)]
    assert 0.0 < shares[0] < shares[1] < shares[2] < 1.0


def test_a_mark_of_the_habit_counts_by_what_it_moves_and_others_do_not() -> None:
    once = known(marked("first-pitch swinger"))
    assert once == pytest.approx((1.0 - 1.0 / (1.0 + 1.5**2)) / len(HABIT))
    assert known(marked("first-pitch swinger", "sits fastball")) > once
    assert known(marked("extends")) == 0.0


def test_what_is_wholly_known_is_trusted_as_far_as_anything() -> None:
    cov = hitter.average(LEVEL).cov.copy()
    for name in HABIT:
        cov[INDEX[name], INDEX[name]] = 0.0
    assert trust_in(replace(hitter.average(LEVEL), cov=cov)) == MOST_TRUST


def test_a_trust_that_is_said_is_everybodys_and_must_be_in_range() -> None:
    assert trusts(0.3, [a_hitter(), a_hitter()]).tolist() == [0.3, 0.3]
    assert (from_tenths(-1), from_tenths(4)) == (AUTO, 0.4)
    for wrong in (-0.1, 0.95, "much"):
        with pytest.raises(BadInput, match="auto"):
            trusts(wrong, [a_hitter()])  # type: ignore[arg-type]


def test_each_hitter_of_a_plan_is_trusted_as_if_he_stood_alone() -> None:
    sure = marked("first-pitch swinger", "sits fastball", "swings at everything")
    both = plan([a_hitter(), sure], a_pitcher(), a_league(), trust=AUTO)
    assert both.by_book
    assert [one.trust for one in both.hitters] == [0.0, trust_in(sure)]
    assert both.trust == pytest.approx(trust_in(sure) / 2.0)
    for h, man in enumerate((a_hitter(), sure)):
        alone = plan([man], a_pitcher(), a_league(), trust=both.hitters[h].trust)
        assert np.allclose(both.solved.value[h], alone.solved.value[0], atol=1e-9)
        assert both.hitters[h].if_book_right == pytest.approx(
            alone.hitters[0].if_book_right, abs=1e-3
        )
    said = both.as_json()
    assert said["trust_by"] == "book"
    assert [one["trust"] for one in said["hitters"]] == [one.trust for one in both.hitters]
