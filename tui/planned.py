"""The plan on the screen, and what is asked of it: why, what if, coin flips, its card."""

import secrets
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from sequencer.errors import BadInput
from sequencer.estimates import league
from sequencer.live import coaching
from sequencer.live.scouting import Met, Scouting
from sequencer.planning.plan import Plan
from sequencer.planning.plan import plan as make_plan
from sequencer.planning.trust import from_tenths
from sequencer.planning.what_if import read_preferred
from sequencer.records.held_pitches import Pitches
from sequencer.records.store import Book
from sequencer.reports.plan_text import why_text
from tui import pages
from tui.picture_views import PictureSet
from tui.plan_pictures import plan_pictures
from tui.views import PlanStamp, PlanView

Told = Callable[[str], None]
#: What a question about a plan is answered with.
PlanAnswer = PlanView | PictureSet | Mapping[str, str] | str


@dataclass(frozen=True, eq=False)
class _Made:
    """A plan, what it was made for, and whom its hitters are."""

    stamp: PlanStamp
    hitters: tuple[str, ...]
    pitcher: str
    plan: Plan


class Planner:
    """Makes plans and keeps the last one.

    Parameters
    ----------
    book : Book
    pitches : Pitches
    """

    def __init__(self, book: Book, pitches: Pitches) -> None:
        self._book, self._pitches = book, pitches
        self._made: _Made | None = None

    def plan(self, stamp: PlanStamp, hitters: Sequence[str], told: Told) -> PlanView:
        """Return the plan of hitters (ids, in the order of the line-up) against a pitcher.

        Parameters
        ----------
        stamp : PlanStamp
        hitters : sequence of str
        told : callable
            Takes sentences on how far it is.
        """
        label, plan = self._plan_of(stamp, hitters, told)
        self._made = _Made(stamp, tuple(hitters), label, plan)
        return _view(self._made)

    def _plan_of(self, stamp: PlanStamp, hitters: Sequence[str], told: Told) -> tuple[str, Plan]:
        told("Reading what the book says …")
        held = self._pitches.of((stamp.pitcher_id, *hitters), told)
        scouting = Scouting(self._book, held)
        person = self._book.person(stamp.pitcher_id)
        level = scouting.level_of(person)
        pitcher = scouting.pitcher(stamp.pitcher_id, level)
        told(f"Weighing {len(hitters)} hitters …")
        at = league.load(level)
        men = [scouting.hitter(self._met(id_), at, throws=pitcher.throws) for id_ in hitters]
        told(f"Solving {len(hitters)} at-bats against {person.label} …")
        rules, names = coaching.read(stamp.rules), (man.name for man in men)
        plan = make_plan(
            men,
            pitcher,
            at,
            trust=from_tenths(stamp.trust),
            coach=rules.every,
            rules_for={
                name: rules.single[id_]
                for id_, name in zip(hitters, names, strict=True)
                if id_ in rules.single
            },
            rules=scouting.rules_of(person, level),
        )
        return person.label, plan

    def or_him(self, stamp: PlanStamp, pitcher_id: str, told: Told) -> str:
        """Return this plan beside that of another pitcher: a page of 80 columns."""
        from sequencer.planning.two_pitchers import two_pitchers
        from sequencer.reports.two_pitchers_text import two_pitchers_text

        made = self._held(stamp)
        other = self._plan_of(stamp._replace(pitcher_id=pitcher_id), made.hitters, told)[1]
        told("Solving both again, surer and wilder …")
        return two_pitchers_text(two_pitchers(made.plan, other))

    def coin_flips(self, stamp: PlanStamp, _: str, told: Told) -> PlanView:
        """Return the plan with its coin flips marked."""
        made = self._held(stamp)
        self._made = replace(made, plan=made.plan.with_sensitivity(told))
        return _view(self._made)

    def why(self, stamp: PlanStamp, hitter_id: str, told: Told) -> str:
        """Return why of each call against one hitter: a page of 80 columns."""
        made = self._held(stamp)
        return why_text(made.plan, made.hitters.index(hitter_id))

    def picture(self, stamp: PlanStamp, hitter_id: str, told: Told) -> PictureSet:
        """Return where the calls against one hitter would go, count by count."""
        made = self._held(stamp)
        return plan_pictures(made.plan, made.hitters.index(hitter_id))

    def what_if(self, stamp: PlanStamp, words: str, told: Told) -> Mapping[str, str]:
        """Return what a call the coach prefers costs against each hitter, a sentence each.

        Raises
        ------
        BadInput
            If it is no call, or none of this plan.
        """
        made = self._held(stamp)
        answers = made.plan.what_if(read_preferred(words))
        return {
            id_: pages.as_sentence(f"what if {answer.says}")
            for id_, answer in zip(made.hitters, answers, strict=True)
        }

    def card(self, stamp: PlanStamp, path: str, told: Told) -> str:
        """Write the plan's card, its draw anew each time; return where it is, in a sentence.

        Raises
        ------
        BadInput
            If it cannot be written there.
        """
        from sequencer.reports.card import line_up_of, write_card

        made = self._held(stamp)
        told("Writing the card …")
        line_up = line_up_of(made.plan, [self._met(id_) for id_ in made.hitters])
        files = write_card(made.plan, path, line_up=line_up, seed=secrets.randbits(32))
        return "The card is at " + " and ".join(str(file.resolve()) for file in files) + "."

    def _met(self, id_: str) -> Met:
        return Met(self._book.person(id_), tuple(self._book.marks(id_)))

    def _held(self, stamp: PlanStamp) -> _Made:
        if self._made is None or self._made.stamp != stamp:
            raise BadInput("The plan is being worked out: ask again when it is there.")
        return self._made


def _view(made: _Made) -> PlanView:
    plans = dict(zip(made.hitters, made.plan.hitters, strict=True))
    return PlanView(
        made.stamp,
        made.pitcher,
        heads={id_: pages.head_lines(one) for id_, one in plans.items()},
        counts={id_: pages.count_rows(one) for id_, one in plans.items()},
        turns={id_: pages.turn_lines(one) for id_, one in plans.items()},
        notes=tuple(map(pages.as_sentence, made.plan.notes)),
        arsenal=pages.arsenal_lines(made.plan.arsenal),
    )
