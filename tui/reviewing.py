"""Reviews for the review place: whom, which games, and what came of it; kept while they hold."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from sequencer.baseball.levels import level as level_of
from sequencer.errors import BadInput
from sequencer.live.scouting import Scouting
from sequencer.records.frames import bullpen_frame
from sequencer.records.held_pitches import Pitches
from sequencer.records.store import Book
from sequencer.reports.ledger_values import ledger_values
from sequencer.reports.usual_plans import plans_of, usual_plans
from sequencer.review.review import review as make_review
from sequencer.review.reviewed import Review, Reviewed
from tui import review_pages
from tui.review_choices import EVERYONE, chosen_games, in_words, last_games, whom
from tui.review_pitches import Source
from tui.views import Choice, ReviewAsked, ReviewView

if TYPE_CHECKING:
    import pandas as pd

#: Reviews kept: going back and forth between a few is at once.
_KEPT: Final = 8
Told = Callable[[str], None]


class Reviewing:
    """Reviews of a book, on one thread."""

    def __init__(self, book: Book, pitches: Pitches) -> None:
        self._book, self._pitches = book, pitches
        self._kept: dict[tuple[Any, ...], ReviewView] = {}

    def whom(self, told: Told) -> tuple[Choice, ...]:
        """Return everybody a review can be of; the whole book is read for it."""
        return tuple(whom(self._pitches.all(told)))

    def review(self, asked: ReviewAsked, told: Told) -> ReviewView:
        """Return a review; our own is held against the usual plans.

        Parameters
        ----------
        told : callable
            Takes sentences on how far it is.

        Raises
        ------
        BadInput
            If there is no such pitch in the book.
        """
        pens = bullpen_frame(self._book)
        stamp = (tuple(self._book.stamps().items()), tuple(self._book.merges()), len(pens))
        if (stamp, asked) not in self._kept:
            if len(self._kept) >= _KEPT:
                self._kept.pop(next(iter(self._kept)))
            self._kept[stamp, asked] = self._made(asked, pens, told)
        return self._kept[stamp, asked]

    def _made(self, asked: ReviewAsked, pens: "pd.DataFrame", told: Told) -> ReviewView:
        whose, of, who = asked.whom.split("/", 2)
        name = self._book.person(who).label if of == "pitcher" else who or EVERYONE
        frame = self._asked_for(asked, told).reset_index(drop=True)
        if frame.empty and (asked.games or asked.since):
            raise BadInput(f"{name} has no pitches in these games: g and s choose others.")
        if frame.empty:
            raise BadInput(f"{name} has no pitches in the book yet: log or import a game.")
        review = (
            self._of_ours(frame, pens, asked, name, told)
            if whose == "us"
            else _of_theirs(frame, told)
        )
        people = _people(review, of, who)
        if not people:
            raise BadInput(_none(of, name))
        zone = level_of(self._level(whose, who if of == "pitcher" else "")).zone
        source = Source.of(frame, "us" if whose == "us" else "them", zone)
        chosen = in_words(frame, asked)
        return review_pages.review_view(
            name, review, people, source, chosen, "us" if whose == "us" else "them"
        )

    def _asked_for(self, asked: ReviewAsked, told: Told) -> "pd.DataFrame":
        """Return the pitches a review is of; of the book only the games it takes are read."""
        whose, of, who = asked.whom.split("/", 2)
        games = chosen_games(self._book.games(), asked)
        if of == "pitcher":
            his = self._pitches.games_of((who,))
            games = [id_ for id_ in games if id_ in his]
        kind, _, which = asked.games.partition(" ")
        if kind != "last":
            return _by(self._pitches.in_games(games, told), whose, of, who)
        # Which games are the last ones in which he threw shows once some are read.
        late = number = int(which)
        while True:
            frame = _by(self._pitches.in_games(games[-late:], told), whose, of, who)
            if late >= len(games) or frame["game_id"].nunique() >= number:
                return last_games(frame, number)
            late *= 4

    def _of_ours(
        self,
        frame: "pd.DataFrame",
        pens: "pd.DataFrame",
        asked: ReviewAsked,
        name: str,
        told: Told,
    ) -> Review:
        import datetime as dt

        told(f"Planning what {name} should have called …")
        made = plans_of(frame)
        plans, stakes = usual_plans(frame, made)
        told(f"Counting and shuffling {len(frame)} pitches …")
        return make_review(
            frame,
            plans=plans,
            stakes=stakes,
            values=partial(ledger_values, plans=made),
            pens=pens[pens["pitcher_id"].isin(frame["pitcher_id"])],
            since_fix=dt.date.fromisoformat(asked.fix) if asked.fix else "last game",
        )

    def _level(self, whose: str, pitcher: str) -> str:
        scouting = Scouting(self._book)
        if pitcher and whose == "us":
            return scouting.level_of(self._book.person(pitcher))
        ours = next((team for team in self._book.teams() if team.ours), None)
        return scouting.level_of(None, ours.level if ours else "")


def _by(frame: "pd.DataFrame", whose: str, of: str, who: str) -> "pd.DataFrame":
    """Keep what our pitchers threw, or theirs, and of it what one pitcher threw or caller called.

    A catcher is told apart from the others: all pitches are reviewed for his.
    """
    frame = frame[frame["pitching"].fillna("us").replace("", "us") == whose]
    column = {"pitcher": "pitcher_id", "caller": "caller"}.get(of)
    return frame[frame[column] == who] if column else frame


def _of_theirs(frame: "pd.DataFrame", told: Told) -> Review:
    told(f"Counting and shuffling {len(frame)} pitches …")
    return make_review(frame, whose="them")


def _people(review: Review, of: str, who: str) -> tuple[Reviewed, ...]:
    if of == "catcher":
        return tuple(one for one in review.catchers if one.name == who)
    return review.callers if of == "caller" else review.pitchers


def _none(of: str, name: str) -> str:
    if of == "catcher":
        return f"{name} cannot be told apart: too few pitches, or nobody else caught."
    return f"{name} has only pitch-outs and intentional balls in the book."
