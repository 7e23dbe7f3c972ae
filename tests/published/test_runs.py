"""Run values against published figures; the source stands beside each number."""

import pytest

from sequencer.baseball.count import COUNTS, Count
from sequencer.baseball.runs import (
    BASE_STATES,
    COUNT_VALUES,
    EXPECTANCY,
    NOTICE,
    TERMINAL_VALUES,
    build_expectancy,
    count_values,
    event_value,
    expectancy,
    out_in_play_value,
    play_value,
    scaled,
)
from sequencer.baseball.situation import EMPTY, Bases

LOADED: Bases = ("a", "b", "c")
BOOK = EXPECTANCY["major 1999-2002"]
OLDER = EXPECTANCY["major 1984-1994"]
COLLEGE = EXPECTANCY["college 2009"]

# nssl.noaa.gov, users/brooks, feda/datasets/expectedruns.html (play-by-play of 1984-1994, credited
# there to Project Scoresheet and Baseball Workshop): outs, bases, expected, times met, total runs.
COUNTED = [
    (0, "---", 0.49, 377390, 186702),
    (0, "1--", 0.88, 97684, 85966),
    (0, "-2-", 1.13, 29342, 33131),
    (0, "12-", 1.50, 21978, 32895),
    (0, "--3", 1.37, 5360, 7333),
    (0, "1-3", 1.75, 9845, 17210),
    (0, "-23", 1.98, 5571, 11011),
    (0, "123", 2.37, 5233, 12419),
    (1, "---", 0.26, 270279, 70996),
    (1, "1--", 0.52, 112521, 58731),
    (1, "-2-", 0.69, 52502, 36227),
    (1, "12-", 0.92, 39375, 36031),
    (1, "--3", 0.96, 18798, 18020),
    (1, "1-3", 1.17, 19988, 23348),
    (1, "-23", 1.40, 14152, 19800),
    (1, "123", 1.57, 13474, 21175),
    (2, "---", 0.10, 215735, 21306),
    (2, "1--", 0.23, 113013, 25469),
    (2, "-2-", 0.33, 64639, 21275),
    (2, "12-", 0.44, 50463, 22358),
    (2, "--3", 0.38, 27006, 10272),
    (2, "1-3", 0.50, 25826, 13007),
    (2, "-23", 0.61, 15357, 9304),
    (2, "123", 0.76, 16281, 12332),
]
MET = {(state, outs): met for outs, state, _, met, _ in COUNTED}


def bases_of(state: str) -> Bases:
    first, second, third = (
        name if mark != "-" else "" for mark, name in zip(state, "abc", strict=True)
    )
    return first, second, third


def test_the_builder_gives_back_the_24_published_rows_from_their_counts() -> None:
    counts = [[0.0] * 3 for _ in range(8)]
    runs = [[0.0] * 3 for _ in range(8)]
    for outs, state, _, met, scored in COUNTED:
        counts[BASE_STATES.index(state)][outs] = met
        runs[BASE_STATES.index(state)][outs] = scored
    built = build_expectancy(counts, runs)
    for outs, state, expected, _, _ in COUNTED:
        assert expectancy(built, bases_of(state), outs) == pytest.approx(expected, abs=0.00501)
        assert expectancy(OLDER, bases_of(state), outs) == expected


# Tango, Lichtman, Dolphin (2006), The Book, table 6: runs of a home run by state.
@pytest.mark.parametrize(
    ("state", "runs"),
    [
        ("---", (1.000, 1.000, 1.000)),
        ("1--", (1.602, 1.725, 1.866)),
        ("-2-", (1.366, 1.573, 1.773)),
        ("--3", (1.071, 1.314, 1.730)),
        ("12-", (1.984, 2.326, 2.652)),
        ("1-3", (1.653, 2.057, 2.581)),
        ("-23", (1.503, 1.830, 2.483)),
        ("123", (2.139, 2.647, 3.304)),
    ],
)
def test_a_home_run_is_worth_the_published_runs_in_every_state(
    state: str, runs: tuple[float, float, float]
) -> None:
    for outs in range(3):
        assert play_value("home run", bases_of(state), outs, BOOK) == pytest.approx(
            runs[outs], abs=0.0011
        )


def test_college_scoring_agrees_with_its_table() -> None:
    # Zimmerman (10 June 2009), Beyond the Box Score: 6.26 runs a team and game in Division I, 2009;
    # nine halves of .70 give 6.30.
    assert COLLEGE.runs_per_game == pytest.approx(6.26, abs=0.05)


def test_a_major_table_moved_to_college_scoring_comes_near_the_college_table() -> None:
    # Zimmerman (2009), as above: eight states by outs. Its table is a model, not a count.
    moved = scaled(BOOK, COLLEGE.runs_per_game)
    gaps = [
        abs(a - b)
        for row, published in zip(moved.values, COLLEGE.values, strict=True)
        for a, b in zip(row, published, strict=True)
    ]
    assert max(gaps) < 0.15
    assert sum(gaps) / len(gaps) < 0.06


# The Book, table 7 (values by change in expectancy), averaged over the states plate appearances
# met in 1984-1994 (COUNTED). Who hits what with whom on base is not even: hence the width.
@pytest.mark.parametrize(
    ("play", "published"),
    [
        ("home run", 1.397),
        ("triple", 1.071),
        ("double", 0.779),
        ("single", 0.478),
        ("error", 0.521),
        ("hit by pitch", 0.351),
        ("walk", 0.323),
        ("strikeout", -0.308),
    ],
)
def test_plays_average_to_the_published_weights(play: str, published: float) -> None:
    mean = sum(
        met * play_value(play, bases_of(state), outs, BOOK) for (state, outs), met in MET.items()
    ) / sum(MET.values())
    assert mean == pytest.approx(published, abs=0.05)


def test_outs_in_play_average_to_the_published_weight() -> None:
    # The Book, tables 4 and 7: a generic out is worth -.295 and -.281.
    mean = sum(
        met * out_in_play_value(bases_of(state), outs, BOOK) for (state, outs), met in MET.items()
    ) / sum(MET.values())
    assert mean == pytest.approx(-0.288, abs=0.02)


def test_a_strikeout_with_the_bases_loaded_and_one_out_costs_most_of_a_run() -> None:
    # Tango (25 Sep 2020), Run Values by Pitch Count, tangotiger.com: -.789; bases empty and none
    # out -.227, in a league of 9 x .481 runs.
    league = scaled(BOOK, 9 * 0.481)
    assert play_value("strikeout", LOADED, 1, league) == pytest.approx(-0.789, abs=0.05)
    assert play_value("strikeout", LOADED, 1, BOOK) == pytest.approx(-0.789, abs=0.05)
    assert play_value("strikeout", EMPTY, 0, league) == pytest.approx(-0.227, abs=0.02)


# Tango, Custom linear weights, tangotiger.net/customlwts.html: runs by runs a game.
@pytest.mark.parametrize(
    ("event", "at_two", "at_five", "at_six"),
    [
        ("single", 0.333, 0.488, 0.522),
        ("double", 0.556, 0.781, 0.826),
        ("triple", 0.773, 1.065, 1.121),
        ("home run", 1.310, 1.406, 1.422),
        ("walk", 0.210, 0.327, 0.354),
        ("hit by pitch", 0.230, 0.353, 0.382),
        ("error", 0.346, 0.506, 0.540),
        ("strikeout", -0.132, -0.316, -0.376),
    ],
)
def test_events_are_read_from_the_published_table(
    event: str, at_two: float, at_five: float, at_six: float
) -> None:
    assert event_value(event, 2) == at_two
    assert event_value(event, 5) == at_five
    assert event_value(event, 6) == at_six


# Zimmerman (2009): run values in the majors at 4.61 runs a game, and in Division I at 6.26.
@pytest.mark.parametrize(
    ("event", "major", "college"),
    [
        ("walk", 0.38, 0.44),
        ("single", 0.49, 0.57),
        ("double", 0.78, 0.86),
        ("triple", 1.07, 1.13),
        ("home run", 1.49, 1.51),
    ],
)
def test_events_grow_from_the_majors_to_college_as_another_author_has_it(
    event: str, major: float, college: float
) -> None:
    assert event_value(event, 4.61) == pytest.approx(major, abs=0.11)
    grown = event_value(event, 6.26) - event_value(event, 4.61)
    assert grown == pytest.approx(college - major, abs=0.04)


def test_count_values_come_out_of_their_transitions() -> None:
    # Computed from Retrosheet 2016, 2019 and 2020, whose notice is kept with the table.
    assert "Retrosheet" in NOTICE
    computed = count_values()
    for count, published in COUNT_VALUES.items():
        assert computed[count] == pytest.approx(published, abs=0.01)


def test_count_values_rise_with_balls_and_fall_with_strikes() -> None:
    for values in (COUNT_VALUES, count_values()):
        for count in COUNTS:
            if count.balls < 3:
                assert values[Count(count.balls + 1, count.strikes)] > values[count]
            if count.strikes < 2:
                assert values[Count(count.balls, count.strikes + 1)] < values[count]


# Tango (29 Nov 2006), Hitting by Count: (wOBA through the count - .332) / 1.15.
@pytest.mark.parametrize(
    ("count", "through"),
    [
        ((3, 0), 0.570),
        ((3, 1), 0.490),
        ((2, 0), 0.443),
        ((3, 2), 0.403),
        ((2, 1), 0.372),
        ((1, 0), 0.371),
        ((1, 1), 0.314),
        ((2, 2), 0.290),
        ((0, 1), 0.283),
        ((1, 2), 0.237),
        ((0, 2), 0.212),
    ],
)
def test_count_values_agree_with_those_of_another_season(
    count: tuple[int, int], through: float
) -> None:
    assert count_values()[Count(*count)] == pytest.approx((through - 0.332) / 1.15, abs=0.011)


def test_a_ball_and_a_strike_on_the_full_count_are_worth_what_others_found() -> None:
    # Walsh's values quoted in Marchi (4 Dec 2009), Pitch run value and count: +.271 and -.349.
    values = count_values()
    full = values[Count(3, 2)]
    assert TERMINAL_VALUES["walk"] - full == pytest.approx(0.271, abs=0.015)
    assert TERMINAL_VALUES["strikeout"] - full == pytest.approx(-0.349, abs=0.02)
    # The same: +.038 and -.044 on the first pitch.
    assert values[Count(1, 0)] == pytest.approx(0.038, abs=0.005)
    assert values[Count(0, 1)] == pytest.approx(-0.044, abs=0.005)


# Shares of plate-appearance ends in Retrosheet 2016, 2019 and 2020, counted here.
SHARES = {
    "out": 0.414,
    "strikeout": 0.223,
    "single": 0.143,
    "walk": 0.080,
    "double": 0.045,
    "home run": 0.034,
    "double play": 0.022,
    "hit by pitch": 0.010,
    "error": 0.008,
    "sacrifice fly": 0.006,
    "triple": 0.004,
    "intentional walk": 0.004,
    "sacrifice bunt": 0.004,
    "fielder's choice": 0.003,
}


def test_the_average_plate_appearance_is_worth_about_nothing_in_its_own_environment() -> None:
    mean = sum(share * event_value(event, 4.6) for event, share in SHARES.items())
    assert mean == pytest.approx(0, abs=0.015)
