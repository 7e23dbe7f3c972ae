"""Reviews for the review place: whom, which games, and what came of it; kept while they hold."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from sequencer.baseball.levels import level as level_of
from sequencer.errors import BadInput
from sequencer.live.scouting import Scouting
from sequencer.records.frames import bullpen_frame
from sequencer.records.store import Book
from sequencer.reports.ledger_values import ledger_values
from sequencer.reports.usual_plans import plans_of, usual_plans
from sequencer.review.review import review as make_review
from sequencer.review.reviewed import Review, Reviewed
from tui import review_pages
from tui.reading import Pitches
from tui.review_pitches import Source
from tui.views import Choice, ReviewAsked, ReviewLists, ReviewView

if TYPE_CHECKING:
    import pandas as pd

#: Reviews kept: going back and forth between a few is at once.
_KEPT: Final = 8
_LATE: Final = (1, 3, 5)
_EVERYONE: Final = "all our pitchers"
Told = Callable[[str], None]


class Reviewing:
    """Reviews of a book, on one thread."""

    def __init__(self, book: Book, pitches: Pitches) -> None:
        self._book, self._pitches = book, pitches
        self._kept: dict[tuple[Any, ...], ReviewView] = {}

    def lists(self) -> ReviewLists:
        """Return whom and which games a review can be of."""
        frame = self._pitches.all()
        return ReviewLists(tuple(_whom(frame)), tuple(_games(frame)), tuple(_days(frame)[::-1]))

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
        name = self._book.person(who).label if of == "pitcher" else who or _EVERYONE
        frame = self._pitches.of((who,)) if of == "pitcher" else self._pitches.all()
        frame = frame[frame["pitching"].fillna("us").replace("", "us") == whose]
        # A catcher is told apart from the others: all pitches are reviewed for his.
        column = {"pitcher": "pitcher_id", "caller": "caller"}.get(of)
        frame = frame[frame[column] == who] if column else frame
        if frame.empty:
            raise BadInput(f"{name} has no pitches in the book yet: log or import a game.")
        frame = of_games(frame, asked.games, asked.since)
        if frame.empty:
            raise BadInput(f"{name} has no pitches in these games: g and s choose others.")
        frame = frame.reset_index(drop=True)
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
        chosen = _in_words(frame, asked)
        return review_pages.review_view(
            name, review, people, source, chosen, "us" if whose == "us" else "them"
        )

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


# which games


def of_games(frame: "pd.DataFrame", games: str, since: str) -> "pd.DataFrame":
    """Keep the games asked for (see `ReviewAsked`)."""
    import pandas as pd

    if since:
        frame = frame[pd.to_datetime(frame["date"]) >= pd.Timestamp(since)]
    kind, _, which = games.partition(" ")
    if kind == "against":
        return frame[frame["them"] == which]
    if kind == "game":
        return frame[frame["game_id"] == which]
    if kind == "last":
        played = list(dict.fromkeys(frame["game_id"]))
        return frame[frame["game_id"].isin(played[-int(which) :])]
    return frame


def _in_words(frame: "pd.DataFrame", asked: ReviewAsked) -> str:
    kind, _, which = asked.games.partition(" ")
    said = {
        "against": f" against {which}",
        "game": f" ({frame['game'].iloc[0]})",
        "last": f", the last {which}" if which != "1" else ", the last",
    }.get(kind, "")
    return said + (f" since {asked.since}" if asked.since else "")


def _whom(frame: "pd.DataFrame") -> Iterator[Choice]:
    ours = frame[frame["pitching"].fillna("us").replace("", "us") == "us"]
    for id_, name in dict(zip(ours["pitcher_id"], ours["pitcher"], strict=True)).items():
        yield Choice(f"us/pitcher/{id_}", f"{name}")
    yield Choice("us//", _EVERYONE)
    for of, does in (("caller", "calls"), ("catcher", "catches")):
        for name in dict.fromkeys(ours[of].dropna()):
            if name:
                yield Choice(f"us/{of}/{name}", f"{name} {does}")
    theirs = frame[frame["pitching"] == "them"]
    who = dict(zip(theirs["pitcher_id"], zip(theirs["pitcher"], theirs["them"], strict=True),
                   strict=True))  # fmt: skip
    for id_, (name, team) in who.items():
        yield Choice(f"them/pitcher/{id_}", f"{name}, {team}: to our hitters")


def _games(frame: "pd.DataFrame") -> Iterator[Choice]:
    yield Choice("", "all games")
    for number in _LATE:
        yield Choice(
            f"last {number}", f"the last {number} games" if number > 1 else "the last game"
        )
    for them in sorted(set(frame["them"].dropna())):
        yield Choice(f"against {them}", f"against {them}")
    played = frame.drop_duplicates("game_id")[["game_id", "date", "them", "game"]]
    for row in played.iloc[::-1].itertuples(index=False):
        yield Choice(f"game {row.game_id}", f"{_day(row.date)}  {row.them}   {row.game}")


def _days(frame: "pd.DataFrame") -> list[Choice]:
    played = frame.dropna(subset=["date"]).drop_duplicates("game_id")
    against: dict[str, list[str]] = {}
    for date, them in zip(played["date"], played["them"], strict=True):
        against.setdefault(_day(date), []).append(str(them))
    return [Choice(day, f"{day}  {', '.join(them)}") for day, them in against.items()]


def _day(date: Any) -> str:
    return "" if date is None or date != date else date.strftime("%Y-%m-%d")
