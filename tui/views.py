"""Frozen snapshots: what a screen shows. The desk and the thinker make them, screens only draw."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal, NamedTuple

Advising = Literal["allowed", "no", "ask"]
#: What can be asked of the plan on the screen.
PlanQuestion = Literal["coin flips", "why", "what if", "card"]
#: Trust by what the book knows of each hitter, where trust is in tenths.
BY_BOOK: Final = -1


@dataclass(frozen=True, slots=True)
class Spot:
    """One pitch on the zone picture: catcher's inches, what is drawn, how loud."""

    side_in: float
    height_in: float
    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class ZoneView:
    """A zone picture.

    Attributes
    ----------
    top_in, bottom_in : float
        The zone, inches above the ground.
    bats : str
        R or L draws the hitter's side; "" neither.
    spots : tuple of Spot
        Single pitches.
    cells : Mapping[str, tuple[int, str]]
        Cell in the catcher's frame -> how many (for shading), what is written on it.
    """

    top_in: float = 41.0
    bottom_in: float = 19.0
    bats: str = ""
    spots: tuple[Spot, ...] = ()
    cells: Mapping[str, tuple[int, str]] = field(default_factory=dict)


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
    """The game as the dugout shows it. `stamp` changes with every entry."""

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
    up_number: str = ""
    up_name: str = ""
    bats: str = ""
    due: tuple[str, ...] = ()
    pitch_count: str = ""
    caution: str = ""
    zone: ZoneView = ZoneView()
    entries: tuple[str, ...] = ()
    signs: Mapping[str, str] = field(default_factory=dict)
    signs_shown: str = ""
    advising: Advising = "allowed"
    over: str = ""
    problems: tuple[str, ...] = ()


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
    rules: tuple[tuple[str, str], ...] = ()


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
    rules: tuple[tuple[str, str], ...] = ()


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


@dataclass(frozen=True, slots=True)
class PatternView:
    """One pattern: its sentence, whether it is flagged, the picture, the pitches behind it.

    `practise` says what to do about it, "" when nothing.
    """

    id: str
    says: str
    flagged: bool
    numbers: str
    zone: ZoneView
    pitches: tuple[str, ...]
    practise: str = ""


@dataclass(frozen=True, slots=True)
class ReviewView:
    """The review of one pitcher."""

    pitcher: str
    head: tuple[str, ...]
    patterns: tuple[PatternView, ...]


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
