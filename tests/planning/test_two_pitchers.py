"""Two pitchers for tonight: what each plan holds hitters to, and how surely."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from sequencer.errors import BadInput
from sequencer.planning.plan import Plan, plan
from sequencer.planning.two_pitchers import two_pitchers
from sequencer.reports.two_pitchers_text import two_pitchers_text
from tests.planning.plan_people import a_hitter, a_league, a_pitcher

MEN = (a_hitter(name="Ada"), a_hitter(name="Bo", bats="L", power=1.0))


@cache
def made(name: str, spread: float, freedom: float = 400.0) -> Plan:
    thrower = replace(a_pitcher(spread=spread, freedom=freedom), name=name)
    return plan(MEN, thrower, a_league())


def test_who_hits_his_spots_saves_runs_and_that_is_said() -> None:
    two = two_pitchers(made("Sure", 8.0), made("Wild", 12.0))
    assert two.pitchers == ("Sure", "Wild")
    assert (two.saved > 0.0).all()
    assert two.says.startswith("Sure saves ")
    turned = two_pitchers(made("Wild", 12.0), made("Sure", 8.0))
    np.testing.assert_allclose(turned.saved, -two.saved, rtol=0, atol=1e-9)
    assert turned.says == two.says
    assert (two.wilder >= two.surer).all()


def test_two_of_whom_little_is_known_are_not_told_apart() -> None:
    two = two_pitchers(made("One", 10.0, freedom=12.0), made("Other", 10.2, freedom=12.0))
    assert "not to be told apart" in two.says
    known = two_pitchers(made("One", 10.0), made("Other", 10.2))
    assert (two.doubt > 2.0 * known.doubt).all()


def test_plans_for_other_hitters_are_refused() -> None:
    other = plan(MEN[:1], a_pitcher(), a_league())
    with pytest.raises(BadInput, match="one line-up"):
        two_pitchers(made("One", 10.0), other)


def test_the_page_names_every_hitter_within_eighty_columns() -> None:
    long = "Marek Osei-Lundqvist-Halloran"
    page = two_pitchers_text(two_pitchers(made("Sure", 8.0), made(long, 12.0)))
    assert max(map(len, page.splitlines())) <= 80
    for name in ("Ada", "Bo", "the line-up"):
        assert any(line.startswith(name) for line in page.splitlines())
