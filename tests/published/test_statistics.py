"""Small statistics against published tables, scipy and statsmodels."""

import numpy as np
import pytest
from scipy.stats import chi2_contingency
from scipy.stats import entropy as scipy_entropy
from scipy.stats import fisher_exact as scipy_fisher
from sklearn.metrics import mutual_info_score
from statsmodels.stats.multitest import multipletests

from sequencer.review.statistics import (
    benjamini_hochberg,
    entropy,
    fisher_exact,
    g_statistic,
    mutual_information,
    permutation_p,
    smallest_found,
)

# Benjamini and Hochberg (1995), JRSS B 57, 289-300: fifteen p-values of a thrombolysis trial.
TRIAL = [
    *(0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459),
    *(0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0000),
]
ADJUSTED = [
    *(0.0015, 0.003, 0.0095, 0.035625, 0.0603, 0.063857, 0.063857, 0.0645, 0.0765),
    *(0.486, 0.581182, 0.714875, 0.753231, 0.813214, 1.0),
]


def test_the_trial_of_1995_rejects_four_at_five_percent_and_nine_at_ten() -> None:
    q = benjamini_hochberg(TRIAL)
    assert (q <= 0.05).sum() == 4
    assert (q <= 0.10).sum() == 9
    assert q == pytest.approx(ADJUSTED, abs=1e-6)


def test_adjusted_p_values_agree_with_statsmodels_in_any_order() -> None:
    p = np.random.default_rng(1).permutation([*TRIAL, 0.0095, 0.02, 0.02])
    assert benjamini_hochberg(p) == pytest.approx(multipletests(p, method="fdr_bh")[1])


@pytest.mark.parametrize(
    ("counts", "bits"),
    [
        # Miller (1955): plug-in entropy + (non-empty bins - 1) / (2 n) nats.
        ([60, 40], 0.978164),
        ([6, 4], 1.043085),
        ([50, 25, 25], 1.514427),
        ([70, 20, 10], 1.171207),
        ([12, 5, 3], 1.424859),
        # the example of the R package `entropy` (CRAN): n 19, eight bins filled
        ([4, 2, 3, 0, 2, 4, 0, 0, 2, 1, 1], 3.105535),
    ],
)
def test_miller_madow_entropy_of_counts(counts: list[int], bits: float) -> None:
    assert entropy(counts) == pytest.approx(bits, abs=1e-6)
    filled, size = sum(c > 0 for c in counts), sum(counts)
    plugged = float(scipy_entropy(np.array(counts) / size))
    assert entropy(counts) == pytest.approx((plugged + (filled - 1) / (2 * size)) / np.log(2))


@pytest.mark.parametrize(
    ("table", "bits", "corrected", "g"),
    [
        # Computed from the definitions: I, I less (K_xy - K_x - K_y + 1) / (2 n), G = 2 n I.
        ([[30, 10], [10, 30]], 0.188722, 0.179705, 20.92993),
        ([[20, 20], [20, 20]], 0.0, -0.009017, 0.0),
        ([[12, 8], [5, 15]], 0.092594, 0.074560, 5.13450),
        ([[25, 10, 5], [8, 20, 12], [7, 10, 23]], 0.190502, 0.166457, 31.69105),
    ],
)
def test_information_of_tables_and_its_g_statistic(
    table: list[list[int]], bits: float, corrected: float, g: float
) -> None:
    assert mutual_information(table, corrected=False) == pytest.approx(bits, abs=1e-6)
    assert mutual_information(table) == pytest.approx(corrected, abs=1e-6)
    assert g_statistic(table) == pytest.approx(g, abs=1e-5)
    plugged = mutual_info_score(None, None, contingency=np.array(table)) / np.log(2)
    assert mutual_information(table, corrected=False) == pytest.approx(plugged, abs=1e-9)
    likelihood = chi2_contingency(table, correction=False, lambda_="log-likelihood").statistic
    assert g_statistic(table) == pytest.approx(likelihood, abs=1e-9)


def test_the_lady_tasting_tea() -> None:
    # Fisher (1935), The Design of Experiments: four cups of each kind, three right of four.
    more, either = fisher_exact([[3, 1], [1, 3]])
    assert more == pytest.approx(17 / 70)
    assert either == pytest.approx(34 / 70)


@pytest.mark.parametrize(
    "table", [[[30, 10], [10, 30]], [[12, 8], [5, 15]], [[9, 3], [1, 29]], [[0, 7], [5, 9]]]
)
def test_exact_p_agrees_with_scipy(table: list[list[int]]) -> None:
    more, either = fisher_exact(table)
    assert more == pytest.approx(scipy_fisher(table, alternative="greater").pvalue)
    assert either == pytest.approx(scipy_fisher(table).pvalue)


def test_a_permutation_p_is_never_zero() -> None:
    # Phipson and Smyth (2010), SAGMB 9(1), 39.
    assert permutation_p(0, 999) == pytest.approx(0.001)
    assert permutation_p(999, 999) == 1.0


@pytest.mark.parametrize(
    ("pitches", "points"), [(70, 48.6), (150, 33.3), (300, 23.3), (600, 16.3), (1000, 12.5)]
)
def test_the_smallest_habit_found_falls_with_the_pitches(pitches: int, points: float) -> None:
    # Two shares, one-sided at .05/12, power .8, base 25 %, condition on a fifth of the pitches:
    # normal approximation, checked by simulation in the next test.
    assert smallest_found(pitches) == pytest.approx(points, abs=0.1)


def test_the_smallest_habit_is_found_four_times_in_five_when_it_is_there() -> None:
    rng = np.random.default_rng(3)
    habit = smallest_found(300) / 100
    inside = rng.binomial(60, 0.25 + habit, size=20_000)
    outside = rng.binomial(240, 0.25, size=20_000)
    pooled = (inside + outside) / 300
    spread = np.sqrt(pooled * (1 - pooled) * (1 / 60 + 1 / 240))
    z = (inside / 60 - outside / 240) / spread
    assert (z > 2.638).mean() == pytest.approx(0.8, abs=0.02)  # 2.638: one-sided .05 / 12
