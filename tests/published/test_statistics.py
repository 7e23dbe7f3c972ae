"""Small statistics against published tables, scipy and statsmodels."""

import numpy as np
import pytest
from scipy.stats import chi2_contingency, false_discovery_control, mannwhitneyu
from scipy.stats import entropy as scipy_entropy
from scipy.stats import fisher_exact as scipy_fisher
from sklearn.metrics import cohen_kappa_score, mutual_info_score, roc_auc_score
from statsmodels.stats.inter_rater import cohens_kappa
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.proportion import proportion_confint

from sequencer.review.exact import exact_test
from sequencer.review.statistics import (
    area_interval,
    benjamini_hochberg,
    cohen_kappa,
    entropy,
    fisher_exact,
    g_statistic,
    mutual_information,
    permutation_p,
    smallest_found,
    wilson,
)
from sequencer.review.tell_measured import gauge, rank_p

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
    assert benjamini_hochberg(p) == pytest.approx(false_discovery_control(p))


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


@pytest.mark.parametrize(
    ("table", "either"), [([[30, 10], [10, 30]], 1.48748e-05), ([[12, 8], [5, 15]], 0.0535510)]
)
def test_exact_p_of_two_tables_worked_out(table: list[list[int]], either: float) -> None:
    # Computed from the hypergeometric law.
    assert fisher_exact(table)[1] == pytest.approx(either, rel=1e-5)


def test_rabbits_given_penicillin_at_five_levels_are_tested_within_levels() -> None:
    # Mantel (1963), as in Agresti (1990), Categorical Data Analysis, 231-237: rows are the delay,
    # columns cured and died. R's mantelhaen.test(Rabbits, exact = TRUE): S = 16, p .0399449.
    rabbits = [
        [[0, 6], [0, 5]],
        [[3, 3], [0, 6]],
        [[6, 0], [2, 4]],
        [[5, 1], [6, 0]],
        [[2, 0], [5, 0]],
    ]
    test = exact_test(rabbits)
    assert test.either == pytest.approx(0.0399449, abs=1e-7)
    assert test.more == pytest.approx(test.either / 2, abs=1e-7)


def test_exact_p_in_strata_is_what_shuffling_within_strata_gives() -> None:
    rng = np.random.default_rng(5)
    tables = np.array([[[4, 2], [3, 9]], [[2, 3], [1, 10]], [[3, 0], [4, 4]]])
    drawn = np.zeros(40_000)
    for (a, b), (c, d) in tables:
        drawn += rng.hypergeometric(a + b, c + d, a + c, size=len(drawn))
    more = (drawn >= tables[:, 0, 0].sum()).mean()
    assert exact_test(tables).more == pytest.approx(more, abs=0.005)


@pytest.mark.parametrize(
    ("table", "kappa"),
    [
        # Artstein and Poesio (2008), Computational Linguistics 34, 555-596, table 1.
        ([[20, 20], [10, 50]], 0.348),
        # the example of the R package `statpsych` (CRAN), ci.kappa
        ([[31, 12], [4, 58]], 0.6756757),
        # three words, the same paper's table 4
        ([[46, 0, 0], [6, 32, 6], [0, 0, 10]], 0.8013),
    ],
)
def test_kappa_of_two_observers(table: list[list[int]], kappa: float) -> None:
    found = cohen_kappa(table)
    assert found is not None
    assert found.kappa == pytest.approx(kappa, abs=5e-4)
    counts = np.array(table)
    first, second = (np.repeat(axis.ravel(), counts.ravel()) for axis in np.indices(counts.shape))
    assert found.kappa == pytest.approx(cohen_kappa_score(first, second))
    theirs = cohens_kappa(counts)
    assert (found.error, found.low, found.high) == pytest.approx(
        (theirs.std_kappa, theirs.kappa_low, theirs.kappa_upp)
    )


def test_the_standard_error_of_kappa() -> None:
    # `statpsych` (CRAN), ci.kappa(.05, 31, 12, 4, 58), after Fleiss and Paik (2003): estimate
    # 0.6756757, standard error 0.07344761, 0.5317210 to 0.8196303.
    found = cohen_kappa([[31, 12], [4, 58]])
    assert found == pytest.approx((0.6756757, 0.07344761, 0.5317210, 0.8196303), abs=1e-7)


@pytest.mark.parametrize(("right", "total"), [(9, 10), (0, 4), (7, 7), (30, 90)])
def test_wilsons_interval_agrees_with_statsmodels(right: int, total: int) -> None:
    assert wilson(right, total) == pytest.approx(
        proportion_confint(right, total, method="wilson"), abs=1e-12
    )


def test_a_rank_test_of_one_day_agrees_with_scipy_and_its_area_with_scikit_learn() -> None:
    rng = np.random.default_rng(2)
    ones, rest = rng.normal(0.7, size=9), rng.normal(size=21)
    theirs = mannwhitneyu(ones, rest, method="exact").pvalue
    assert rank_p([(ones, rest)], rng) == pytest.approx(theirs)
    tied = np.round(ones, 1), np.round(rest, 1)
    assert rank_p([tied], rng) == pytest.approx(mannwhitneyu(*tied).pvalue, abs=0.02)
    measures = [("day", "changeup", float(x)) for x in tied[0]]
    measures += [("day", "fastball", float(x)) for x in tied[1]]
    (gauged,) = gauge("hold", measures, rng)
    area = roc_auc_score([1] * 9 + [0] * 21, np.concatenate(tied))
    assert gauged.area == pytest.approx(area)


def test_an_area_is_held_by_its_interval_about_as_often_as_it_says() -> None:
    # Newcombe (2006), Statistics in Medicine 25, 559-573, method 5; normal numbers, 12 and 30.
    rng = np.random.default_rng(7)
    true = 0.8555778  # normal law at 1.5 / sqrt 2
    held = 0
    for _ in range(400):
        ones, rest = rng.normal(1.5, size=12), rng.normal(size=30)
        low, high = area_interval(float((ones[:, None] > rest).mean()), 12, 30)
        held += low <= true <= high
    assert 0.92 <= held / 400 <= 0.99


def test_an_area_of_one_is_not_sure() -> None:
    low, high = area_interval(1.0, 4, 8)
    assert 0.5 < low < 0.9
    assert high == 1.0


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
