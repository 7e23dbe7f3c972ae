import pytest

from sequencer.baseball.count import Count
from sequencer.errors import IllegalEntry
from sequencer.records.pitch import Observed
from sequencer.records.replay import effective, replay
from sequencer.records.state import unnamed_hitter
from tests.records.games import (
    PEOPLE,
    STRIKEOUT,
    WALK,
    event,
    game,
    line_up,
    pitch,
    pitches,
    played,
    rows,
)


def test_a_new_game_begins_with_nobody_on_and_the_lead_off_hitter_up() -> None:
    state = played()
    assert (state.inning, state.half, state.outs, state.bases) == (1, "top", 0, ("", "", ""))
    assert state.count == Count(0, 0)
    assert state.up is not None and state.up.person == "h1"
    assert state.due == ("h1", "h2", "h3")
    assert state.pitcher == "vela"


def test_the_count_follows_the_results_and_the_next_hitter_comes_after_an_at_bat() -> None:
    state = played(*pitches("ball", "foul", "called strike", "foul"))
    assert state.count == Count(1, 2)
    assert (state.at_bat, state.pitch_no) == (1, 5)
    state = played(*pitches("ball", *STRIKEOUT))
    assert (state.at_bat, state.pitch_no, state.outs) == (2, 1, 1)
    assert state.up is not None and state.up.person == "h2" and state.up.bats == "L"


def test_each_logged_pitch_knows_the_moment_before_it_and_what_it_led_to() -> None:
    state = played(*pitches(*WALK, "ball", "single"))
    last = state.log[-1]
    assert last.n == 6
    assert (last.before.balls, last.before.strikes, last.before.pitch_no) == (1, 0, 2)
    assert last.before.on_first == "h1" and last.before.hitter == "h2"
    assert (last.after.end, last.after.play, last.after.bases) == (
        "in play",
        "single",
        ("h2", "h1", ""),
    )


def test_three_outs_open_our_next_half_where_their_order_goes_on() -> None:
    state = played(*pitches("out", "single", "out", "out"))
    assert (state.inning, state.half, state.outs, state.bases) == (2, "top", 0, ("", "", ""))
    assert state.up is not None and state.up.person == "h5"


def test_away_our_half_is_the_bottom() -> None:
    assert played(*pitches("out", "out", "out"), home="them").half == "bottom"


def test_with_both_halves_the_sides_alternate() -> None:
    state = played(*pitches("out", "out", "out"), both_halves=True)
    assert (state.inning, state.half, state.pitching, state.hitting) == (1, "bottom", "them", "us")
    state = played(*pitches(*["out"] * 6), both_halves=True)
    assert (state.inning, state.half, state.pitching) == (2, "top", "us")
    assert state.up is not None and state.up.person == "h4"
    visitors = played(both_halves=True, home="them")
    assert (visitors.half, visitors.pitching) == ("top", "them")


def test_runs_go_to_the_side_at_bat() -> None:
    state = played(*pitches("triple", "home run"))
    assert (state.score_us, state.score_them) == (0, 2)
    state = played(*pitches("out", "out", "out", "home run"), both_halves=True)
    assert (state.score_us, state.score_them) == (1, 0)


def test_a_caught_third_out_during_an_at_bat_gives_the_same_hitter_a_fresh_count() -> None:
    state = played(
        *pitches("out", "out", "single", "ball", "ball"),
        event("caught stealing", base_from="1", base_to="2"),
    )
    assert (state.inning, state.count, state.pitch_no) == (2, Count(0, 0), 1)
    assert state.up is not None and state.up.person == "h4"
    assert state.at_bat == 5


def test_a_hitter_named_before_the_half_ended_still_leads_off_the_next() -> None:
    state = played(
        event("at", who="h1"),
        pitch("single"),
        *pitches("out", "out"),
        event("at", who="bench", bats="R"),
        event("pickoff", base_from="1"),
        known=False,
    )
    assert state.inning == 2
    assert state.up is not None and state.up.person == "bench"


def test_the_order_is_learnt_from_who_came_up_and_closed_when_one_comes_again() -> None:
    entries = [
        entry for who in ("h1", "h2", "h3", "h1") for entry in (event("at", who=who), pitch("out"))
    ]
    state = played(*entries, known=False)
    assert state.order.slots == ("h1", "h2", "h3")
    assert state.up is not None and state.up.person == "h2" and state.up.slot == 2


def test_a_pitch_with_nobody_known_up_is_kept_for_an_unnamed_hitter() -> None:
    state = played(pitch("ball"), known=False)
    assert state.log[0].before.hitter == unnamed_hitter("g", "them", 1)
    assert state.log[0].before.bats_assumed


def test_naming_an_unnamed_hitter_names_him_for_the_whole_at_bat_only() -> None:
    before = pitches("ball", "out", "ball", "called strike")
    state = played(*before, event("at", who="h2"), pitch("foul"), known=False)
    assert [logged.before.hitter for logged in state.log] == [
        unnamed_hitter("g", "them", 1),
        unnamed_hitter("g", "them", 1),
        "h2",
        "h2",
        "h2",
    ]
    assert {logged.before.bats for logged in state.log[2:]} == {"L"}
    assert state.order.slots[1] == "h2"


def test_another_hitter_in_the_middle_of_an_at_bat_is_refused() -> None:
    with pytest.raises(IllegalEntry, match="sub IN for OUT"):
        played(pitch("ball"), event("at", who="h5"))


def test_an_outside_log_may_open_its_own_at_bat_any_time() -> None:
    state = played(pitch("ball"), event("at", who="h5", at_bat=9), pitch("ball"))
    assert (state.at_bat, state.pitch_no) == (9, 2)
    assert state.log[-1].before.hitter == "h5"


def test_naming_a_hitter_out_of_turn_moves_the_order_to_him() -> None:
    state = played(event("at", who="h5"), pitch("out"))
    assert state.up is not None and state.up.person == "h6"


def test_a_switch_hitter_stands_opposite_the_pitchers_hand() -> None:
    right = played(event("at", who="switch"))
    assert right.up is not None and (right.up.bats, right.up.assumed) == ("L", False)
    left = played(event("pitcher", who="moss"), event("at", who="switch"))
    assert left.up is not None and left.up.bats == "R"
    turned = played(event("at", who="switch"), event("pitcher", who="moss"))
    assert turned.up is not None and turned.up.bats == "R"


def test_a_side_said_at_the_plate_goes_before_what_the_book_says() -> None:
    state = played(event("at", who="h1", bats="L"))
    assert state.up is not None and state.up.bats == "L"


def test_a_pinch_hitter_takes_slot_and_count() -> None:
    state = played(
        *pitches("ball", "called strike"), event("substitution", who="bench", for_whom="h1")
    )
    assert state.up is not None and (state.up.person, state.up.slot) == ("bench", 1)
    assert state.count == Count(1, 1)
    assert state.order.slots[0] == "bench"


def test_a_pinch_runner_takes_the_base() -> None:
    state = played(pitch("double"), event("substitution", who="bench", for_whom="h1"))
    assert state.bases == ("", "bench", "")


def test_a_substitute_for_the_pitcher_pitches() -> None:
    assert played(event("substitution", who="moss", for_whom="vela")).pitcher == "moss"


def test_nobody_replaces_someone_who_is_not_in_the_game() -> None:
    with pytest.raises(IllegalEntry, match="not in the game"):
        played(event("substitution", who="bench", for_whom="switch", side="them"))


def test_nobody_comes_in_twice() -> None:
    with pytest.raises(IllegalEntry, match="in the line-up already"):
        played(event("substitution", who="h2", for_whom="h1"))


def test_re_entry_follows_the_rule_set() -> None:
    out = event("substitution", who="bench", for_whom="h1")
    back = event("substitution", who="h1", for_whom="bench")
    assert played(out, back, rules="high-school").order.slots[0] == "h1"
    with pytest.raises(IllegalEntry, match="no re-entry"):
        played(out, back, rules="pro")
    with pytest.raises(IllegalEntry, match="only a starter may, and once"):
        played(out, back, out, rules="high-school")
    assert played(out, back, out, rules="scrimmage").order.slots[0] == "bench"


def test_a_courtesy_runner_only_runs() -> None:
    runner = event("substitution", who="bench", for_whom="h1", reason="courtesy runner")
    state = played(pitch("single"), runner, rules="scrimmage")
    assert state.bases[0] == "bench" and state.order.slots[0] == "h1"
    with pytest.raises(IllegalEntry, match="no courtesy runner"):
        played(pitch("single"), runner, rules="pro")


def test_a_double_steal_is_two_entries_the_lead_runner_first() -> None:
    on = pitches(*WALK, *WALK)
    state = played(
        *on,
        event("steal", base_from="2", base_to="3"),
        event("steal", base_from="1", base_to="2"),
    )
    assert state.bases == ("", "h2", "h1")
    with pytest.raises(IllegalEntry, match="same base"):
        played(*on, event("steal", base_from="1", base_to="2"))


def test_a_runner_who_is_not_there_cannot_steal() -> None:
    with pytest.raises(IllegalEntry, match="no runner on second"):
        played(event("steal", base_from="2", base_to="3"))


def test_a_runner_put_out_is_out_whatever_base_he_went_for() -> None:
    state = played(pitch("single"), event("caught stealing", base_from="1", base_to="2"))
    assert (state.outs, state.bases) == (1, ("", "", ""))


def test_a_wild_pitch_from_third_scores() -> None:
    state = played(pitch("triple"), event("wild pitch", base_from="3", base_to="home"))
    assert (state.score_them, state.bases) == (1, ("", "", ""))
    assert state.happened[-1].scored == ("h1",)


def test_an_intentional_walk_needs_no_pitch_and_forces_runners() -> None:
    state = played(pitch("single"), event("intentional walk"))
    assert state.bases == ("h2", "h1", "")
    assert len(state.log) == 1 and state.pitch_counts == {"vela": 1}
    assert state.up is not None and state.up.person == "h3"


def test_the_umpires_count_is_kept_and_must_exist() -> None:
    state = played(*pitches("ball"), event("count", balls=2, strikes=1))
    assert state.count == Count(2, 1)
    assert state.pitch_no == 2
    with pytest.raises(IllegalEntry, match="no count 4-1"):
        played(event("count", balls=4, strikes=1))


def test_official_pitch_counts_leave_out_what_was_not_thrown() -> None:
    state = played(*pitches("ball", "automatic ball", "automatic strike", "foul"))
    assert state.pitch_counts == {"vela": 2}
    assert state.count == Count(2, 2)


def test_pitches_are_counted_for_the_one_who_threw_them() -> None:
    state = played(pitch("ball"), event("pitcher", who="moss"), pitch("ball"), pitch("ball"))
    assert state.pitch_counts == {"vela": 1, "moss": 2}


def test_hit_by_pitch_while_swinging_is_a_strike() -> None:
    assert played(pitch("hit by pitch")).bases == ("h1", "", "")
    state = played(pitch("hit by pitch", timing="late"))
    assert state.count == Count(0, 1) and state.bases == ("", "", "")


def test_a_dropped_third_strike_lets_him_run_when_first_is_open_and_the_rules_do() -> None:
    two = pitches("called strike", "called strike")
    dropped = pitch("swinging strike", third_strike="dropped")
    assert played(*two, dropped).bases == ("h1", "", "")
    assert played(*two, dropped, rule_edits={"dropped_third_strike": False}).outs == 1
    occupied = played(pitch("single"), *two, dropped)
    assert (occupied.bases, occupied.outs) == (("h1", "", ""), 1)
    thrown_out = pitch("swinging strike", third_strike="dropped", play="out")
    assert played(*two, thrown_out).outs == 1


def test_an_at_bat_may_begin_at_one_and_one() -> None:
    state = played(*pitches("foul", "ball", "foul"), rules="scrimmage")
    assert state.log[0].before.balls == 1 and state.log[0].before.strikes == 1
    assert state.count == Count(2, 2)
    assert played(*pitches("foul", "called strike"), rules="scrimmage").count == Count(1, 1)


def test_the_most_runs_a_half_may_score_end_it() -> None:
    state = played(*pitches(*["home run"] * 5), rules="scrimmage")
    assert (state.inning, state.score_them, state.outs) == (2, 5, 0)


def test_a_half_may_be_ended_without_three_outs() -> None:
    state = played(pitch("single"), event("half ended", reason="dark clouds"))
    assert (state.inning, state.bases, state.outs) == (2, ("", "", ""), 0)


def test_extra_innings_may_place_the_hitter_before_the_lead_off_on_second() -> None:
    edits = {"placed_runner_from_inning": 2}
    state = played(*pitches("out", "out", "out"), rule_edits=edits)
    assert state.bases == ("", "h3", "")


def test_the_boards_score_is_taken_as_said() -> None:
    state = played(event("score", score_us=3, score_them=2))
    assert (state.score_us, state.score_them) == (3, 2)


def test_the_rule_set_says_when_the_game_may_be_over_and_nothing_is_refused() -> None:
    all_out = pitches(*["out"] * 21)
    assert played(*all_out[:-1]).over_reason == ""
    level = played(*all_out)
    assert level.over_reason == ""
    decided = played(*all_out, event("score", score_us=1, score_them=0))
    assert "7 innings" in decided.over_reason
    going_on = played(*all_out, pitch("home run"))
    assert going_on.score_them == 1 and going_on.over_reason == ""


def test_what_an_outside_log_observed_goes_from_there_on() -> None:
    seen = Observed(inning=4, outs=2, on_first="h9", on_third="1", score_them=3, balls=2, strikes=1)
    state = played(pitch("ball", observed=seen))
    before = state.log[0].before
    assert (before.inning, before.outs, before.bases) == (4, 2, ("h9", "", "1"))
    assert (before.score_them, before.balls, before.strikes) == (3, 2, 1)
    assert state.count == Count(3, 1)


def test_an_outside_pitch_or_event_that_does_not_fit_is_noted_and_kept() -> None:
    state = played(
        pitch("double play", observed=Observed()),
        event("steal", base_from="2", base_to="3", imported=True),
    )
    assert len(state.log) == 1 and len(state.happened) == 11
    assert len(state.problems) == 2 and "double play" in state.problems[0]
    with pytest.raises(IllegalEntry):
        played(pitch("double play"))


def test_an_observed_half_turns_the_sides_round() -> None:
    state = played(
        event("at", who="vela", at_bat=2),
        pitch("ball", observed=Observed(inning=1, half="bottom")),
        both_halves=True,
    )
    before = state.log[0].before
    assert (before.pitching, before.hitter, before.slot) == ("them", "vela", 1)
    assert state.orders["us"].slots == ("vela",)


def test_a_play_of_words_that_do_not_exist_is_refused() -> None:
    with pytest.raises(IllegalEntry):
        played(pitch("thrown"))
    with pytest.raises(IllegalEntry):
        played(event("dance"))


def test_replay_of_rows_is_the_reducer_over_effective_entries() -> None:
    entries = [*line_up(), *pitches("ball", "single", "foul")]
    state = replay(game(), PEOPLE, rows(entries))
    assert state == played(*pitches("ball", "single", "foul"))
    assert effective(rows(entries)) == tuple(enumerate(entries, 1))


def test_a_merged_id_means_the_person_kept() -> None:
    people = {**{one.id: one for one in PEOPLE}, "old": PEOPLE[2]}
    state = replay(game(), people, rows([event("at", who="old"), pitch("single")]))
    assert state.bases == (PEOPLE[2].id, "", "")
