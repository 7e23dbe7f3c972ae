import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from sequencer.errors import BadInput
from sequencer.records.plain import VERBS, Said, parse
from sequencer.records.plain_pitch import split
from tests.records.games import event


def cells(line: str) -> dict[str, object]:
    said = parse(line)
    assert said is not None and said.what == "pitch"
    return dict(said.cells)


def test_a_pitch_is_type_cell_and_result_then_names() -> None:
    assert cells("changeup, down-away, swinging strike, target=away, called=changeup") == {
        "pitch": "changeup",
        "cell": "down-away",
        "result": "swinging strike",
        "target": "away",
        "called": "changeup",
    }


@pytest.mark.parametrize(
    ("line", "name", "value"),
    [
        ("Fastball , UP-IN ,Ball", "pitch", "fastball"),
        ("unknown, unknown, ball", "cell", "unknown"),
        (", , ball", "pitch", "unknown"),
        ("slider, off-away, foul, speed_mph=71.5", "speed_mph", 71.5),
        ("slider, down-left, foul", "cell", "down-left"),
        ("slider, down-away, foul, bunt=1", "bunt", True),
        ('slider, down-away, foul, note="slow, again"', "note", "slow, again"),
        ('slider, down-away, foul, "note=a ""big"" one, low"', "note", 'a "big" one, low'),
        ("slider, down-away, foul, tells=flare; long look", "tells", ("flare", "long look")),
        ("slider, down-away, foul, tells=flare; hold = 1.5", "tells", ("flare", "hold=1.5")),
        ("slider, down-away, catcher’s interference", "result", "catcher's interference"),
        ("fastball, belt-in, in play, play=single, moves=1-3", "moves", "1-3"),
    ],
)
def test_words_are_read_as_in_a_row_of_a_file(line: str, name: str, value: object) -> None:
    assert cells(line)[name] == value


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ("curve, down-away, ball", "did you mean 'curveball'"),
        ("slider, down-awy, ball", "did you mean 'down-away'"),
        ("slider, down-away, boll", "did you mean 'ball'"),
        ("slider, down-away, ball, tarket=away", "did you mean 'target'"),
        ("slider, down-away, ball, hitter=Ames", "follows from the game"),
        ("slider, down-away, ball, target=away, target=in", "said twice"),
        ("slider, down-away, in play", "needs play="),
        ("slider, down-away, ball, play=single", "goes with in play"),
        ("slider, down-away", "a pitch is PITCH, CELL, RESULT"),
        ("slider, down-away, ball, away", "a pitch is PITCH, CELL, RESULT"),
        ("slider, down-away, ", "needs its result"),
        ("slider, unknown, ball, side_in=900", "off the map"),
        ("slider, unknown, ball, speed_mph=fast", "not a number"),
        ("slider, down-away, ball, tells=hold=long", "'long' of the tell 'hold' is not a number"),
        ("slider, down-away, ball, tells=time to plate=90", "it is 0.4 to 5 s"),
        ("unddo", "did you mean 'undo"),
        ('slider, down-away, ball, note="slow', "not closed"),
        ("undo 3", "alone"),
        ("at", "who is up"),
        ("at 7 S", "R or L"),
        ("sub Ames", "IN for OUT"),
        ("runner 4-home steal", "where the runner went"),
        ("runner 1-2 stael", "did you mean 'steal'"),
        ("walk", "walk intentional"),
        ("count 4-1", "no count 4-1"),
        ("count two", "not a count"),
        ("score 3", "board's score"),
        ("end inning", "end half"),
        ("correct x pitch=slider", "number of a pitch"),
        ("correct 3", "say what to correct"),
        ("correct 3 slider", "not name=value"),
        ("correct 3 outs=2", "follows from the game"),
        ("correct 3 bats=B", "bats"),
        ("insert 3", "takes a pitch or an event"),
        ("insert 3 " * 150 + "undo", "takes a pitch or an event"),
        ("count " + "1" * 1900, "not a count"),
        ("at \x1b[2J", "control character"),
        ("note " + "a" * 3000, "longer than"),
        ("insert 3 undo", "takes a pitch or an event"),
    ],
)
def test_what_cannot_be_read_is_refused_in_a_sentence(line: str, reason: str) -> None:
    with pytest.raises(BadInput, match=reason):
        parse(line)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("at 7 R", Said("event", event=event("at"), who="7", bats="R")),
        ("at #7l", Said("event", event=event("at"), who="#7", bats="L")),
        ("at Sol Pine", Said("event", event=event("at"), who="Sol Pine")),
        ('at "Pine, S" l', Said("event", event=event("at"), who="Pine, S", bats="L")),
        ("pitcher Vela", Said("event", event=event("pitcher"), who="Vela")),
        (
            "sub Sol Pine for Kim",
            Said("event", event=event("substitution"), who="Sol Pine", for_whom="Kim"),
        ),
        (
            "sub courtesy Pine for Kim",
            Said(
                "event",
                event=event("substitution", reason="courtesy runner"),
                who="Pine",
                for_whom="Kim",
            ),
        ),
        ("runner 1-2 steal", Said("event", event=event("steal", base_from="1", base_to="2"))),
        (
            "runner 3-home passed ball",
            Said("event", event=event("passed ball", base_from="3", base_to="home")),
        ),
        ("runner 2-out", Said("event", event=event("out on bases", base_from="2", base_to="out"))),
        ("walk intentional", Said("event", event=event("intentional walk"))),
        ("count 2-1", Said("event", event=event("count", balls=2, strikes=1))),
        ("score 3-2", Said("event", event=event("score", score_us=3, score_them=2))),
        ("end half run limit", Said("event", event=event("half ended", reason="run limit"))),
        ("UNDO", Said("undo")),
        (
            "correct 4 hitter=Kim, bats=l",
            Said("correct", n=4, cells={"hitter": "Kim", "bats": "L"}),
        ),
        ("correct 4 play=", Said("correct", n=4, cells={"play": ""})),
        (
            "insert 4 at 7",
            Said("insert", n=4, entry=Said("event", event=event("at"), who="7")),
        ),
    ],
)
def test_every_other_line_begins_with_its_word(line: str, said: Said) -> None:
    assert parse(line) == said


def test_blank_lines_and_comments_say_nothing() -> None:
    assert [parse(line) for line in ("", "   ", "# warming up", "  # so")] == [None] * 4


@given(st.text(max_size=60))
@example('"')
@example("insert 1 insert 1 insert 1")
def test_no_line_is_anything_but_understood_or_refused(line: str) -> None:
    for text in (line, *(f"{verb} {line}" for verb in VERBS)):
        try:
            parse(text)
        except BadInput as error:
            assert str(error)


@given(
    st.lists(st.text(st.characters(exclude_categories=["Cc", "Cs", "Z"]), min_size=1), min_size=1)
)
def test_quoted_words_come_back_whole(words: list[str]) -> None:
    line = ", ".join('"' + word.replace('"', '""') + '"' for word in words)
    assert split(line) == words


@pytest.mark.parametrize("line", ["runner 1-2 steal", "runner 1 - 2  STEAL", "Runner 1-2\tsteal"])
def test_spaces_and_case_of_a_runner_line_do_not_matter(line: str) -> None:
    said = parse(line)
    assert said is not None and said.event is not None
    assert (said.event.event, said.event.base_from, said.event.base_to) == ("steal", "1", "2")


def test_where_a_pitch_was_logged_is_not_for_a_person_to_say() -> None:
    for line in ("fastball, belt-in, ball, imported=1", "correct 1 imported=1"):
        with pytest.raises(BadInput, match="unknown name 'imported'"):
            parse(line)
