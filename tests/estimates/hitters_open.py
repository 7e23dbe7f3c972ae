"""Hitters of the open data: how much they differ, and what knowing one is worth.

    python -m tests.estimates.hitters_open [--only spreads|windows|coarse|drawn|times]

Spreads of traits are found over every hitter; each long hitter against a league fitted without
him. Windows: traits learnt from 60 (or 600) pitches seen, with a league and spreads that never met
the hitter, against that league's own hitter on his next 500. Coarse: the same, learnt from the
cells that a bench would have noted; drawn: of hitters drawn from the spreads, who are known.
"""

import argparse
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import Final

import numpy as np
import pandas as pd

from sequencer.baseball import levels
from sequencer.baseball.zone import Zone, cell_of
from sequencer.estimates import fit, hitter, hitter_prior
from sequencer.estimates.arrays import Floats, expit
from sequencer.estimates.hitter_data import Seen, seen
from sequencer.estimates.hitter_prior import HELD, SCALE, Spreads
from sequencer.estimates.hitter_rows import rows_of
from sequencer.estimates.league import League, shift_between
from sequencer.estimates.places import centres, words, zone_of_rows
from sequencer.estimates.traits import INDEX, TRAITS
from sequencer.records.people import Person
from tests import open_data

#: Long hitters, and the sources of many short ones.
LONG: Final = ("hitters_2019", "one_hitter_2009_12")
SHORT: Final = ("day_2023", "two_relievers_2011")
AHEAD: Final = 500
#: Of the longest log every so manieth pitch goes into a league.
THIN: Final = 4
SEEN: Final = (60, 600)


def log(keep: int = 15) -> pd.DataFrame:
    """Return the pitches whose hitters are known; of `called_2012`, without, every `keep`th."""
    frame = open_data.read()
    nobody = (frame["source"] == "called_2012").to_numpy()
    kept = np.where(nobody, np.arange(len(frame)) % keep == 0, frame["source"].isin(LONG + SHORT))
    found: pd.DataFrame = frame[kept].reset_index(drop=True)
    return found.assign(seen_from="measured", hitter=found["hitter"].astype(str))


@dataclass
class Open:
    """The open data, with leagues and spreads that have not met some hitters."""

    frame: pd.DataFrame
    _leagues: dict[tuple[str, ...], League] = field(default_factory=dict)

    @cached_property
    def long(self) -> tuple[str, ...]:
        """The long hitters."""
        return tuple(sorted(set(self.frame["hitter"][self.frame["source"].isin(LONG)])))

    def league(self, *without: str) -> League:
        """Return the league fitted without some hitters."""
        if without not in self._leagues:
            # A third of all known swings are one free swinger's: a league of his would make
            # everybody else look patient.
            many = (self.frame["source"] == LONG[1]) & (np.arange(len(self.frame)) % THIN > 0)
            found = fit.fit_league(self.frame[~self.frame["hitter"].isin(without) & ~many])
            self._leagues[without] = League.of(found, shift_between(found, "pro"), "pro")
        return self._leagues[without]

    def hitters(self, *without: str, crossed: bool = True) -> list[Seen]:
        """Return what every other hitter did, one a side; days of many hitters are centred.

        Long hitters are held against leagues fitted without them when `crossed`: a league takes
        after them.
        """
        league = self.league(*without)
        found = self._short(league)
        for name in self.long:
            if name not in without:
                at = self.league(name) if crossed else league
                own = self.frame[self.frame["hitter"] == name]
                found += [seen(g, str(b), at) for b, g in own.groupby("bats")]
        return found

    def _short(self, league: League) -> list[Seen]:
        """Return what the hitters of few pitches did, whose zones are listed."""
        found: list[Seen] = []
        for source in SHORT:
            own = self.frame[self.frame["source"] == source]
            each = [seen(g, str(b), league) for (_, b), g in own.groupby(["hitter", "bats"])]
            found += hitter_prior.centred(each, league.take_share)
        return found

    def spreads(self, *without: str, crossed: bool = True) -> Spreads:
        """Return the spreads of traits over every other hitter.

        Chasing high is found where each hitter's zone is listed: swings fall by five in log odds a
        zone half above it, so that a top two inches off would look like a chase .85 off.
        """
        league = self.league(*without)
        data, take, high = self._short(league), league.take_share, INDEX["chase_up"]
        totals = hitter_prior.counted_totals(data, take)
        listed = hitter_prior.fit_spreads(data, take, SCALE, held=HELD, totals=totals)
        if set(without) >= set(self.long):
            return listed
        data = self.hitters(*without, crossed=crossed)
        scale, held = SCALE.copy(), HELD.copy()
        scale[high], held[high] = listed.sd[high], True
        totals = hitter_prior.counted_totals(data, take)
        found = hitter_prior.fit_spreads(data, take, scale, held=held, totals=totals)
        found.log_error[high] = listed.log_error[high]
        found.scale[high] = SCALE[high]
        return found

    def windows(self, name: str, n: int) -> Iterator[tuple[pd.DataFrame, pd.DataFrame]]:
        """Return pitches seen and the next 500, from his usual side, rolling on."""
        own = self.frame[self.frame["hitter"] == name]
        own = own[own["bats"] == own["bats"].mode()[0]]
        for start in range(0, len(own) - n - AHEAD + 1, min(n, 250)):
            yield own.iloc[start : start + n], own.iloc[start + n : start + n + AHEAD]


Told = Callable[[pd.DataFrame], pd.DataFrame]


def gains(data: Open, name: str, n: int, sd: Floats, league: League, told: Told) -> Floats:
    """Return nats a pitch that traits save on each window, (windows,).

    Parameters
    ----------
    told : callable
        What the log of the pitches seen says of them.
    """
    zero, out = np.zeros(len(TRAITS)), []
    for past, ahead in data.windows(name, n):
        bats = str(past["bats"].iloc[0])
        mean, _ = hitter.posterior(seen(told(past), bats, league), zero, sd, league.take_share)
        came = seen(ahead, bats, league)
        usual, his = (hitter_prior.loss(came, x, league.take_share) for x in (zero, mean))
        out.append(usual - his)
    return np.array(out)


def interval(each: list[Floats], draws: int = 2000) -> tuple[float, float]:
    """Return 95 % of the mean gain: hitters drawn anew, and windows within them."""
    rng, means = np.random.default_rng(0), []
    for _ in range(draws):
        drawn = rng.integers(0, len(each), len(each))
        means.append(np.mean([rng.choice(each[i], len(each[i])).mean() for i in drawn]))
    low, high = np.percentile(means, [2.5, 97.5])
    return float(low), float(high)


def as_measured(frame: pd.DataFrame) -> pd.DataFrame:
    """Return the log as it is."""
    return frame


def noted(frame: pd.DataFrame, seed: int = 0, level: str = "pro") -> pd.DataFrame:
    """Return the log as a bench would have it: cells, seen 5 inches off in side, 3 in height."""
    rng = np.random.default_rng(seed)
    side = frame["side_in"] + rng.normal(0.0, 5.0, len(frame))
    height = frame["height_in"] + rng.normal(0.0, 3.0, len(frame))
    edges = zone_of_rows(frame, levels.level(level).zone)
    cells = [
        cell_of(float(np.clip(x, -59, 59)), float(np.clip(y, -11, 99)), Zone(*zone))
        for x, y, zone in zip(side, height, edges, strict=True)
    ]
    empty = {"side_in": np.nan, "height_in": np.nan}
    return frame.assign(**empty, cell=cells, seen_from="dugout")


def taken_as_sharp(frame: pd.DataFrame, seed: int = 0) -> pd.DataFrame:
    """Return what a bench noted, each pitch in the middle of its cell as if it were measured."""
    coarse = noted(frame, seed)
    edges = zone_of_rows(coarse, levels.level("pro").zone)
    side, height = centres(words(coarse, "cell"), words(coarse, "bats"), edges).T
    return coarse.assign(side_in=side, height_in=height, seen_from="measured")


def spreads_table(found: Spreads) -> str:
    """Return the spreads as text, with what was assumed before."""
    lines = [f"{'trait':<18}{'before':>8}{'found':>8}{'times or over':>15}"]
    for i, name in enumerate(TRAITS):
        error = "held" if HELD[i] else f"{np.exp(found.log_error[i]):.2f}"
        lines.append(f"{name:<18}{found.scale[i]:>8.3f}{found.sd[i]:>8.3f}{error:>15}")
    lines.append(
        f"{found.hitters} hitters' sides, {found.pitches} pitches; {found.gain:.1f} nats likelier "
        "than before."
    )
    return "\n".join(lines)


def show_spreads(data: Open) -> None:
    """Print the spreads, and the prior weights that they imply."""
    found, take = data.spreads(), data.league().take_share
    _say(spreads_table(found))
    long = data.hitters()[-len(data.long) :]
    for name, per in (("swing", "pitches"), ("miss", "swings")):
        weights = [
            np.mean([hitter_prior.implied_weight(one, name, take, sd)[1] for one in long])
            for sd in (found.scale, found.sd)
        ]
        counted = hitter_prior.COUNTED_WEIGHT[name]
        published = hitter_prior.PUBLISHED_WEIGHT[name]
        _say(
            f"{name}: prior weight {weights[1]:.0f} {per} (before {weights[0]:.0f}; published "
            f"{published:.0f}, counted {counted:.0f})"
        )


def show_windows(data: Open) -> None:
    """Print what traits save on the next 500 pitches."""
    spreads = {name: data.spreads(name).sd for name in data.long}
    for n in SEEN:
        each = [
            gains(data, name, n, spreads[name], data.league(name), as_measured)
            for name in data.long
        ]
        _show(f"{n} pitches seen", each)
    unmet = data.spreads(*data.long).sd
    for n in SEEN:
        league = data.league(*data.long)
        each = [gains(data, name, n, unmet, league, as_measured) for name in data.long]
        _show(f"{n} pitches seen, no long hitter met", each)


def show_coarse(data: Open) -> None:
    """Print the same when the pitches seen were noted by cell, from the dugout."""
    ways: tuple[tuple[str, Told], ...] = (
        ("measured", as_measured),
        ("cells, averaged over", noted),
        ("cells, taken as sharp", taken_as_sharp),
    )
    sd = hitter.spread("pro")
    for n in SEEN:
        found = []
        for how, told in ways:
            each = [gains(data, name, n, sd, data.league(name), told) for name in data.long]
            _show(f"{n} pitches seen, {how}", each)
            found.append(each)
        both = zip(found[1], found[2], strict=True)
        _show(f"{n} pitches seen, averaged against sharp", [one - other for one, other in both])


def drawn(data: Open, n: int, rng: np.random.Generator) -> tuple[pd.DataFrame, Floats]:
    """Return n pitches that open hitters saw in a row, as another would have met them, and him.

    He is drawn from the spreads; what he does is drawn from the league moved by his traits.
    """
    league = data.league(*data.long)
    own = data.frame[data.frame["hitter"].isin(data.long) & (data.frame["bats"] == "R")]
    own = own[~own["bunt"]]
    first = int(rng.integers(0, len(own) - n))
    log = own.iloc[first : first + n].drop(columns=["swing", "contact_value", "play"])
    rows = rows_of(log, "R", league)
    his = rng.normal(size=len(TRAITS)) * hitter.spread("pro")
    chance = expit(rows.base + rows.load @ his)
    chance[:, 0] *= 1.0 - hitter.habit_of(his, league.take_share)[rows.balls, rows.strikes]
    swung, missed, fouled = (rng.random((n, 3)) < chance[:, :3]).T
    swing = np.where(missed, "swinging strike", np.where(fouled, "foul", "in play"))
    return log.assign(result=np.where(swung, swing, "ball")), his


def show_drawn(data: Open, times: int = 150) -> None:
    """Print how sure cells make, and what they save, of hitters whose traits are known."""
    sd, league = hitter.spread("pro"), data.league(*data.long)
    zero, rng = np.zeros(len(TRAITS)), np.random.default_rng(1)
    for n in SEEN:
        errors: tuple[list[Floats], ...] = ([], [])
        saved = np.zeros((times, 2))
        for k in range(times):
            log, his = drawn(data, n + AHEAD, rng)
            came = seen(log.iloc[n:], "R", league)
            for i, told in enumerate((noted(log.iloc[:n], k), taken_as_sharp(log.iloc[:n], k))):
                was = seen(told, "R", league)
                mean, cov = hitter.posterior(was, zero, sd, league.take_share)
                known, way = np.linalg.eigh(np.linalg.inv(cov) * np.outer(sd, sd))
                errors[i].append(way[:, -6:].T @ ((mean - his) / sd) * np.sqrt(known[-6:]))
                saved[k, i] = -1000.0 * hitter_prior.loss(came, mean, league.take_share)
        right, wrong = (np.sqrt(np.mean(np.square(error))) for error in errors)
        more = saved[:, 0] - saved[:, 1]
        _say(
            f"{n} pitches by cell, hitters drawn: errors are {right:.2f} times what they should be "
            f"averaged, {wrong:.2f} taken as sharp; {more.mean():.1f} (standard error "
            f"{more.std() / np.sqrt(times):.1f}) thousandths of a nat a pitch saved"
        )


def _show(what: str, each: list[Floats]) -> None:
    low, high = interval(each)
    mean = 1000 * np.mean([one.mean() for one in each])
    by = ", ".join(f"{1000 * one.mean():.1f}" for one in each)
    _say(
        f"{what}: {mean:.1f} thousandths of a nat a pitch ({1000 * low:.1f} to {1000 * high:.1f}); "
        f"by hitter {by}"
    )


def show_times(data: Open) -> None:
    """Print how long one hitter takes."""
    from sequencer.estimates import league

    person, at = Person(id="h", team="them", name="Hitter"), league.load("pro")
    own = data.frame[data.frame["hitter"] == data.long[0]]
    for n in (1, *SEEN):
        for how, told in (("measured", as_measured), ("cells", noted)):
            took = _took(partial(hitter.believe, person, (), told(own.head(n)), at))
            _say(f"{n} pitches, {how}: {took:.2f} ms")
    belief = hitter.believe(person, (), own.head(600), at, bats="R")
    one = own.iloc[[600]]
    _say(f"one more pitch: {_took(lambda: hitter.learn(belief, one, at)):.2f} ms")


def _took(job: Callable[[], object]) -> float:
    job()
    times = []
    for _ in range(50):
        began = time.perf_counter()
        job()
        times.append(time.perf_counter() - began)
    return 1000 * float(np.median(times))


def _say(what: str) -> None:
    sys.stdout.write(what + "\n")
    sys.stdout.flush()


SHOWN: Final = {
    "spreads": show_spreads,
    "windows": show_windows,
    "coarse": show_coarse,
    "drawn": show_drawn,
    "times": show_times,
}


def main() -> None:
    """Print what was asked for, else all of it."""
    parser = argparse.ArgumentParser(prog="python -m tests.estimates.hitters_open")
    parser.add_argument("--only", choices=list(SHOWN), action="append")
    given = parser.parse_args()
    if open_data.MISSING:
        raise SystemExit(open_data.MISSING)
    data = Open(log())
    for name in given.only or SHOWN:
        SHOWN[name](data)


if __name__ == "__main__":
    main()
