from sequencer.records.box import box
from tests.records.games import STRIKEOUT, WALK, event, pitch, pitches, played


def test_a_box_adds_up_what_pitcher_and_hitters_did() -> None:
    found = box(played(*pitches(*WALK, "single", *STRIKEOUT, "home run", "out")))
    vela = found.pitchers["vela"]
    assert (vela.pitches, vela.batters, vela.walks, vela.hits, vela.strikeouts) == (10, 5, 1, 2, 1)
    assert (vela.runs, vela.outs, vela.balls, vela.strikes) == (3, 2, 4, 6)
    walked, struck, homered = (found.hitters[who] for who in ("h1", "h3", "h4"))
    assert (walked.turns, walked.at_bats, walked.walks, walked.runs) == (1, 0, 1, 1)
    assert (struck.at_bats, struck.strikeouts) == (1, 1)
    assert (homered.hits, homered.runs) == (1, 1)


def test_a_pinch_hitters_strikeout_belongs_to_whoever_had_two_strikes() -> None:
    entries = [
        *pitches("called strike", "called strike"),
        event("substitution", who="bench", for_whom="h1"),
        pitch("swinging strike"),
    ]
    found = box(played(*entries, rules="pro"))
    assert found.hitters["h1"].strikeouts == 1 and "bench" not in found.hitters
    other = box(played(*entries, rule_edits={"inherited_count": "who ends it"}))
    assert other.hitters["bench"].strikeouts == 1


def test_a_walk_from_two_and_nothing_belongs_to_the_pitcher_before() -> None:
    entries = [
        *pitches("ball", "ball"),
        event("pitcher", who="moss"),
        *pitches("ball", "ball", "home run"),
    ]
    found = box(played(*entries))
    assert found.pitchers["vela"].walks == 1 and found.pitchers["moss"].walks == 0
    assert (found.pitchers["vela"].runs, found.pitchers["moss"].runs) == (1, 1)
    assert (found.pitchers["vela"].pitches, found.pitchers["moss"].pitches) == (2, 3)


def test_an_intentional_walk_is_a_walk_without_a_pitch() -> None:
    found = box(played(event("intentional walk")))
    assert (found.pitchers["vela"].walks, found.pitchers["vela"].pitches) == (1, 0)
    assert found.hitters["h1"].walks == 1


def test_outs_on_the_bases_are_the_pitchers() -> None:
    state = played(pitch("single"), event("pickoff", base_from="1"))
    assert box(state).pitchers["vela"].outs == 1
