"""Frozen snapshots: what a screen shows. The desk and the thinker make them, screens only draw."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal, NamedTuple

from tui.picture_views import NO_FIELD, Field, Seen, ZoneView

Advising = Literal["allowed", "no", "ask"]
#: What can be asked of the plan on the screen.
PlanQuestion = Literal["coin flips", "why", "what if", "card", "or him", "picture", "zones"]
#: Trust by what the book knows of each hitter, where trust is in tenths.
BY_BOOK: Final = -1
#: Rules of the coach's: against whom ("" everybody, else his id), and the words.
Rules = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """One line of a list: what it stands for, what it says."""

    id: str
    says: str
    group: str = ""


@dataclass(frozen=True, slots=True)
class GameLine:
    """One game of the list."""

    id: str
    says: str
    open: bool


@dataclass(frozen=True, slots=True)
class GamesView:
    """The book's games, newest first, and what the book holds."""

    path: str
    games: tuple[GameLine, ...] = ()
    teams: tuple[str, ...] = ()
    people: int = 0

    @property
    def empty(self) -> bool:
        """Whether nothing is in the book yet."""
        return not (self.games or self.teams or self.people)


@dataclass(frozen=True, slots=True)
class DugoutView:
    """The game as the dugout shows it. `stamp` changes with every entry.

    `throws` is the hand of a pitcher who has two, "" else; `marks` has for every line of `entries`
    what marks it (the number of a pitch, the negative row of an event) and the side he hit from;
    `runners` says where the last play took everyone, "" when nobody was on; `advice_hidden` is what
    was chosen for this game, None where nobody chose.
    """

    game_id: str
    stamp: int
    us: str
    them: str
    score_us: int
    score_them: int
    inning: int
    half: str
    we_pitch: bool
    outs: int
    bases: tuple[str, str, str]
    balls: int
    strikes: int
    pitcher_id: str = ""
    pitcher: str = ""
    throws: str = ""
    catcher_id: str = ""
    up_number: str = ""
    up_name: str = ""
    bats: str = ""
    due: tuple[str, ...] = ()
    pitch_count: str = ""
    caution: str = ""
    zone: ZoneView = field(default_factory=ZoneView)
    entries: tuple[str, ...] = ()
    signs: Mapping[str, str] = field(default_factory=dict)
    signs_shown: str = ""
    advising: Advising = "allowed"
    over: str = ""
    problems: tuple[str, ...] = ()
    marks: tuple[tuple[int, str], ...] = ()
    runners: str = ""
    advice_hidden: bool | None = None


class AdviceAsked(NamedTuple):
    """What the next call is asked for.

    Attributes
    ----------
    stamp : int
        The game's last row, given back so that a stale answer can be told.
    trust : int
        In tenths, or `BY_BOOK`.
    rules : tuple of (hitter's id or "" for all, words of a rule)
        Those of the plan.
    """

    stamp: int
    trust: int
    rules: Rules = ()


@dataclass(frozen=True, slots=True)
class AdviceView:
    """What there is to say before the next pitch, for the stamp it was asked for.

    Attributes
    ----------
    stamp : int
    calls : tuple of (share in 100, call)
        The mix, most first.
    why : str
        Of the call drawn.
    guess_rate, zone : str
        Tonight's, a sentence each; "" keeps what was said before.
    note : str
        What must be said beside the calls, a line each; alone, why there are none.
    pitch, target, words : str
        The call drawn, which nobody sees before it is asked for: type, target as the catcher has
        it, both in words.
    leading : str
        Why the first of the mix.
    time_up : str
        Which time through the order it is, and what hitters gain by it.
    behind : int
        Pitches that the mix does not know yet.
    rules : str
        The coach's rules in force against him, and that he has proved one, a line each.
    """

    stamp: int
    calls: tuple[tuple[str, str], ...] = ()
    why: str = ""
    guess_rate: str = ""
    note: str = ""
    pitch: str = ""
    target: str = ""
    words: str = ""
    leading: str = ""
    time_up: str = ""
    zone: str = ""
    behind: int = 0
    rules: str = ""


@dataclass(frozen=True, slots=True)
class WaysView:
    """What walking him and pitching around him are worth beside the call.

    Attributes
    ----------
    stamp : int
    short : str
        In one line of the narrowest panel; "" when neither is worth a word.
    says : tuple of str
        In sentences.
    """

    stamp: int
    short: str = ""
    says: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HitterView:
    """One hitter's page."""

    id: str
    title: str
    note: str
    marks: Mapping[str, str]
    person: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ScoutingView:
    """A team's hitters."""

    team: str
    hitters: tuple[Choice, ...] = ()


@dataclass(frozen=True, slots=True)
class TraitBar:
    """One trait: the whole words for it, short ones, where he is and how unsure that is.

    Mean and standard deviation are in spreads of the level, nought the usual hitter.
    """

    says: str
    short: str
    mean: float
    sd: float


@dataclass(frozen=True, slots=True)
class TraitsView:
    """What was seen of one hitter and what is believed of him.

    Attributes
    ----------
    hitter_id : str
    zone : ZoneView
        The pitches he saw.
    rests_on : str
        How many they are.
    seen : tuple of str
        Swings and misses, a line for each family.
    says : tuple of str
        What sets him apart, how surely, and what cannot be known yet: sentences.
    notes : tuple of str
        Sentences on what it rests on: where marks and pitches disagree, what was left out.
    bars : tuple of TraitBar
        Traits that differ from the usual hitter's, furthest first.
    alike : int
        How many traits do not differ, as far as is known.
    pitches : bool
        Whether he has pitched for us: he has a pitcher's page.
    pictures : tuple of (ZoneView, str)
        Other pictures of the same pitches, each with what it shows and how much it rests on.
    points : tuple of Seen
        The pitches, for the large pictures.
    spray : Field
        Where he hit what he put in play.
    where_hit : str
        The same in a sentence.
    sides : tuple of (Field, tuple of str)
        The same from each side that he hit from, with a sentence and every part's share.
    """

    hitter_id: str
    zone: ZoneView
    rests_on: str
    seen: tuple[str, ...] = ()
    says: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    bars: tuple[TraitBar, ...] = ()
    alike: int = 0
    pitches: bool = False
    pictures: tuple[tuple[ZoneView, str], ...] = ()
    points: tuple[Seen, ...] = ()
    spray: Field = NO_FIELD
    where_hit: str = ""
    sides: tuple[tuple[Field, tuple[str, ...]], ...] = ()


class PlanStamp(NamedTuple):
    """What a plan is asked for.

    Attributes
    ----------
    team, pitcher_id : str
    trust : int
        In tenths; `BY_BOOK` as far as the book knows each hitter.
    rules : tuple of (hitter's id or "" for all, words of a rule)
    """

    team: str
    pitcher_id: str
    trust: int
    rules: Rules = ()


@dataclass(frozen=True, slots=True)
class PlanView:
    """A plan: for each hitter his head lines, counts and what turns; what it rests on."""

    stamp: PlanStamp
    pitcher: str
    heads: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    counts: Mapping[str, tuple[tuple[str, str, str], ...]] = field(default_factory=dict)
    turns: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    arsenal: tuple[str, ...] = ()


class ReviewAsked(NamedTuple):
    """What a review is asked for.

    Attributes
    ----------
    whom : str
        `us/pitcher/ID`, `us/caller/NAME`, `us/catcher/NAME`, `us//` for all of ours, or
        `them/pitcher/ID`.
    games : str
        "" for all, `last N`, `against TEAM` or `game ID`.
    since : str
        Only games from this day on, "" for all.
    fix : str
        Habits of the games before this day are followed up; "" for before the last game.
    """

    whom: str
    games: str = ""
    since: str = ""
    fix: str = ""


@dataclass(frozen=True, slots=True)
class ReviewLists:
    """Whom and which games a review can be of, and the days games were played."""

    whom: tuple[Choice, ...]
    games: tuple[Choice, ...]
    days: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class PatternView:
    """One pattern or one at-bat: its sentence, the picture, the pitches behind it.

    Attributes
    ----------
    flagged : bool
        Whether it is to be changed.
    numbers : str
        What it rests on and what it is worth.
    practise : str
        What to do about it, "" when nothing.
    group : str
        The title it stands under.
    step, pitcher_id : str
        The line of the set list that practises it, and whose; "" when there is none.
    points : tuple of Seen
        The pitches, for the large pictures.
    note : str
        What must be said of how they are drawn.
    """

    id: str
    says: str
    flagged: bool
    numbers: str
    zone: ZoneView
    pitches: tuple[str, ...]
    practise: str = ""
    group: str = ""
    step: str = ""
    pitcher_id: str = ""
    points: tuple[Seen, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class ReviewView:
    """A review: of one pitcher, caller or catcher, or of all of ours.

    Attributes
    ----------
    pitcher : str
        Whose it is.
    head : tuple of str
    patterns, turning : tuple of PatternView
        What could be read; the at-bats that cost runs.
    pages : mapping of tab -> pages of text
        Those that a tab goes through one after the other.
    tells : tuple of (pitcher's id, line of the set list)
        What to practise against tells.
    """

    pitcher: str
    head: tuple[str, ...]
    patterns: tuple[PatternView, ...]
    turning: tuple[PatternView, ...] = ()
    pages: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    tells: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class GameForm:
    """What the form of a new game offers."""

    values: Mapping[str, str]
    levels: tuple[str, ...]
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RulesForm:
    """What the form of a game's rules shows: its title, the changes in one line, a hint."""

    title: str
    edits: str
    told: str


@dataclass(frozen=True, slots=True)
class PlanSetUp:
    """Whom a plan is for: the hitters of a team, one of our pitchers."""

    team: str
    pitcher_id: str
    pitcher: str
    hitters: tuple[Choice, ...] = ()


@dataclass(frozen=True, slots=True)
class ReviewSetUp:
    """Whom a review is of."""

    pitcher_id: str
    pitcher: str


@dataclass(frozen=True, slots=True)
class BullpenView:
    """A bullpen as its place shows it.

    Attributes
    ----------
    pen_id : str
        "" while it has no throw and no list.
    throws : tuple of Choice
        Newest first; the id is the place of the throw, from nought.
    set_no, throw_no, set_size : int
        Of the throw that comes next.
    pitch, target : str
        What is asked for next, the target in the catcher's frame.
    doing : str
        What the set is for, in words.
    steps : tuple of str
        The set list, the line that is next marked.
    bats : str
        The side of the hitter who stands in, or is thought of.
    counted : tuple of str
        Throws tonight, game pitches of the last days beside the limit, who decides.
    watched : str
        The tells that are watched for.
    days : tuple of Choice
        His bullpens, newest first.
    """

    pitcher_id: str
    pitcher: str
    pen_id: str
    date: str
    throws: tuple[Choice, ...]
    zone: ZoneView
    set_no: int
    throw_no: int
    set_size: int
    pitch: str
    target: str
    doing: str = ""
    steps: tuple[str, ...] = ()
    signs: Mapping[str, str] = field(default_factory=dict)
    signs_shown: str = ""
    bats: str = "R"
    counted: tuple[str, ...] = ()
    watched: str = ""
    days: tuple[Choice, ...] = ()
