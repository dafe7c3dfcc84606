"""Verdicts on simulated climbers whose truth is known; a thousand of them in the benchmark."""

from __future__ import annotations

import numpy as np
from benchmarks import lives

from seasonplan.testing.change import Called

RIGHT_OFTEN = {Called.REAL_GAIN: 0.90, Called.PROBABLE_GAIN: 0.70}


def test_intervals_hold_the_truth_nine_times_in_ten() -> None:
    rng = np.random.default_rng(11)
    lived = [lives.wandering(rng) for _ in range(250)]
    shares = lives.coverage(lived)
    assert set(shares) == {"change", "level"}
    assert all(0.86 <= share <= 0.94 for share in shares.values()), shares
    said = lives.words(lived)
    for word, least in RIGHT_OFTEN.items():
        times, gains = said[word.value]
        assert times >= 20 and gains >= least, (word, times, gains)


def test_a_plateau_is_hardly_ever_said_of_somebody_who_gains() -> None:
    rng = np.random.default_rng(12)
    lived = [lives.steady(rng, lives.WORTH_HAVING) for _ in range(250)]
    assert lives.plateaus(lived) < 0.05
    assert 0.86 <= lives.slope_coverage(lived, lives.WORTH_HAVING) <= 0.96


def test_a_plateau_is_said_where_a_precise_test_stands_still() -> None:
    """So that the silence above is no silence of always."""
    rng = np.random.default_rng(13)
    truth = np.full(lives.STEADY_DAYS, 370.0)
    lived = [lives.lived(rng, truth, list(range(0, 56, 3)), error=0.8) for _ in range(40)]
    assert lives.plateaus(lived) > 0.6
