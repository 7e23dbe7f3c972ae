"""What takes time: the next call, plans, traits, reviews; on a thread and connection of its own."""

from collections.abc import Callable, Sequence

from sequencer.baseball.levels import level as level_of
from sequencer.errors import BookError
from sequencer.estimates import league
from sequencer.live.scouting import Met, Scouting
from sequencer.records.held_pitches import Pitches, quiet
from sequencer.records.readers.reading import Reading
from sequencer.records.state import State
from sequencer.records.store import Book, open_book
from sequencer.reports.person_page import person_page
from tui import importing, pages, pen_pictures, picturing
from tui.advising import Advising
from tui.history import history, rows_of
from tui.picture_views import PicturesAsked, PictureSet
from tui.planned import PlanAnswer, Planner, Told
from tui.reviewing import Reviewing
from tui.views import (
    AdviceAsked,
    AdviceView,
    Choice,
    PlanQuestion,
    PlanStamp,
    PlanView,
    ReviewAsked,
    ReviewView,
    TraitsView,
    WaysView,
)


class Thinker:
    """Computes for the screens."""

    def __init__(self, path: str) -> None:
        self.book: Book = open_book(path)
        self._pitches = Pitches(self.book)
        self._advising = Advising(self.book, self._pitches)
        self._planner = Planner(self.book, self._pitches)
        self._reviewing = Reviewing(self.book, self._pitches)
        self._read: Reading | None = None

    def close(self) -> None:
        """Let go of the book."""
        self.book.close()

    def advise_at_once(self, state: State, asked: AdviceAsked) -> AdviceView | None:
        """Return the next call by the tables that are there (see `Advising.at_once`)."""
        return self._advising.at_once(state, asked)

    def advise(self, state: State, asked: AdviceAsked, told: Told = quiet) -> AdviceView:
        """Return the next call of the game being logged (see `Advising.advise`)."""
        return self._advising.advise(state, asked, told)

    def beside(self, state: State, asked: AdviceAsked) -> WaysView:
        """Return what stands beside that call (see `Advising.beside`)."""
        return self._advising.beside(state, asked)

    def _scouting(self, person_id: str, told: Told = quiet) -> Scouting:
        """Return what the book says of a person: only games in which he played are read."""
        return Scouting(self.book, self._pitches.of((person_id,), told))

    def traits(self, person_id: str, told: Told = quiet) -> TraitsView:
        """Return what was seen of a hitter and what is believed of him."""
        scouting = self._scouting(person_id, told)
        person = self.book.person(person_id)
        level = self._our_level(scouting)
        met = Met(person, tuple(self.book.marks(person_id)))
        belief = scouting.hitter(met, league.load(level))
        pitches = scouting.pitches_of(person_id)
        assert pitches is not None
        seen = pitches[pitches["hitter_id"] == person.id]
        thrown = bool((pitches["pitcher_id"] == person.id).any())
        return pages.traits_view(
            person_id,
            belief,
            seen,
            level_of(level).zone,
            pitches=thrown or bool(self.book.bullpens(person.id)),
        )

    def page(self, person_id: str, told: Told = quiet) -> str:
        """Return all that is believed of a person, at our level: a page of 80 columns."""
        scouting = self._scouting(person_id, told)
        return person_page(scouting, person_id, level=self._our_level(scouting)).text

    def _our_level(self, scouting: Scouting) -> str:
        ours = next((team for team in self.book.teams() if team.ours), None)
        return scouting.level_of(None, ours.level if ours else "")

    def plan(self, stamp: PlanStamp, hitters: Sequence[str], told: Told) -> PlanView:
        """Return the plan of hitters against a pitcher (see `Planner.plan`)."""
        return self._planner.plan(stamp, hitters, told)

    def of_plan(
        self, question: PlanQuestion, stamp: PlanStamp, words: str, told: Told
    ) -> PlanAnswer:
        """Return the answer to a question about the plan on the screen (see `Planner`)."""
        answers: dict[PlanQuestion, Callable[[PlanStamp, str, Told], PlanAnswer]] = {
            "coin flips": self._planner.coin_flips,
            "why": self._planner.why,
            "what if": self._planner.what_if,
            "card": self._planner.card,
            "or him": self._planner.or_him,
            "picture": self._planner.picture,
            "zones": self._planner.picture,
        }
        return answers[question](stamp, words, told)

    def history(self, person_id: str, told: Told = quiet) -> str:
        """Return every at-bat of a hitter in the book, pitch by pitch: a page."""
        one = self.book.person(person_id)
        return history(rows_of(self._pitches.of((one.id,), told), one.id), one.label)

    def pictures(self, asked: PicturesAsked) -> PictureSet:
        """Return pictures of pitches (see `picturing.pictures`)."""
        return picturing.pictures(asked)

    def pen_pictures(self, pitcher_id: str, pen_id: str) -> PictureSet:
        """Return where a pitcher's throws went about each target (see `pen_pictures`)."""
        return pen_pictures.pen_pictures(self.book, pitcher_id, pen_id)

    def read_file(self, file: str, told: Told) -> int:
        """Read a file, to be written next (see `importing.read`); returns how many rows are new."""
        self._read = importing.read(self.book, file, told)
        return self._read.added

    def write_file(self) -> str:
        """Write the file that was read last to the book (see `importing.write`)."""
        if self._read is None:
            raise BookError("No file has been read that could be written.")
        reading, self._read = self._read, None
        return importing.write(reading)

    def review(self, asked: ReviewAsked, told: Told) -> ReviewView:
        """Return a review (see `Reviewing.review`)."""
        return self._reviewing.review(asked, told)

    def review_whom(self, told: Told) -> tuple[Choice, ...]:
        """Return everybody a review can be of (see `Reviewing.whom`)."""
        return self._reviewing.whom(told)
