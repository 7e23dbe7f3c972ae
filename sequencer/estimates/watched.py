"""What a dugout sees before each pitch, from pitches in the order thrown."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from sequencer.baseball import count, pitches
from sequencer.estimates.visits import Codes, Visits

if TYPE_CHECKING:
    import pandas as pd

Words = NDArray[np.str_]

#: Hitters after whom an order begins again.
_ORDER: Final = 9
#: Times through an order that are told apart; later ones are the last of these.
_TIMES: Final = 4
#: Place in `CARD_ROWS` of each count, at 3 * balls + strikes.
_CARD_ROW: Final = np.array(
    [tuple(count.CARD_ROWS).index(count.card_row(each)) for each in count.COUNTS], dtype=np.int64
)
#: Columns of a log that only some have: name here -> there.
_NUMBERS: Final = {"outs": "outs", "inning": "inning"}
_BASES: Final = ("on_first", "on_second", "on_third")
_SIDES: Final = ("R", "L")
_EMPTY: Final = ("", "0", "0.0", "nan", "None", "<NA>")


@dataclass(frozen=True)
class Seen:
    """What a dugout sees of each pitch, in the order thrown; every array has shape (pitches,).

    `label` is what came, from 0 to `labels` - 1; the `columns` hold codes of any kind (-1 is
    unknown) known before the pitch: "count", "bats", "previous" and whatever else `known_before`
    makes. `group` keeps apart pitchers whose habits are not each other's.
    """

    label: Codes
    labels: int
    columns: Mapping[str, Codes]
    group: Codes

    def __len__(self) -> int:
        return len(self.label)

    def only(self, rows: Codes | NDArray[np.bool_]) -> "Seen":
        """Return the pitches at these places."""
        columns = {name: column[rows] for name, column in self.columns.items()}
        return Seen(self.label[rows], self.labels, columns, self.group[rows])


def known_before(
    label: Codes, balls: Codes, strikes: Codes, at_bat: Codes, game: Codes | None = None
) -> dict[str, Codes]:
    """Return what is known before each pitch from the pitches themselves.

    Parameters
    ----------
    label, balls, strikes : ndarray, shape (pitches,)
        What came, and the count before it.
    at_bat : ndarray, shape (pitches,)
        Differs between at-bats, and between pitchers of one at-bat.
    game : ndarray, shape (pitches,), optional
        Differs between games, and between pitchers of one game; 0 or more.

    Returns
    -------
    dict
        "count", "card row"; "previous" and "second last", the pitches before in the at-bat;
        "came of it", whether the pitch before was a ball (0), a strike (1) or a foul that kept the
        count (2); "nth pitch" of the at-bat; "time through" the order of nine, from 0. What is not
        known is -1.
    """
    real = (balls >= 0) & (balls <= 3) & (strikes >= 0) & (strikes <= 2)
    number = np.where(real, balls * 3 + strikes, -1)
    new = np.ones(len(label), dtype=np.bool_)
    new[1:] = at_bat[1:] != at_bat[:-1]
    at = np.arange(len(label))
    nth = at - np.maximum.accumulate(np.where(new, at, 0)) if len(label) else at
    columns = {
        "count": number,
        "card row": np.where(real, _CARD_ROW[number], -1),
        "previous": _earlier(label, nth, 1),
        "second last": _earlier(label, nth, 2),
        "came of it": _came(balls, strikes, nth),
        "nth pitch": nth,
    }
    unknown = np.full(len(label), -1, dtype=np.int64)
    columns["time through"] = unknown if game is None else _times_through(new, game)
    return columns


def _earlier(label: Codes, nth: Codes, back: int) -> Codes:
    """Return what came so many pitches ago in the at-bat, -1 before its start."""
    earlier = np.full(len(label), -1, dtype=np.int64)
    earlier[back:] = np.where(nth[back:] >= back, label[:-back], -1)
    return earlier


def _came(balls: Codes, strikes: Codes, nth: Codes) -> Codes:
    """Return what came of the pitch before, told from the counts; -1 for a first pitch."""
    more_balls = np.diff(balls, prepend=balls[:1])
    more_strikes = np.diff(strikes, prepend=strikes[:1])
    came = np.where(more_balls > 0, 0, np.where(more_strikes > 0, 1, 2))
    return np.where(nth > 0, came, -1).astype(np.int64)


def _times_through(new: NDArray[np.bool_], game: Codes) -> Codes:
    """Return how often nine have come up since the pitcher's first at-bat of the game."""
    at_bats = Visits.of(game).before(new[:, None].astype(np.float64))[:, 0] + new
    return np.minimum((at_bats - 1) // _ORDER, _TIMES - 1).astype(np.int64)


def _unknown() -> Codes:
    return np.zeros(0, dtype=np.int64)


def _unnamed() -> Words:
    return np.zeros(0, dtype=np.str_)


@dataclass(frozen=True)
class Watched:
    """Pitches in words, in the order thrown; every array has shape (pitches,).

    `at_bat` differs between at-bats of one game and between games. What follows it may be left
    out: `game` differs between games, `bases` are bits (first 1, second 2, third 4), `lead` is the
    score of the pitching side less the other's; -1, or an empty word, is unknown, except for the
    lead, which counts as even.
    """

    pitch: Words
    balls: Codes
    strikes: Codes
    bats: Words
    pitcher: Words
    at_bat: Words
    game: Words = field(default_factory=_unnamed)
    outs: Codes = field(default_factory=_unknown)
    bases: Codes = field(default_factory=_unknown)
    inning: Codes = field(default_factory=_unknown)
    lead: Codes = field(default_factory=_unknown)

    def __post_init__(self) -> None:
        """Fill what was left out with what says unknown."""
        for each in fields(self)[6:]:
            if len(getattr(self, each.name)) != len(self.pitch):
                blank = {"game": "", "lead": 0}.get(each.name, -1)
                object.__setattr__(self, each.name, np.full(len(self.pitch), blank))

    def __len__(self) -> int:
        return len(self.pitch)

    @classmethod
    def none(cls) -> "Watched":
        """Return no pitches."""
        words, numbers = _unnamed(), _unknown()
        return cls(words, numbers, numbers, words, words, words)

    def then(self, later: "Watched") -> "Watched":
        """Return these pitches followed by later ones."""
        names = (each.name for each in fields(self))
        return Watched(*(np.concatenate([getattr(self, n), getattr(later, n)]) for n in names))

    def types(self) -> tuple[str, ...]:
        """Return the pitch types thrown, in order of their names."""
        return tuple(sorted(set(self.pitch.tolist())))

    def seen(self, types: tuple[str, ...] = ()) -> tuple[Seen, tuple[str, ...]]:
        """Return what a dugout saw, and the pitch types behind the labels.

        Parameters
        ----------
        types : tuple of str
            In order of their names, at least those thrown; those thrown where it is empty.
        """
        names = types or self.types()
        label = np.searchsorted(np.array(names, dtype=np.str_), self.pitch).astype(np.int64)
        group = _coded(self.pitcher)
        game = _coded(np.char.add(np.char.add(self.game, " "), self.pitcher))
        columns = known_before(label, self.balls, self.strikes, _coded(self.at_bat), game)
        columns["time through"] = np.where(self.game == "", -1, columns["time through"])
        columns["bats"] = np.select([self.bats == side for side in _SIDES], range(2), -1)
        columns |= {name: getattr(self, name) for name in ("outs", "bases", "inning", "lead")}
        return Seen(label, max(len(names), 1), columns, group), names


def watched_in(frame: "pd.DataFrame") -> Watched:
    """Read a log in the order thrown.

    Parameters
    ----------
    frame : DataFrame
        Columns `pitch`, `balls`, `strikes`, `game`, `at_bat`, `pitcher`, and `bats`, `intent`,
        `pitcher_id`, `game_id`, `outs`, `inning`, `on_first` and so on, `pitching`, `score_us`,
        `score_them` where there are. Pitches of unknown type, pitch-outs and intentional balls
        are left out.
    """
    known = frame["pitch"].isin([word for word in pitches.TYPES if word != "unknown"])
    if "intent" in frame:
        known &= frame["intent"].fillna("") == ""
    kept = frame.loc[known]
    game = _strings(kept["game_id" if "game_id" in kept else "game"])
    return Watched(
        pitch=_strings(kept["pitch"]),
        balls=kept["balls"].to_numpy(dtype=np.int64),
        strikes=kept["strikes"].to_numpy(dtype=np.int64),
        bats=_strings(kept["bats"].fillna("")) if "bats" in kept else np.full(len(kept), ""),
        pitcher=_strings(kept["pitcher_id" if "pitcher_id" in kept else "pitcher"]),
        at_bat=np.char.add(np.char.add(game, " "), _strings(kept["at_bat"])),
        game=game,
        **{name: _number(kept, column) for name, column in _NUMBERS.items()},
        bases=_on_base(kept),
        lead=_lead(kept),
    )


def _number(frame: "pd.DataFrame", column: str, missing: int = -1) -> Codes:
    """Return a column of whole numbers; `missing` where it is empty or absent."""
    if column not in frame:
        return np.full(len(frame), missing, dtype=np.int64)
    import pandas as pd

    values = pd.to_numeric(frame[column], errors="coerce").to_numpy(dtype=float, na_value=np.nan)
    return np.where(np.isfinite(values), values, missing).astype(np.int64)


def _on_base(frame: "pd.DataFrame") -> Codes:
    """Return occupied bases as bits; -1 throughout where the log has no such columns."""
    if not all(base in frame for base in _BASES):
        return np.full(len(frame), -1, dtype=np.int64)
    held = [~np.isin(_strings(frame[base]), _EMPTY) for base in _BASES]
    return np.asarray(sum(2**i * on.astype(np.int64) for i, on in enumerate(held)), dtype=np.int64)


def _lead(frame: "pd.DataFrame") -> Codes:
    """Return the score of the pitching side less the other's; even where it is not known."""
    ours = _number(frame, "score_us", 0) - _number(frame, "score_them", 0)
    theirs = _strings(frame["pitching"]) == "them" if "pitching" in frame else np.bool_(False)
    return np.where(theirs, -ours, ours)


def _strings(values: "pd.Series[Any]") -> Words:
    return np.array([str(value) for value in values], dtype=np.str_)


def _coded(words: Words) -> Codes:
    return np.unique(words, return_inverse=True)[1].astype(np.int64)
