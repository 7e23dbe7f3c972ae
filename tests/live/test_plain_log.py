"""`log --plain` as a script sees it: lines in, answers out."""

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from click.testing import CliRunner
from hypothesis import example, given, settings
from hypothesis import strategies as st

from sequencer.cli.log import command
from sequencer.errors import BadInput
from sequencer.live.opening import NewGame, open_game
from sequencer.live.plain_log import PlainLog
from sequencer.live.session import Session
from sequencer.records.store import open_book

LINE_UP = "hitter,bats,hitter_no\nAmes,R,4\nBirch,L,7\nCole,S,12\n"


def talk(folder: Path, *lines: str, options: tuple[str, ...] = ()) -> list[str]:
    """Return the answers of one run to some lines."""
    args = ["opener", "--plain", "--us", "Herons", "--them", "Owls", "--pitcher", "Vela"]
    line_up = folder / "owls.csv"
    line_up.write_text(LINE_UP)
    args += ["--line-up", str(line_up), "--book", str(folder / "club.db"), *options]
    result = CliRunner().invoke(command, args, input="\n".join(lines), catch_exceptions=False)
    assert result.exit_code == 0
    return result.stdout.splitlines()


def test_a_game_is_logged_line_by_line(tmp_path: Path) -> None:
    assert talk(
        tmp_path,
        "# first inning",
        "",
        "fastball, belt-in, called strike",
        "changeup, down-away, swinging strike, target=away",
        "curve, down-away, ball",
        "curveball, below, ball",
        "fastball, up-in, in play, play=single",
        "runner 1-2 steal",
        "runner 3-home balk",
        "state",
    ) == [
        "ok 1 0-1",
        "ok 2 0-2",
        "no unknown pitch 'curve'; did you mean 'curveball'?",
        "ok 3 1-2",
        "ok 4 0-0",
        "ok 4 0-0",
        "no There is no runner on third: check the bases.",
        "ok 4 0-0 top of inning 1; 0 outs; Ames on second; Herons 0, Owls 0; Birch up, slot 2, "
        "hitting from the left; Vela pitching, 4 pitches",
    ]


def test_a_game_in_the_book_goes_on_where_it_stood(tmp_path: Path) -> None:
    talk(tmp_path, "fastball, belt-in, ball", "fastball, belt-in, ball")
    assert talk(tmp_path, "state", "fastball, belt-in, foul", "undo", "undo", "redo") == [
        "ok 2 2-0 top of inning 1; 0 outs; bases empty; Herons 0, Owls 0; Ames up, slot 1, "
        "hitting from the right; Vela pitching, 2 pitches",
        "ok 3 2-1",
        "ok 2 2-0",
        "ok 1 1-0",
        "ok 2 2-0",
    ]
    with open_book(tmp_path / "club.db") as book:
        assert len(book.games()) == 1 and len(book.people("Owls")) == 3


def test_places_are_kept_as_the_catcher_saw_them(tmp_path: Path) -> None:
    talk(
        tmp_path,
        "fastball, down-away, in play, play=out, target=in",
        "fastball, down-away, ball",
        "fastball, down-left, ball",
        "correct 2 cell=up-in",
    )
    with open_book(tmp_path / "club.db") as book:
        entries = [row.pitch for row in book.rows(book.games()[0].id) if row.pitch]
        changes = [row.changes for row in book.rows(book.games()[0].id) if row.changes]
    assert [(pitch.cell, pitch.target, pitch.entered) for pitch in entries] == [
        ("down-right", "left", "hitter"),
        ("down-left", "", "hitter"),
        ("down-left", "", "catcher"),
    ]
    assert changes == [{"cell": "up-right", "entered": "hitter"}]


def test_hitters_are_made_at_the_plate_and_known_again(tmp_path: Path) -> None:
    answers = talk(
        tmp_path,
        "at 31 L",
        "fastball, belt-in, in play, play=out",
        "at 31",
        "state",
    )
    assert "#31 up" in answers[-1] and "hitting from the left" in answers[-1]
    with open_book(tmp_path / "club.db") as book:
        assert book.find_person("Owls", "31").bats == "L"


def test_two_of_one_name_are_asked_for_by_number(tmp_path: Path) -> None:
    line_up = "hitter,bats,hitter_no\nAmes,R,4\nAmes,L,7\n"
    (tmp_path / "two.csv").write_text(line_up)
    answers = talk(
        tmp_path, "at Ames", "at Ames #7", "state", options=("--line-up", str(tmp_path / "two.csv"))
    )
    assert answers[0].startswith("no Ames (#4) and Ames (#7) are both called Ames")
    assert "Ames up, slot 2" in answers[2]


def test_substitutes_come_in_by_name(tmp_path: Path) -> None:
    answers = talk(
        tmp_path,
        "fastball, belt-in, ball",
        "sub Kemp for Ames",
        "sub Moss for Vela",
        "sub Kemp for Nobody",
        "state",
    )
    assert answers[:4] == [
        "ok 1 1-0",
        "ok 1 1-0",
        "ok 1 1-0",
        "no Nobody in this game is called Nobody.",
    ]
    assert "Kemp up, slot 1" in answers[4] and "Moss pitching, 0 pitches" in answers[4]


def test_a_hitter_corrected_is_corrected_wherever_he_was_said_to_be_up(tmp_path: Path) -> None:
    answers = talk(
        tmp_path,
        "fastball, belt-in, ball",
        "at 4 L",
        "fastball, belt-in, ball",
        "at 4 R",
        "correct 2 hitter=Dale",
        "state",
        "undo",
        "state",
    )
    assert answers[:5] == ["ok 1 1-0", "ok 1 1-0", "ok 2 2-0", "ok 2 2-0", "ok 2 2-0"]
    assert "Dale up, slot 1" in answers[5]
    assert "Ames up, slot 1" in answers[7]


def test_spaces_around_the_names_of_a_new_game_are_not_part_of_them(tmp_path: Path) -> None:
    assert talk(tmp_path, "state", options=("--us", " Herons ", "--them", "Owls "))
    assert talk(tmp_path, "fastball, belt-in, ball") == ["ok 1 1-0"]


def test_corrections_and_insertions_by_number_of_the_pitch(tmp_path: Path) -> None:
    assert talk(
        tmp_path,
        "fastball, belt-in, ball",
        "fastball, belt-in, in play, play=out",
        "insert 2 slider, below, swinging strike",
        "correct 1 result=called strike, pitch=slider",
        "correct 3 hitter=Cole, bats=R",
        "correct 2 result=in play",
        "correct 3 result=foul",
        "insert 1 runner 1-2 steal",
        "correct 4 pitch=slider",
        "count 2-2",
        "state",
    ) == [
        "ok 1 1-0",
        "ok 2 0-0",
        "ok 3 0-0",
        "ok 3 0-0",
        "ok 3 0-0",
        "no in play needs play=, such as play=single or play=out",
        "ok 3 0-2",
        "no There is no runner on first: check the bases.",
        "no There is no pitch 4 in this game; there are pitches 1 to 3.",
        "ok 3 2-2",
        "ok 3 2-2 top of inning 1; 0 outs; bases empty; Herons 0, Owls 0; Cole up, slot 3, "
        "hitting from the right; Vela pitching, 3 pitches",
    ]


def test_a_half_may_end_early_and_the_score_is_the_boards(tmp_path: Path) -> None:
    answers = talk(tmp_path, "walk intentional", "score 3 2", "end half run limit", "state")
    assert "top of inning 2; 0 outs; bases empty; Herons 3, Owls 2; Birch up" in answers[-1]


def test_a_line_that_is_not_text_is_refused_and_logging_goes_on(tmp_path: Path) -> None:
    args = ["x", "--plain", "--book", str(tmp_path / "club.db")]
    lines = b"\xff\xfe, ball\nfastball, belt-in, ball\r\nunknown, unknown, unknown"
    result = CliRunner().invoke(command, args, input=lines)
    assert result.stdout.splitlines() == [
        "no the line is not UTF-8 text: send it again as UTF-8",
        "ok 1 1-0",
        "ok 2 1-0",
    ]


def test_a_new_game_that_cannot_be_made_leaves_nothing(tmp_path: Path) -> None:
    (tmp_path / "bad.csv").write_text("hitter,bats\nAmes,X\n")
    for options in (
        ["--line-up", str(tmp_path / "bad.csv")],
        ["--line-up", str(tmp_path / "none.csv")],
        ["--rules", "backyard"],
        ["--level", "giants"],
        ["--us", "Owls", "--them", "Owls"],
    ):
        args = ["x", "--plain", "--book", str(tmp_path / "club.db"), *options]
        with pytest.raises(BadInput):
            CliRunner().invoke(command, args, input="state", catch_exceptions=False)
    with open_book(tmp_path / "club.db") as book:
        assert book.games() == [] and book.teams() == []


def test_a_name_that_is_another_game_is_refused_unless_the_day_is_another(tmp_path: Path) -> None:
    talk(tmp_path, "fastball, belt-in, ball", options=("--date", "2026-04-18"))
    args = ["opener", "--plain", "--us", "Larks", "--book", str(tmp_path / "club.db")]
    with pytest.raises(BadInput, match="a game of Herons and Owls on 2026-04-18"):
        CliRunner().invoke(command, args, catch_exceptions=False)
    again = talk(tmp_path, "fastball, belt-in, ball", options=("--date", "2026-04-19"))
    assert again == ["ok 1 1-0"]


def test_both_halves_can_be_logged(tmp_path: Path) -> None:
    out = "fastball, belt-in, in play, play=out"
    answers = talk(tmp_path, out, out, out, "pitcher Reed", out, "state", options=("--both",))
    assert answers[-1].endswith(
        "bottom of inning 1; 1 out; bases empty; Herons 0, Owls 0; nobody known to be up; "
        "Reed pitching, 1 pitch"
    )
    with open_book(tmp_path / "club.db") as book:
        assert book.find_person("Owls", "Reed").team == "Owls"


def test_a_team_of_the_book_brings_its_level_and_rules(tmp_path: Path) -> None:
    from sequencer.records.people import Team

    with open_book(tmp_path / "club.db") as book:
        book.add_team(Team(name="Herons", ours=True, level="11-12", rules="youth-46"))
    talk(tmp_path, "state")
    with open_book(tmp_path / "club.db") as book:
        made = book.games()[0]
        assert (made.level, made.rules, made.us) == ("11-12", "youth-46", "Herons")


def test_a_side_in_a_line_up_fills_the_book_or_holds_for_the_game(tmp_path: Path) -> None:
    talk(tmp_path, "fastball, belt-in, ball")
    (tmp_path / "later.csv").write_text("hitter,bats\nAmes,L\nBirch,S\n")
    options = ("--date", "2030-05-01", "--line-up", str(tmp_path / "later.csv"))
    answers = talk(
        tmp_path, "state", "fastball, belt-in, in play, play=out", "state", options=options
    )
    assert "Ames up, slot 1, hitting from the left;" in answers[0]
    assert "Birch up, slot 2" in answers[2]
    with open_book(tmp_path / "club.db") as book:
        assert [book.find_person("Owls", who).bats for who in ("Ames", "Birch")] == ["R", "S"]


def test_a_corrected_pitch_must_still_be_one(tmp_path: Path) -> None:
    assert talk(
        tmp_path,
        "fastball, belt-in, called strike",
        "correct 1 play=single",
        "correct 1 result=in play, play=single, side_in=900",
        "correct 1 result=in play, play=single",
        "correct 1 result=ball",
        "correct 1 cell=off-left, bats=L",
    ) == [
        "ok 1 0-1",
        "no play= goes with in play; a caught foul is in play with spray=foul ground",
        "no A pitch at 900 inches to the side and 30 inches up is off the map: the side goes from "
        "-60 to 60, the height from -24 to 120 inches.",
        "ok 1 0-0",
        "ok 1 1-0",
        "ok 1 1-0",
    ]


LINES = st.sampled_from(
    [
        "fastball, belt-in, ball",
        "slider, down-away, called strike",
        "slider, below, swinging strike, third_strike=dropped",
        "fastball, up-in, in play, play=single",
        "fastball, up-in, in play, play=double play",
        "fastball, up-in, in play, play=error, moves=1-home",
        "fastball, off-in, hit by pitch",
        "at 31 L",
        "at Birch",
        "at Dale",
        "pitcher Moss",
        "catcher Reed",
        "sub Kemp for Ames",
        "sub Ames for Kemp",
        "sub courtesy Kemp for Birch",
        "runner 1-2 steal",
        "runner 2-3 wild pitch",
        "runner 3-home passed ball",
        "runner 1-out pickoff",
        "walk intentional",
        "count 3-2",
        "score 2 2",
        "end half rain",
        "correct 1 result=ball",
        "correct 2 hitter=Cole, pitch=slider",
        "correct 3 pitcher=Moss, bats=L",
        "insert 2 fastball, belt-in, foul",
        "insert 1 runner 1-2 steal",
        "undo",
        "undo",
        "redo",
        "state",
        "nonsense",
    ]
)


@settings(max_examples=30, deadline=None)
@example(["fastball, belt-in, ball"] * 3 + ["correct 3 pitcher=Moss, bats=L"], False, False)
@given(st.lists(LINES, max_size=60), st.booleans(), st.booleans())
def test_whatever_is_said_it_is_answered_and_the_disk_holds_the_same_game(
    lines: list[str], both: bool, named: bool
) -> None:
    with TemporaryDirectory() as folder, open_book(Path(folder) / "club.db") as book:
        line_up = Path(folder) / "owls.csv"
        line_up.write_text(LINE_UP)
        new = NewGame("Herons", "Owls", line_up=line_up if named else None, both_halves=both)
        session = open_game(book, "opener", new)
        log = PlainLog(session)
        for line in lines:
            before = session.state
            answer = log.answer(line)
            if answer.startswith("no "):
                assert session.state == before
            else:
                count = session.state.count
                assert answer.startswith(f"ok {len(session.state.log)} {count}") and count.legal
        assert Session(book, session.game).state == session.state
        assert session.state.problems == ()


# the next call

ALLOWED = ("--rule", "electronic_advice=allowed")


def advice_kept(folder: Path) -> list[str]:
    with open_book(folder / "club.db") as book:
        return [each.pitch.advice for each in Session(book, book.games()[0]).state.log]


def test_call_draws_the_next_call_and_only_the_pitch_after_it_keeps_it(tmp_path: Path) -> None:
    answers = talk(
        tmp_path,
        "fastball, belt-in, ball",
        "call",
        "note windy",
        "fastball, nowhere, ball",
        "call",
        "changeup, down-away, foul",
        "changeup, down-away, ball",
        options=ALLOWED,
    )
    assert answers[0] == "ok 1 1-0"
    call, why = answers[1].removeprefix("call ").split("; ", 1)
    assert "he is" in why
    assert answers[2] == "ok 1 1-0" and answers[3].startswith("no ")
    assert answers[4] == answers[1]
    assert advice_kept(tmp_path) == ["", call, ""]
    with open_book(tmp_path / "club.db") as book:
        pitch = Session(book, book.games()[0]).state.log[1].pitch
    assert (pitch.called, pitch.target, pitch.target_when) == ("", "", "")


@pytest.mark.parametrize(
    "between", ["pitcher Moss", "count 2-1", "undo", "sub Kemp for Ames", "fastball, belt-in, ball"]
)
def test_a_call_drawn_for_another_situation_is_not_kept(tmp_path: Path, between: str) -> None:
    talk(tmp_path, "fastball, belt-in, ball", options=ALLOWED)
    answers = talk(tmp_path, "call", between, "changeup, down-away, foul", options=ALLOWED)
    assert [answer.split()[0] for answer in answers] == ["call", "ok", "ok"]
    assert advice_kept(tmp_path)[-1] == ""


def test_what_a_line_says_of_advice_wins(tmp_path: Path) -> None:
    talk(tmp_path, "call", "fastball, belt-in, ball, advice=slider away", options=ALLOWED)
    assert advice_kept(tmp_path) == ["slider away"]


@pytest.mark.parametrize(
    ("rule", "says"), [("ask", "ask it first"), ("no", "do not allow electronic advice")]
)
def test_call_answers_in_one_sentence_where_the_rules_give_no_advice(
    tmp_path: Path, rule: str, says: str
) -> None:
    answers = talk(
        tmp_path, "call", "fastball, belt-in, ball", options=("--rule", f"electronic_advice={rule}")
    )
    assert answers[0].startswith("no ") and says in answers[0] and answers[0].count(".") == 1
    assert answers[1] == "ok 1 1-0"
    assert advice_kept(tmp_path) == [""]


def test_call_says_what_stands_beside_it_where_first_base_is_open(tmp_path: Path) -> None:
    single = "fastball, belt-middle, in play, play=single"
    open_, taken = talk(tmp_path, "call", single, "call", options=ALLOWED)[::2]
    assert "; walking him costs 0." in open_ and "; pitching around him " in open_
    assert "walking" not in taken


def test_a_call_keeps_the_coach_s_rules_and_says_them(tmp_path: Path) -> None:
    rules = ("--coach-rule", "one-half=in", "--coach-rule", "no changeup")
    lines = ("call", "fastball, belt-in, ball", "call")
    first, _, second = talk(tmp_path, *lines, options=(*ALLOWED, *rules))
    for answer in (first, second):
        call = answer.split("; ")[0]
        assert call.endswith("in") and "changeup" not in call
        assert "; Rules: inner half only; no changeup" in answer


def test_a_coach_s_rule_that_is_none_is_refused_before_anything_is_logged(tmp_path: Path) -> None:
    args = ["opener", "--book", str(tmp_path / "club.db"), "--coach-rule"]
    with pytest.raises(BadInput, match="'gibberish' is not a rule"):
        CliRunner().invoke(command, [*args, "gibberish", "--plain"], catch_exceptions=False)
    with pytest.raises(BadInput, match="goes with --plain"):
        CliRunner().invoke(command, [*args, "no-middle"], catch_exceptions=False)
    assert not (tmp_path / "club.db").exists()


def test_call_with_more_on_its_line_is_refused(tmp_path: Path) -> None:
    (answer,) = talk(tmp_path, "call slider", options=ALLOWED)
    assert answer == "no call stands alone on its line"
