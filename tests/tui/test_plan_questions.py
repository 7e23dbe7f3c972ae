"""The plan screen's rules, trust and questions, driven by keys."""

import asyncio
from pathlib import Path
from typing import Any

import pytest

from sequencer.planning.coach import read_rule
from sequencer.records.people import Person
from sequencer.records.store import open_book
from tests.tui.driving import opened
from tui import keys
from tui.screens.choose import ChooseScreen, FormScreen, PageScreen
from tui.screens.plan import MOST_TRUST, flips_said, trust_words
from tui.thinking import Thinker
from tui.views import BY_BOOK, PlanStamp, PlanView

COUNTS = (("0-0", "60 ~fastball   40 ~changeup", ""), ("0-1", "100 changeup", ""))


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, str]]:
    """A thinker whose plans and answers cost nothing; the questions it was asked."""
    asked: list[tuple[str, str]] = []
    people: list[str] = []

    def plan(_: Thinker, stamp: PlanStamp, hitters: tuple[str, ...], __: Any) -> PlanView:
        people[:] = hitters
        head = tuple(f"your rules cost: {words} 0.3" for _, words in stamp.rules)
        return PlanView(
            stamp, "Ines Vela", dict.fromkeys(hitters, ("head", *head)),
            dict.fromkeys(hitters, COUNTS), notes=("The note.",),
        )  # fmt: skip

    def of_plan(_: Thinker, question: str, stamp: PlanStamp, words: str, told: Any) -> Any:
        asked.append((question, words))
        view = plan(_, stamp, tuple(people), told)
        if question == "coin flips":
            return view
        if question == "what if":
            return dict.fromkeys(people, f"What if {words}: costs 0.4.")
        pages = {"why": f"Why\n  because of {words}", "or him": f"Him or {words}"}
        return pages.get(question, f"The card is at {words}.")

    monkeypatch.setattr(Thinker, "plan", plan)
    monkeypatch.setattr(Thinker, "of_plan", of_plan)
    return asked


def test_every_rule_key_says_a_rule() -> None:
    rules = [key.action for key in keys.keys_of("plan") if key.action.startswith("rule(")]
    assert len(rules) == 8
    found = [read_rule(action.removeprefix("rule('").removesuffix("')")) for action in rules]
    assert len({repr(rule) for rule in found}) == 8


def test_trust_by_the_book_is_said_and_every_tenth_has_its_bar() -> None:
    assert trust_words(BY_BOOK) == "trust by the book"
    assert trust_words(0) == "trust □□□□□□□□□ 0 (safe)"
    assert trust_words(MOST_TRUST).endswith("0.9 (on the book)")


def test_coin_flips_are_said_by_count() -> None:
    assert flips_said(COUNTS).startswith("~ coin flip at 0-0:")
    assert flips_said(COUNTS[1:]) == "No count is a coin flip."


async def test_trust_begins_by_the_book_and_b_goes_back_to_it(
    two_clubs: str, quick: list[tuple[str, str]]
) -> None:
    async with opened(two_clubs, place="plan") as driven:
        await driven.until_text("trust by the book")
        await driven.press("plus")
        await driven.until_text("trust ■□□□□□□□□ 0.1")
        await driven.press("minus")
        await driven.until_text("(safe)")
        await driven.press("b")
        await driven.until(lambda: driven.screen.trust == BY_BOOK and driven.app.trust == BY_BOOK)


async def test_rules_go_on_and_off_by_one_key_and_only_one_half_holds(
    two_clubs: str, quick: list[tuple[str, str]]
) -> None:
    async with opened(two_clubs, place="plan") as driven:
        await driven.until(lambda: driven.screen.complete)
        await driven.press("1", "5")
        await driven.until_text("your rules cost: nothing down the middle 0.3")
        await driven.press("4")
        words = [words for _, words in driven.screen.rules]
        assert words == ["nothing down the middle", "work in until he proves it"]
        await driven.press("5")
        assert [words for _, words in driven.screen.rules] == ["work in until he proves it"]
        await driven.press("0")
        assert driven.screen.rules == ()


async def test_a_rule_is_typed_for_all_or_for_one_hitter(
    two_clubs: str, quick: list[tuple[str, str]]
) -> None:
    async with opened(two_clubs, place="plan") as driven:
        await driven.until(lambda: driven.screen.complete)
        plan = driven.screen
        await driven.press("r")
        await driven.until(lambda: isinstance(driven.screen, FormScreen))
        await driven.press(*"fastball", "space", *"3-1", "enter")
        await driven.until_text("your rules cost: fastball 3-1 0.3")
        assert plan.rules == (("", "fastball 3-1"),)
        his = (plan._chosen(), "inner half only")
        await plan._rule_typed({"rule": his[1], "whom": "7 Marin (R)"})
        assert plan.rules[-1] == his
        await driven.press("2")
        await driven.until(lambda: len(plan.rules) == 3)
        assert his in plan.rules, "a half against everybody leaves one hitter's own"
        await plan._rule_typed({"rule": his[1], "whom": "7 Marin (R)"})
        assert his not in plan.rules, "said once more it is off"


async def test_a_rule_that_cannot_be_read_comes_back_with_the_reason(
    two_clubs: str, quick: list[tuple[str, str]]
) -> None:
    async with opened(two_clubs, place="plan") as driven:
        await driven.until(lambda: driven.screen.complete)
        plan = driven.screen
        await driven.press("r")
        await driven.until(lambda: isinstance(driven.screen, FormScreen))
        await driven.press(*"gibberish", "enter")
        await driven.until_text("'gibberish' is not a rule.")
        assert plan.rules == () and driven.app.rules == ()
        await driven.press(*["backspace"] * 9, *"no", "space", *"slider", "enter")
        await driven.until(lambda: plan.rules == (("", "no slider"),))
        await driven.until(lambda: driven.app.rules == plan.rules)


async def test_what_if_is_typed_and_its_answer_is_shown_for_the_chosen_hitter(
    two_clubs: str, quick: list[tuple[str, str]]
) -> None:
    async with opened(two_clubs, place="plan") as driven:
        await driven.until_text("The note.")
        chosen = driven.screen._chosen()
        driven.screen.answered(driven.screen._asked, "what if", {chosen: "What if it: costs 0.4."})
        await driven.until_text("What if it: costs 0.4.")
        await driven.press("down")
        await driven.until_text("The note.")
        await driven.press("up", "i")
        await driven.until(lambda: isinstance(driven.screen, FormScreen))
        await driven.press(*"curveball", "space", *"0-0", "enter")
        await driven.until_text("What if curveball 0-0: costs 0.4.")


async def test_coin_flips_why_and_card_are_a_key_each(
    two_clubs: str, quick: list[tuple[str, str]], tmp_path: Path
) -> None:
    async with opened(two_clubs, place="plan") as driven:
        await driven.until(lambda: driven.screen.complete)
        plan, chosen = driven.screen, driven.screen._chosen()
        await driven.press("v")
        await driven.until(lambda: ("coin flips", "") in quick)
        await driven.press("y")
        await driven.until_text(f"because of {chosen}")
        assert isinstance(driven.screen, PageScreen)
        await driven.press("escape")
        await driven.until(lambda: driven.screen is plan)
        await driven.press("k")
        await driven.until(lambda: isinstance(driven.screen, FormScreen))
        await driven.press("enter")
        await driven.until_text("The card is at")
        assert str(Path.home()) in quick[-1][1]


async def test_an_answer_for_an_older_plan_is_dropped(
    two_clubs: str, quick: list[tuple[str, str]]
) -> None:
    async with opened(two_clubs, place="plan") as driven:
        await driven.until(lambda: driven.screen.complete)
        old, chosen = driven.screen._asked, driven.screen._chosen()
        await driven.press("1")
        driven.screen.answered(old, "what if", {chosen: "An old answer."})
        driven.screen.cannot_answer(old, "An old refusal.")
        await asyncio.sleep(0)
        assert "An old" not in await driven.settled()


async def test_a_real_plan_answers_every_question(two_clubs: str, tmp_path: Path) -> None:
    thinker = Thinker(two_clubs)
    people = list(thinker.book.people("Owls"))[:2]
    pitcher = next(p for p in thinker.book.people("Herons") if p.name == "Ines Vela")
    stamp = PlanStamp(
        "Owls", pitcher.id, BY_BOOK, (("", "away half only"), (people[1].id, "no-middle"))
    )
    ids, told = tuple(p.id for p in people), list[str]()
    view = thinker.plan(stamp, ids, told.append)
    assert "your rules cost: away half only" in " ".join(view.heads[ids[0]])
    assert "nothing down the middle" in " ".join(view.heads[ids[1]])
    marked = thinker.of_plan("coin flips", stamp, "", told.append)
    assert isinstance(marked, PlanView)
    assert all(marked.turns.values())
    assert sum("Solving again" in words for words in told) == 9
    said = thinker.of_plan("what if", stamp, "fastball away 0-0", told.append)
    assert isinstance(said, dict)
    assert said[ids[0]].startswith("What if fastball away 0-0: costs")
    page = thinker.of_plan("why", stamp, ids[1], told.append)
    assert isinstance(page, str)
    assert max(map(len, page.splitlines())) <= 80
    where = thinker.of_plan("card", stamp, str(tmp_path / "card.txt"), told.append)
    assert str(tmp_path / "card.txt") in str(where)
    assert (tmp_path / "card.txt").read_text(encoding="utf-8")
    thinker.close()


async def test_another_pitcher_for_tonight_is_chosen_and_held_against_this_one(
    two_clubs: str, quick: list[tuple[str, str]]
) -> None:
    with open_book(two_clubs) as book:
        book.add_person(Person(id="moss", team="Herons", name="Moss", throws="L"))
    async with opened(two_clubs, place="plan") as driven:
        await driven.until(lambda: driven.screen.complete)
        await driven.press("x")
        await driven.until(lambda: isinstance(driven.screen, ChooseScreen))
        await driven.press("enter")
        await driven.until(lambda: isinstance(driven.screen, PageScreen))
        await driven.until_text("Him or moss")
        assert quick[-1] == ("or him", "moss")
        await driven.press("escape")
        await driven.until_text("The note.")


async def test_a_pitcher_is_not_held_against_himself(
    two_clubs: str, quick: list[tuple[str, str]]
) -> None:
    async with opened(two_clubs, place="plan") as driven:
        await driven.until(lambda: driven.screen.complete)
        await driven.press("x")
        await driven.until_text("There is no other pitcher of ours")
        assert ("or him", "vela") not in quick
