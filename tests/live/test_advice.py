"""Advice for the pitch to come, from a game's state, a book, a file or a level alone."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from sequencer.baseball.count import Count
from sequencer.baseball.rules import RULES
from sequencer.cli.plan import command as plan_command
from sequencer.cli.suggest import command as suggest_command
from sequencer.errors import BadInput, CoachError, NotInBook
from sequencer.estimates.hitter import HitterBelief
from sequencer.live.advice import Adviser, Asked, last_call, moment_of
from sequencer.live.opening import NewGame, open_game
from sequencer.live.scouting import Scouting, parse_arsenal, read_hitters
from sequencer.live.session import Session
from sequencer.planning.calls import Call, read_call
from sequencer.planning.stakes import Moment
from sequencer.records.people import Mark, Person, Team
from sequencer.records.pitch import Pitch
from sequencer.records.store import Book, open_book
from tests.planning.plan_people import a_hitter, a_league, a_pitcher

RULES_HERE = RULES["high-school"]
HITTERS = """hitter,hitter_no,bats,marks
Rook Alder,7,R,late on the fastball: always
Moss Pike,12,L,extends; dives
,24,S,first-pitch swinger
"""
AVERAGE = ("--pitcher", "Abel Crane", "--level", "17-18", "--arsenal", "fastball,changeup")


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with open_book(tmp_path / "club.db") as opened:
        opened.add_team(Team(name="Herons", ours=True, level="15-16"))
        opened.add_team(Team(name="Owls"))
        opened.add_person(
            Person(id="p1", team="Herons", name="Abel Crane", number="24", throws="L")
        )
        opened.add_person(Person(id="h1", team="Owls", name="Rook Alder", number="7", bats="R"))
        opened.add_person(Person(id="h2", team="Owls", number="24", bats="S"))
        opened.add_mark(Mark(person="h1", mark="late on the fastball", how_often="always"))
        yield opened


@pytest.fixture
def session(book: Book, tmp_path: Path) -> Session:
    line_up = tmp_path / "owls.csv"
    line_up.write_text("hitter,bats,hitter_no\nRook Alder,R,7\n,S,24\n")
    new = NewGame(us="Herons", them="Owls", pitcher="Abel Crane", line_up=line_up)
    return open_game(book, "opener", new)


# from a state


def test_a_state_tells_its_runners_and_its_last_pitch(session: Session) -> None:
    assert last_call(session.state) is None
    session.add(Pitch(result="ball", pitch="fastball", cell="down-right"))
    assert moment_of(session.state).outs == 0
    assert last_call(session.state) == Call("fastball", "down-away")
    session.add(Pitch(result="in play", pitch="changeup", play="single"))
    assert last_call(session.state) is None
    assert [bool(base) for base in moment_of(session.state).bases] == [True, False, False]


def test_a_last_pitch_of_unknown_place_is_taken_where_it_was_asked_for(session: Session) -> None:
    session.add(Pitch(result="ball", pitch="curveball", cell="unknown", target="left"))
    assert last_call(session.state) == Call("curveball", "in")
    session.add(Pitch(result="ball", pitch="unknown", cell="down-left"))
    assert last_call(session.state) is None


# the suggestion


@pytest.fixture(scope="module")
def adviser() -> Adviser:
    return Adviser(a_pitcher(spread=8.0), a_league(), RULES_HERE)


@pytest.fixture(scope="module")
def man() -> HitterBelief:
    return a_hitter()


def test_shares_sum_to_one_and_every_call_says_why(adviser: Adviser, man: HitterBelief) -> None:
    found = adviser.advise(Asked(man, Count(1, 2)))
    assert sum(one.share for one in found.calls) == pytest.approx(1.0)
    assert [one.share for one in found.calls] == sorted(
        (one.share for one in found.calls), reverse=True
    )
    assert all(one.why.startswith("he is ") and "runs" in one.why for one in found.calls)
    runs = [one.runs for one in found.calls]
    assert max(runs) - min(runs) < 0.01  # in a mix no call is much better than another


def test_the_draw_follows_the_shares_and_its_seed(adviser: Adviser, man: HitterBelief) -> None:
    asked = Asked(man, Count(0, 0))
    drawn = [adviser.advise(asked, seed=(7, n)).draw for n in range(300)]
    assert drawn == [adviser.advise(asked, seed=(7, n)).draw for n in range(300)]
    for one in adviser.advise(asked).calls:
        share = sum(call == one.call for call in drawn) / len(drawn)
        assert share == pytest.approx(one.share, abs=0.1)


def test_a_situation_is_solved_once(adviser: Adviser, man: HitterBelief) -> None:
    first = adviser.prepared(man, Moment(("a", "", ""), 1))
    assert adviser.prepared(man, Moment(("b", "", ""), 1)) is first
    assert adviser.prepared(man, Moment(("b", "", ""), 2)) is not first


def test_the_same_side_at_the_other_speed_is_worth_a_little(
    adviser: Adviser, man: HitterBelief
) -> None:
    def worth(last: str | None) -> float:
        found = adviser.advise(Asked(man, Count(0, 1), last=read_call(last) if last else None))
        return sum(one.share * one.runs for one in found.calls)

    gain = worth(None) - worth("changeup away")
    assert 0.0 < gain < 0.01


def test_the_reason_counts_a_ball_as_the_tables_do(adviser: Adviser, man: HitterBelief) -> None:
    solved = adviser.prepared(man, Moment()).solved
    why = adviser.advise(Asked(man, Count(3, 2))).calls[0].why
    cost = solved.tables.stakes.walk - float(solved.value[0, 3, 2, 0])
    assert f"a ball costs {cost:.2f} runs" in why


# who is meant


def test_the_book_says_level_hand_and_marks(book: Book) -> None:
    known = Scouting(book)
    crane = known.find_pitcher("24")
    assert crane is not None and crane.name == "Abel Crane"
    assert known.level_of(crane) == "15-16"
    assert known.level_of(crane, "college") == "college"
    thrower = known.pitcher("Abel Crane", "15-16", arsenal=("fastball", "slider"))
    assert thrower.throws == "L"
    assert [pitch.pitch for pitch in thrower.arsenal] == ["fastball", "slider"]
    rook, switch = (
        known.hitter(met, a_league(), throws=thrower.throws) for met in known.line_up("owls")
    )
    assert (rook.name, rook.bats, switch.name, switch.bats) == ("Rook Alder", "R", "#24", "R")
    assert rook.trait("fast")[0] < 0.0


def test_a_file_of_hitters_needs_no_book_and_no_team(tmp_path: Path) -> None:
    path = tmp_path / "owls.csv"
    path.write_text(HITTERS)
    rook, moss, nobody = read_hitters(path)
    assert (rook.person.label, moss.person.bats, nobody.person.label) == (
        "Rook Alder",
        "L",
        "#24",
    )
    assert [mark.mark for mark in moss.marks] == ["extends", "dives"]


def test_a_file_is_joined_with_what_the_book_holds(book: Book, tmp_path: Path) -> None:
    path = tmp_path / "owls.csv"
    path.write_text("team,hitter,bats,marks\nOwls,Rook Alder,,dives\n")
    (rook,) = Scouting(book).line_up(str(path))
    assert (rook.person.id, rook.person.bats) == ("h1", "R")
    assert {mark.mark for mark in rook.marks} == {"late on the fastball", "dives"}


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("hitter,bats,marks\nRook,R,flies\n", r"line 2: .*flies"),
        ("hitter,bats\nRook,X\n", "line 2: .*bats"),
        ("hitter,bats\n,R\n", "line 2: names no hitter"),
        ("hitter,bats\n", "names no hitter"),
        ("", "is empty"),
        (
            "hitter,mark\nRook,dives\n",
            r"bad\.csv has a column nobody knows: 'mark' \(did you mean ",
        ),
        (
            "hitter,bat,hat\nRook,R,red\n",
            r"columns nobody knows: 'bat' \(did .* 'bats'\?\), 'hat';",
        ),
    ],
)
def test_a_bad_file_of_hitters_is_told_by_line(tmp_path: Path, text: str, sentence: str) -> None:
    path = tmp_path / "bad.csv"
    path.write_text(text)
    with pytest.raises(BadInput, match=sentence):
        read_hitters(path)


def test_keys_of_json_lines_are_columns_and_what_holds_nothing_loses_nothing(
    tmp_path: Path,
) -> None:
    path = tmp_path / "owls.jsonl"
    path.write_text('{"hitter": "Rook", "hat": ""}\n{"hitter": "Moss", "Marks": ["dives"]}\n')
    assert [len(met.marks) for met in read_hitters(path)] == [0, 1]
    path.write_text('{"hitter": "Rook"}\n{"hitter": "Moss", "marked": ["dives"]}\n')
    with pytest.raises(BadInput, match=r"'marked' \(did you mean 'marks'\?\); name it as one of"):
        read_hitters(path)


def test_names_that_mean_nobody_or_two_are_refused(book: Book) -> None:
    known = Scouting(book)
    with pytest.raises(NotInBook, match="say what he throws"):
        known.pitcher("Nobody", "17-18")
    with pytest.raises(NotInBook, match="No team of the book is called Crows"):
        known.line_up("Crows")
    with pytest.raises(NotInBook, match="There is no book"):
        Scouting().line_up("Owls")
    book.add_person(Person(id="p2", team="Herons", name="Abel Crane", number="31"))
    with pytest.raises(NotInBook, match="More than one player is called Abel Crane"):
        known.find_pitcher("Abel Crane")
    with pytest.raises(BadInput, match="changup"):
        parse_arsenal("fastball, changup")


# the commands


def _run(command: object, *args: str) -> str:
    result = CliRunner().invoke(command, args, catch_exceptions=False)  # type: ignore[arg-type]
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.fixture
def hitters(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setenv("SEQUENCER_BOOK", str(tmp_path / "not there.db"))
    path = tmp_path / "owls.csv"
    path.write_text(HITTERS)
    return str(path)


def test_plan_works_without_a_book_and_says_so(hitters: str, tmp_path: Path) -> None:
    text = _run(plan_command, "--hitters", hitters, *AVERAGE, "--trust", "0.3")
    assert "Abel Crane is not in the book: planned from what is usual at 17-18." in text
    assert "Rook Alder (hits right)" in text
    assert "Leaning on the book 3 of 10" in text
    assert max(len(line) for line in text.splitlines()) <= 80
    assert not (tmp_path / "not there.db").exists()


def test_plan_as_json_is_only_json_and_writes_tables_when_asked(
    hitters: str, tmp_path: Path
) -> None:
    tables = tmp_path / "game.npz"
    said = json.loads(
        _run(plan_command, "--hitters", hitters, *AVERAGE, "--json", "--tables", str(tables))
    )
    assert [one["hitter"] for one in said["hitters"]] == ["Rook Alder", "Moss Pike", "#24"]
    assert tables.exists()


def test_the_coachs_rules_reach_the_plan(hitters: str) -> None:
    rules = ("--never", "changeup", "--no-last-pitch")
    said = json.loads(_run(plan_command, "--hitters", hitters, *AVERAGE, *rules, "--json"))
    calls = [c for h in said["hitters"] for one in h["counts"].values() for c in one["calls"]]
    assert {call["pitch"] for call in calls} == {"fastball"}
    assert said["hitters"][1]["rules_cost"] > 0.0


def test_a_plan_out_of_a_book_uses_its_pitches(session: Session) -> None:
    for _ in range(4):
        session.add(Pitch(result="ball", pitch="curveball", cell="down-right"))
    args = ("--hitters", "Owls", "--pitcher", "Crane", "--book", str(session.book.path))
    with pytest.raises(CoachError, match="is not a pitcher of the book"):
        CliRunner().invoke(plan_command, args, catch_exceptions=False)
    said = json.loads(
        _run(plan_command, "--hitters", "Owls", "--pitcher", "Abel Crane", *args[4:], "--json")
    )
    assert said["level"] == "15-16"
    calls = [c for h in said["hitters"] for one in h["counts"].values() for c in one["calls"]]
    assert {call["pitch"] for call in calls} == {"curveball"}


def test_suggest_answers_one_state(hitters: str) -> None:
    where = ("--hitter", "24", "--count", "2-1", "--outs", "1", "--bases", "1-3")
    args = (*AVERAGE, *where, "--last", "fastball away", "--bats", "L")
    said = json.loads(_run(suggest_command, *args, "--json"))
    assert set(said) == {"state", "calls", "draw", "guess_rate", "beside"}
    assert said["guess_rate"] is None
    assert said["state"]["bases"] == "1-3"
    assert {"pitch", "target", "share", "runs", "why"} == set(said["calls"][0])
    text = _run(suggest_command, *args)
    assert text.startswith(
        "24 (hits left), 2-1, one out, runners on first and third, after a fastball away\n"
    )
    assert "Drawn: " in text
    assert max(len(line) for line in text.splitlines()) <= 80


def test_suggest_tells_a_games_guess_rate_once_there_is_one(session: Session) -> None:
    for n in range(40):
        session.add(Pitch(result="foul", pitch="fastball" if n % 2 else "changeup"))
    args = ("--pitcher", "Abel Crane", "--hitter", "Rook Alder", "--count", "0-2", "--json")
    said = json.loads(
        _run(suggest_command, *args, "--game", "opener", "--book", str(session.book.path))
    )
    assert 0.0 <= said["guess_rate"] <= 1.0


def test_suggest_knows_what_a_game_has_shown(session: Session) -> None:
    thrown = [
        ("curveball", "ball", "below-middle"),
        ("fastball", "called strike", "belt-off-right"),
    ]
    for n in range(28):
        pitch, result, cell = thrown[n % 2]
        session.add(Pitch(result=result, pitch=pitch, cell=cell, entered="catcher"))
    args = ("--pitcher", "Abel Crane", "--hitter", "Rook Alder", "--count", "1-1", "--json")
    book = ("--book", str(session.book.path))
    said = json.loads(_run(suggest_command, *args, "--game", "opener", *book))
    assert {call["pitch"] for call in said["calls"]} == {"fastball"}
    assert any("0 strikes in 14 today" in note for note in said["state"]["notes"])
    assert any(note.startswith("Strikes called") for note in said["state"]["notes"])
    with pytest.raises(NotInBook, match="No game of the book is called nowhere"):
        CliRunner().invoke(
            suggest_command, (*args, "--game", "nowhere", *book), catch_exceptions=False
        )


@pytest.mark.parametrize(
    ("args", "sentence"),
    [
        (("--count", "4-1"), "no count 4-1"),
        (("--count", "2-1", "--bases", "4"), "who is on base"),
        (("--count", "2-1", "--last", "heater away"), "does not begin with a pitch type"),
        (("--count", "2-1", "--last", "fastball yonder"), "not a place to aim at"),
        (("--count", "2-1", "--level", "majors"), "is not a level"),
    ],
)
def test_a_bad_question_is_refused_in_a_sentence(
    hitters: str, args: tuple[str, ...], sentence: str
) -> None:
    base = ("--pitcher", "Abel Crane", "--arsenal", "fastball", "--hitter", "24")
    with pytest.raises(BadInput, match=sentence):
        CliRunner().invoke(suggest_command, (*base, *args), catch_exceptions=False)
