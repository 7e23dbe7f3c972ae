"""When a half or a game is over by the rules."""

from sequencer.baseball.rules.rule_set import RuleSet


def half_over(rules: RuleSet, outs: int, runs_in_half: int) -> str:
    """Return why the half is over - ``three outs``, ``run limit`` - or an empty string."""
    if outs >= 3:
        return "three outs"
    if rules.half_run_limit is not None and runs_in_half >= rules.half_run_limit:
        return "run limit"
    return ""


def game_over(
    rules: RuleSet, inning: int, half: str, score_away: int, score_home: int, *, half_done: bool
) -> str:
    """Return why the game is over, or an empty string.

    Parameters
    ----------
    rules : RuleSet
    inning, half
        The half being played (top, bottom).
    score_away, score_home : int
    half_done : bool
        Whether this half has ended; a home side that leads in the bottom of the last inning has
        won at once.
    """
    lead = score_home - score_away
    top_done = half == "top" and half_done
    bottom_done = half == "bottom" and half_done
    home_wins = lead > 0 and (top_done or half == "bottom")
    if inning >= rules.innings and (home_wins or (bottom_done and lead != 0)):
        return "innings"
    complete = inning if bottom_done else inning - 1
    for needed, innings in rules.run_rule:
        if half_done and abs(lead) >= needed and complete >= innings:
            return "run rule"
        # The home side needs no last half once it leads by enough.
        if lead >= needed and inning >= innings and (top_done or half == "bottom"):
            return "run rule"
    return ""


def placed_runner(rules: RuleSet, inning: int) -> bool:
    """Whether a half of this inning begins with a runner on second."""
    first = rules.placed_runner_from_inning
    return first is not None and inning >= first
