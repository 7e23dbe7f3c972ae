"""What `sequencer score` found: as JSON holds it, and as a page."""

import textwrap
from typing import Any, Final

from sequencer.estimates.arrays import expit, logit
from sequencer.estimates.read_skill import Read
from sequencer.estimates.scored import Scored, StepScore
from sequencer.estimates.scoring import Bin, Line

_WIDTH: Final = 80
STEP_SAYS: Final = {
    "called": "strike called",
    "swing": "swing",
    "miss": "miss",
    "foul": "foul",
    "in_play": "ball in play",
    "hit_by_pitch": "hit by pitch",
}
#: Slopes this near to one are good enough, and standard errors beyond the other tell too little.
_NEAR: Final = 0.1
_LOOSE: Final = 0.25
#: What happened is told as off beyond this share of itself, or this much, and two errors.
_OFF: Final = (0.1, 0.01)
#: Share more named right that makes a reader worth telling (assumption).
_MORE: Final = 0.01
#: Pitches of one pitcher below which nothing is said of him; pitchers listed on the page.
_FEW: Final = 60
_LISTED: Final = 12


def score_json(found: Scored, file: str, league: str, level: str) -> dict[str, Any]:
    """Return a scored log as JSON holds it; what is not known is None."""
    return {
        "file": file,
        "league": league,
        "level": level,
        "pitches": found.pitches,
        "left_out": found.left_out,
        "unsure": found.unsure,
        "games": found.games,
        "errors_by": found.errors_by,
        "trees_from": found.trees_from or None,
        "steps": [_step_json(step) for step in found.steps],
        "next_pitch": {
            "all": None if found.everyone is None else _read_json(found.everyone),
            "pitchers": [_read_json(read) for read in found.pitchers],
        },
    }


def _step_json(step: StepScore) -> dict[str, Any]:
    line = step.line
    return {
        "step": step.step,
        "pitches": step.pitches,
        "happened": step.happened,
        "loss": step.loss,
        "interval": None if step.interval is None else list(step.interval),
        "base": step.base,
        "trees": step.trees,
        "ratio": step.ratio,
        "skill": step.skill,
        "slope": line and line.slope,
        "slope_se": line and line.slope_se,
        "intercept": line and line.intercept,
        "intercept_se": line and line.intercept_se,
        "verdict": verdict(step),
        "cannot": "; ".join(why for why in (step.cannot, step.no_trees) if why) or None,
        "reliability": [
            {"pitches": b.pitches, "said": b.said, "came": b.came, "interval": [b.low, b.high]}
            for b in step.bins
        ],
    }


def _read_json(read: Read) -> dict[str, Any]:
    return {
        "pitcher": read.pitcher or None,
        "pitches": read.pitches,
        "nats": read.nats,
        "constant_nats": read.constant_nats,
        "gain": read.gain,
        "interval": None if read.interval is None else list(read.interval),
        "guess_rate": read.guess_rate,
        "constant_guess_rate": read.constant_guess_rate,
        "verdict": read_verdict(read),
    }


def verdict(step: StepScore) -> str:
    """Return in words how far a step's chances can be believed."""
    line = step.line
    if step.cannot:
        return f"cannot be judged: {step.cannot}"
    if line is None:
        return "cannot be judged: the same was said of every pitch, or it parts them fully"
    apart = abs(line.slope - 1.0)
    if line.slope_se > _LOOSE and apart <= 2.0 * line.slope_se:
        return f"too few to judge: the slope may be {2 * line.slope_se:.1f} off"
    if apart > max(_NEAR, 2.0 * line.slope_se):
        return f"{'overconfident' if line.slope < 1 else 'too cautious'}: {_comes_true(step)}"
    sure = apart <= _NEAR and line.slope_se <= _NEAR
    return _level(step, "well calibrated" if sure else "well calibrated as far as these tell")


def _comes_true(step: StepScore) -> str:
    """Return what one thing said, as far out as was commonly said, came to."""
    assert step.line is not None
    said = [b.said for b in step.bins]
    slope, intercept = step.line.slope, step.line.intercept
    if step.step == "in_play":
        far = max(said, key=lambda x: abs(x - sum(said) / len(said)))
        return f"its {_runs(far)} runs come to {_runs(intercept + slope * far)}"
    far = 0.8 if max(said) >= 0.8 else 0.2 if min(said) <= 0.2 <= max(said) else max(said)
    return (
        f"its {_percent(far)} comes true {_percent(float(expit(intercept + slope * logit(far))))}"
    )


def _level(step: StepScore, well: str) -> str:
    """Return how far what happened is from what was said over all, or that it is `well`."""
    if step.off is None or step.happened is None:
        return well
    off, error = step.off
    said = step.happened - off
    enough = 0.02 if step.step == "in_play" else min(_OFF[0] * step.happened, _OFF[1])
    if abs(off) <= max(enough, 2.0 * error):
        return well
    how = "more" if off > 0 else "less"
    if step.step == "in_play":
        return f"worth {how} than said: {_runs(step.happened)} runs against {_runs(said)}"
    return f"comes {how} often than said: {_percent(step.happened)} against {_percent(said)}"


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %" if share >= 0.02 else f"{100 * share:.1f} %"


def _runs(runs: float) -> str:
    return f"{runs:.2f}".replace("-", "−")


def read_verdict(read: Read) -> str:
    """Return in words whether a reader gains on a pitcher."""
    if read.pitches < _FEW or read.interval is None:
        return "too few pitches to judge"
    if read.interval[0] <= 0:
        return "not read: a reader gains nothing on his mix"
    right, favourite = (f"{100 * x:.0f}" for x in (read.guess_rate, read.constant_guess_rate))
    if read.guess_rate - read.constant_guess_rate >= _MORE:
        return f"read: named right {right} times in 100, his favourite {favourite}"
    return "read a little: his mix moves, but no more pitches are named right"


def score_text(found: Scored, file: str, league: str, level: str, *, bins: bool = False) -> str:
    """Return a scored log as a page of 80 columns; `bins` adds the reliability of every step."""
    out = [
        *_wrapped(f"{league}, level {level}, scored on {file}: {_size(found)}"),
        "",
        f"{'':<14}{'pitches':>8}{'loss':>8}{'95 % interval':>15}{'base':>8}{'trees':>8}"
        f"{'ratio':>7}{'slope':>12}",
    ]
    for step in found.steps:
        out += _step_lines(step, bool(found.trees_from))
    out += ["", *_wrapped(_legend(found))]
    if bins:
        out += [line for step in found.steps if step.bins for line in _bin_lines(step)]
    return "\n".join([*out, "", *_next_lines(found)]) + "\n"


def _size(found: Scored) -> str:
    games = "1 game" if found.games == 1 else f"{found.games:,} games"
    left = found.left_out
    rest = (
        f", {left:,} left out (no place, no side, a bunt or not meant as a pitch)" if left else ""
    )
    seen = (
        f" {found.unsure:,} places are cells or seen by eye: what is said of them is averaged over "
        "where each may have been."
        if found.unsure
        else ""
    )
    return f"{found.pitches:,} pitches of {games}{rest}.{seen}"


def _step_lines(step: StepScore, compared: bool) -> list[str]:
    name = f"{STEP_SAYS[step.step]:<14}{step.pitches:>8,}"
    if step.loss is None:
        return [name, *_wrapped(f"not scored: {step.cannot}.", 4)]
    low_high = "" if step.interval is None else f"{step.interval[0]:.4f}-{step.interval[1]:.4f}"
    trees = "" if step.trees is None else f"{step.trees:.4f}"
    ratio = "" if step.ratio is None else f"{step.ratio:.3f}"
    slope = "" if step.line is None else _slope(step.line)
    base = "" if step.base is None else f"{step.base:.4f}"
    row = f"{name}{step.loss:>8.4f}{low_high:>15}{base:>8}{trees:>8}{ratio:>7}{slope:>12}"
    alone = f"; {step.no_trees}" if step.no_trees and compared else ""
    return [row.rstrip(), *_wrapped(f"{verdict(step)}{alone}.", 4)]


def _slope(line: Line) -> str:
    digits = 2 if line.slope_se < 1.0 else 1
    return f"{line.slope:.{digits}f} ({line.slope_se:.{digits}f})"


def _legend(found: Scored) -> str:
    trees = {
        "training log": "Base rate and trees (boosted, same features) know the training log only.",
        "other games": "Base rate: one number, this log's own, said of all. Trees: boosted, same "
        "features, grown on this log's other games.",
        "": "Base rate: one number, this log's own, said of all. Boosted trees are not compared: "
        "one game has no others to grow them on.",
    }[found.trees_from]
    return (
        "Loss: nats a pitch (squared runs of a ball in play), lower is better. Ratio: our loss "
        "over the trees', below 1 is better. Slope: 1 where what is said comes true, below 1 where "
        f"it says too much (standard error, by {found.errors_by}). {trees}"
    )


def _bin_lines(step: StepScore) -> list[str]:
    unit = "runs" if step.step == "in_play" else "in 100"
    head = f"{STEP_SAYS[step.step]}, {unit}"
    out = ["", f"{head:<30}{'pitches':>8}{'said':>9}{'came':>9}{'95 % interval':>18}"]
    return out + [_bin_line(b, 1.0 if step.step == "in_play" else 100.0) for b in step.bins]


def _bin_line(one: Bin, scale: float) -> str:
    digits = 2 if scale == 1.0 else 1
    said, came, low, high = (scale * x for x in (one.said, one.came, one.low, one.high))
    between = f"{low:.{digits}f} to {high:.{digits}f}"
    return f"{'':<30}{one.pitches:>8,}{said:>9.{digits}f}{came:>9.{digits}f}{between:>18}"


def _next_lines(found: Scored) -> list[str]:
    if found.everyone is None:
        return ["The next pitch: this log tells no pitch types."]
    out = [
        f"{'The next pitch':<22}{'pitches':>8}{'right':>8}{'favourite':>11}{'gain':>8}"
        f"{'95 % interval':>18}"
    ]
    shown = found.pitchers[:_LISTED]
    for read in ([found.everyone] if len(found.pitchers) != 1 else []) + list(shown):
        out += _read_lines(read)
    if len(found.pitchers) > len(shown):
        out.append(f"  and {len(found.pitchers) - len(shown)} more pitchers (--json has all).")
    return out + _wrapped(
        "Right: named right in 100 by a reader who knows only the pitches before; favourite: by "
        "always naming the pitch thrown most so far. Gain: nats a pitch over expecting his mix."
    )


def _read_lines(read: Read) -> list[str]:
    name = textwrap.shorten(read.pitcher or "everyone", 21, placeholder="…")
    between = " to ".join(_signed(x) for x in read.interval or ())
    row = (
        f"{name:<22}{read.pitches:>8,}{100 * read.guess_rate:>8.0f}"
        f"{100 * read.constant_guess_rate:>11.0f}{_signed(read.gain):>8}{between:>18}"
    ).rstrip()
    return [row, f"    {read_verdict(read)}."] if read.pitches >= _FEW else [row]


def _signed(nats: float) -> str:
    return f"{round(nats, 3) + 0.0:+.3f}"


def _wrapped(text: str, indent: int = 0) -> list[str]:
    pad = " " * indent
    return textwrap.wrap(text, _WIDTH, initial_indent=pad, subsequent_indent=pad)
