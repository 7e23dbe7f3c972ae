"""What each mind is worth on open pitches it has not seen, on shuffled ones, and on small logs.

Command: python -m tests.estimates.readers_open [held-out] [shuffled] [small] [alarms] [time], all
of them by default; --trees for boosted trees as one more mind of those held out.
The two long series are split 70 to 30 in time, each pitcher by himself; minds go on learning
through the last part. How minds are made was chosen on the first part alone.
"""

import argparse
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import fields
from typing import Any, Final

import numpy as np
import pandas as pd

from sequencer.estimates import boosted
from sequencer.estimates.arrays import Floats
from sequencer.estimates.next_pitch import Forward, Seen, Watched, forward, known_before, watched_in
from sequencer.live.guess_rate import Tonight
from tests import open_data
from tests.review import simulate

SOURCE: Final = "two_pitchers_2009_12"
#: Share of each series that is only learnt from.
FIRST_PART: Final = 0.7
#: Evidence at which a habit counts as read: twenty to one.
READ: Final = float(np.log(20.0))


def series() -> dict[str, Watched]:
    """Return the two long series, whole and in the order thrown, types as in the file."""
    raw = pd.read_parquet(open_data.FILE)
    raw = raw[raw["source"] == SOURCE].rename(
        columns={"pitch_type": "pitch", "at_bat_no": "at_bat", "pitcher_id": "pitcher"}
    )
    frame = raw[["pitch", "balls", "strikes", "bats", "pitcher", "at_bat"]].assign(
        game=raw["game_id"].astype(str)
    )
    return {str(name): watched_in(own) for name, own in frame.groupby("pitcher")}


def last_part(pitches: int) -> slice:
    """Return the pitches held out."""
    return slice(int(FIRST_PART * pitches), None)


def held_out(logs: dict[str, Watched], *, trees: bool = False) -> pd.DataFrame:
    """Return mean nats and share named right on the last part, by mind and series and pooled."""
    parts = []
    for name, watched in logs.items():
        seen, _ = watched.seen()
        found = forward(seen, outsiders={"boosted trees": boosted.mind} if trees else None)
        late = last_part(len(seen))
        said = found.minds | {"the blind": found.blind, "reader": found.reader}
        parts += [
            {"mind": mind, "series": name, "nats": nats, "right": right}
            for mind, chances in said.items()
            for nats, right in zip(
                found.nats(chances)[late], found.right(chances)[late], strict=True
            )
        ]
    rows = pd.DataFrame(parts)
    by: pd.DataFrame = rows.pivot_table(
        ["nats", "right"], "mind", "series", aggfunc="mean", sort=False
    )
    by = by.set_axis([" ".join(column) for column in by.columns], axis=1)
    pooled = rows.groupby("mind", sort=False)[["nats", "right"]].mean().add_prefix("pooled ")
    return by.join(pooled)


def shuffled(watched: Watched, rng: np.random.Generator) -> Watched:
    """Return the same pitches with their types put in any order."""
    return Watched(rng.permutation(watched.pitch), **_rest(watched))


def _rest(watched: Watched) -> dict[str, Any]:
    """Return all that was seen but the types."""
    return {each.name: getattr(watched, each.name) for each in fields(watched)[1:]}


def stretch(watched: Watched, start: int, pitches: int) -> Watched:
    """Return consecutive pitches."""
    part = slice(start, start + pitches)
    return Watched(*(getattr(watched, each.name)[part] for each in fields(watched)))


def skill(seen: Seen) -> tuple[float, float]:
    """Return nats and right guesses a pitch by which the reader beats the forward constant."""
    found = forward(seen)
    nats = found.nats(found.constant) - found.nats(found.reader)
    right = found.right(found.reader) - found.right(found.constant)
    return float(nats.mean()), float(right.mean())


def shuffled_skill(
    logs: dict[str, Watched], pitches: int, repeats: int, seed: int = 0
) -> tuple[Floats, Floats]:
    """Return mean skill in nats and right guesses on shuffled stretches, and standard errors."""
    rng = np.random.default_rng(seed)
    found = []
    for i in range(repeats):
        watched = [*logs.values()][i % len(logs)]
        start = int(rng.integers(0, len(watched) - pitches))
        found.append(skill(shuffled(stretch(watched, start, pitches), rng).seen()[0]))
    return np.mean(found, axis=0), np.std(found, axis=0, ddof=1) / np.sqrt(repeats)


def _two_strikes(now: simulate.Situation, _pitch: object) -> bool:
    return bool(now["strikes"] == 2)


def _first_pitch(now: simulate.Situation, _pitch: object) -> bool:
    return bool(now["balls"] == now["strikes"] == 0)


def _after_fastball(now: simulate.Situation, _pitch: object) -> bool:
    return bool(now["previous"] == "fastball")


def _left_ahead(now: simulate.Situation, _pitch: object) -> bool:
    return bool(now["bats"] == "L" and now["strikes"] > now["balls"])


Applies = Callable[[simulate.Situation, object], bool]
#: What is planted, each with half of the share that is left: when it applies.
HABITS: Final[dict[str, Applies]] = {
    "a curve with two strikes": _two_strikes,
    "a curve on first pitches": _first_pitch,
    "a curve after a fastball": _after_fastball,
    "a curve to a left-hander when ahead": _left_ahead,
}


def simulated(pitches: int, seed: int, applies: Applies | None, extra: float = 0.5) -> pd.DataFrame:
    """Return a log with a habit planted, or with none."""
    habit = simulate.plant(applies, "pitch", "curveball", extra) if applies else simulate.no_habit
    return simulate.log(pitches, seed=seed, habit=habit)


def oracle(frame: pd.DataFrame, applies: Applies) -> Floats:
    """Return the evidence of one who is told the habit's condition and counts by it alone."""
    watched = watched_in(frame)
    seen, _ = watched.seen()
    before = frame["pitch"].shift().where(frame["at_bat"].eq(frame["at_bat"].shift()), "")
    now = frame.assign(previous=before).to_dict("records")
    which = np.array(
        [applies({str(k): v for k, v in row.items()}, None) for row in now], dtype=np.int64
    )
    told, untold = np.zeros(len(seen)), np.zeros(len(seen))
    for condition in (which, 0 * which):
        counts = np.ones((2, seen.labels)) / seen.labels
        out = told if condition is which else untold
        for i, label in enumerate(seen.label):
            row = counts[condition[i]]
            out[i] = np.log(row[label] / row.sum())
            row[label] += 1
    return np.asarray(np.cumsum(told - untold))


def read_at(evidence: Floats) -> float:
    """Return the pitch at which evidence first says twenty to one; infinite when it never does."""
    read = np.flatnonzero(evidence >= READ)
    return float(read[0] + 1) if len(read) else np.inf


def pitches_to_read(
    applies: Applies, extra: float, repeats: int, pitches: int = 1500
) -> tuple[float, float]:
    """Return the median pitch at which the reader, and an oracle, have read a planted habit."""
    found = []
    for seed in range(repeats):
        frame = simulated(pitches, seed, applies, extra)
        mine = forward(watched_in(frame).seen()[0]).evidence()
        found.append((read_at(mine), read_at(oracle(frame, applies))))
    reader, told = np.median(np.array(found), axis=0)
    return float(reader), float(told)


def plain_skill(pitches: int, repeats: int) -> tuple[Floats, Floats]:
    """Return mean skill on small logs of a plain mix, and standard errors."""
    found = [skill(watched_in(simulated(pitches, seed, None)).seen()[0]) for seed in range(repeats)]
    return np.mean(found, axis=0), np.std(found, axis=0, ddof=1) / np.sqrt(repeats)


def alarms(nights: Iterable[tuple[Watched, Watched]]) -> Floats:
    """Return how often evidence passes twenty to one tonight, by its end and at any time.

    Parameters
    ----------
    nights : iterable of (Watched, Watched)
        The past, and tonight.

    Returns
    -------
    ndarray, shape (2, 2)
        Rows: against the blind, as is told; against the mix of all his games. Columns: at the end,
        at any time.
    """
    rung = []
    for past, tonight in nights:
        found = forward(past.then(tonight).seen()[0])
        for against in (found.blind, found.constant):
            ratio = found.nats(against) - found.nats(found.reader)
            running = np.cumsum(ratio[len(past) :])
            rung.append((running[-1] >= READ, running.max() >= READ))
    told = np.array(rung, dtype=np.float64).reshape(-1, 2, 2)
    return np.asarray(told.mean(axis=0), dtype=np.float64)


def moving_nights(drift: float, nights: int) -> Iterator[tuple[Watched, Watched]]:
    """Yield simulated nights of pitchers whose mix moves, by so much in log odds, and no more."""
    for seed in range(nights):
        log = watched_in(simulate.log(690, seed=seed, per_game=90, drift=drift))
        yield stretch(log, 0, 600), stretch(log, 600, 90)


def shuffled_nights(logs: dict[str, Watched], nights: int) -> Iterator[tuple[Watched, Watched]]:
    """Yield open nights after 1,000 pitches, types shuffled within each game."""
    rng = np.random.default_rng(2)
    for log in logs.values():
        starts = np.flatnonzero(np.append(True, log.game[1:] != log.game[:-1]))
        games = np.searchsorted(starts, np.arange(len(log)), side="right")
        order = np.lexsort((rng.random(len(log)), games))
        mixed = Watched(log.pitch[order], **_rest(log))
        for at in rng.choice(starts[(starts > 1000) & (starts < len(log) - 200)], nights // 2):
            end = starts[np.searchsorted(starts, at) + 1]
            yield stretch(mixed, at - 1000, 1000), stretch(mixed, at, end - at)


def any_log(pitches: int, pitchers: int = 1, seed: int = 0) -> Seen:
    """Return pitches without sense, for timing."""
    rng = np.random.default_rng(seed)
    label = rng.choice(5, pitches, p=(0.4, 0.2, 0.2, 0.1, 0.1))
    at_bat = np.cumsum(rng.random(pitches) < 0.26).astype(np.int64)
    balls, strikes = rng.integers(0, (4, 3), (pitches, 2)).T
    columns = known_before(label, balls, strikes, at_bat, at_bat // 24)
    columns["bats"] = at_bat % 2
    return Seen(label, 5, columns, rng.integers(0, pitchers, pitches))


def seconds(work: Callable[[], Forward], repeats: int) -> tuple[float, float]:
    """Return the least wall and processor time of some runs."""
    taken = []
    for _ in range(repeats):
        wall, cpu = time.perf_counter(), time.process_time()
        work()
        taken.append((time.perf_counter() - wall, time.process_time() - cpu))
    return min(each[0] for each in taken), min(each[1] for each in taken)


def _held_out_lines(trees: bool) -> Iterator[str]:
    logs = series()
    labels = {name: len(set(watched.pitch.tolist())) for name, watched in logs.items()}
    yield f"pitch types: {labels}; pitches: { ({k: len(v) for k, v in logs.items()}) }"
    yield held_out(logs, trees=trees).round(4).to_string()


def _shuffled_lines(_trees: bool) -> Iterator[str]:
    logs = series()
    yield "shuffled types: skill a pitch in nats and right guesses, (standard error)"
    for pitches, repeats in ((100, 200), (300, 200), (3000, 60)):
        yield _skill_line(pitches, *shuffled_skill(logs, pitches, repeats))


def _skill_line(pitches: int, mean: Floats, error: Floats) -> str:
    nats, right = (f"{m:+.4f} ({e:.4f})" for m, e in zip(mean, error, strict=True))
    return f"{pitches:6d} pitches: nats {nats}, right {right}"


def _small_lines(_trees: bool) -> Iterator[str]:
    yield "a plain mix: skill a pitch"
    for pitches in (60, 150, 300):
        yield _skill_line(pitches, *plain_skill(pitches, 200))
    yield "pitches until twenty to one, median of 40: reader, one who is told what to count"
    for name, applies in HABITS.items():
        for extra in (0.3, 0.5):
            reader, told = pitches_to_read(applies, extra, 40)
            yield f"{name}, +{extra}: {reader:.0f}, {told:.0f} ({reader / told:.1f} times)"


def _alarm_lines(_trees: bool) -> Iterator[str]:
    yield "nights in 100 that pass twenty to one, nothing planted: at the end, at any time"
    nights: dict[str, Iterable[tuple[Watched, Watched]]] = {
        f"a mix that moves by {drift}": moving_nights(drift, 200) for drift in (0.0, 0.5, 0.8)
    }
    for name, each in (nights | {"open games, shuffled": shuffled_nights(series(), 200)}).items():
        rung = 100 * alarms(each)
        (end, ever), (all_end, all_ever) = rung.tolist()
        yield f"{name}: {end:.1f}, {ever:.1f}; against all his games {all_end:.1f}, {all_ever:.1f}"


def _time_lines(_trees: bool) -> Iterator[str]:
    for pitches, pitchers, repeats in ((600, 1, 9), (5_000, 1, 9), (1_000_000, 400, 1)):
        seen = any_log(pitches, pitchers)
        wall, cpu = seconds(lambda seen=seen: forward(seen), repeats)  # type: ignore[misc]
        yield f"{pitches} pitches of {pitchers}: {1000 * wall:.0f} ms ({1000 * cpu:.0f} of a core)"
    yield _one_more_line()


def _one_more_line() -> str:
    log = next(iter(series().values()))
    start = time.perf_counter()
    night = Tonight(stretch(log, 0, 5_000))
    ready, taken = time.perf_counter() - start, []
    for pitches in range(1, 91):
        today = stretch(log, 5_000, pitches)
        start = time.perf_counter()
        night.rate(today)
        taken.append(time.perf_counter() - start)
    each = 1000 * float(np.median(taken))
    return f"tonight after 5000 pitches: ready in {1000 * ready:.0f} ms, then {each:.2f} ms a pitch"


PARTS: Final = {
    "held-out": _held_out_lines,
    "shuffled": _shuffled_lines,
    "small": _small_lines,
    "alarms": _alarm_lines,
    "time": _time_lines,
}


def main() -> None:
    """Print the parts asked for, or all."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("parts", nargs="*", choices=[*PARTS, []], default=[*PARTS])
    parser.add_argument("--trees", action="store_true", help="boosted trees as one more mind")
    asked = parser.parse_args()
    for part in asked.parts:
        for line in PARTS[part](asked.trees):
            sys.stdout.write(f"{line}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
