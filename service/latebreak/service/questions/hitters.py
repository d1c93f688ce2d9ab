"""The question what a record of swings teaches about the hitters of a level, an opponent, or one hitter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import sqrt
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.errors import Fault, InputError
from latebreak.perception.model import HitterModel
from latebreak.perception.parameters import fitted, keys, unit_of
from latebreak.perception.swings.record import Record
from latebreak.perception.swings.scores import PREDICTIONS, losses_of, scored
from latebreak.perception.swings.teaching import Known, Taught, enough, known_of, teach
from latebreak.service.judging.hitter import hitter_of
from latebreak.service.judging.setting import Progress, one_blas_thread
from latebreak.service.questions.answer import Answer, Estimate, answer_to
from latebreak.service.questions.fitting.base import read_base
from latebreak.service.questions.fitting.result import Flagged
from latebreak.service.questions.teaching.hitters_text import hitters_text
from latebreak.service.questions.teaching.outliers import without_outliers
from latebreak.service.questions.teaching.record_of import record_of
from latebreak.service.questions.teaching.result import HeldOut, HittersResult, Prediction, TaughtParameter
from latebreak.service.questions.teaching.rows import swing_rows
from latebreak.service.questions.teaching.said import sentences
from latebreak.service.scenario import Source
from latebreak.service.throws import Throws, read_throws
from latebreak.service.wording import did_you_mean, shown

__all__ = ["hitters"]

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

_NORMAL_90 = 1.6448536269514722  # 95 % point of the standard normal distribution
#: Most pitches that are learnt from (chosen: a minute or two; more hardly change what is learnt).
MOST_PITCHES = 10_000
BEFORE, OTHERS, TAUGHT = "hitter before", "other hitters of the record", "taught hitter"


def hitters(
    swings: str | Path | Throws,
    *,
    base: Source,
    columns: str | Path | Mapping[str, Any] | None = None,
    hitter: str | None = None,
    fastball: str | None = None,
    progress: Progress = lambda share: None,
) -> Answer[HittersResult]:
    """Teach the hitter model by a record of swings.

    Parameters
    ----------
    swings : str, Path or Throws
        A CSV file of pitches with what hitters did, or a table as read.
    base : Scenario, Loaded, str or Path
        Says hand, field, air, and the hitter as he was: level, familiarity, zone, what is given.
    columns : str, Path or mapping, optional
        Column map of the file.
    hitter : str, optional
        Teach this one, shrunk toward the others of the record.
    fastball : str, optional
        Name of the fastball that hitters are ready for; default: as `fit` finds it.
    progress : callable, optional
        Told the share of the work that is done.

    Returns
    -------
    Answer of HittersResult
        With the file of taught hitters as TOML text.

    Raises
    ------
    InputError
        If record, column map, base or a name are at fault.
    ScenarioFileError, ThrowsFileError, HittersFileError
        If a file can't be read.
    """
    with one_blas_thread():
        found = read_base(base, None, None)
        scenario = found.scenario
        pitcher, middle = scenario.pitcher, hitter_of(scenario)
        read = swings if isinstance(swings, Throws) else read_throws(swings, columns, hand=pitcher.hand)
        level = scenario.hitter.level
        rows = swing_rows(without_outliers(read, pitcher.level), level, pitcher.hand)
        record, flown, warnings = record_of(rows, found, middle.situation.zone, fastball)
        who = [name for name, one in zip(rows.hitter, flown, strict=True) if one]
        own = _own(who, hitter, read.source)
        progress(0.1)
        known = known_of(middle.parameters, middle.given, middle.taught or fitted())
        before = known
        if hitter is not None:
            rest = _thinned(replace(record, fitted=~own), warnings)
            before = teach(rest, known, middle.model).known.one_of_them() if enough(rest) else known.one_of_them()
            progress(0.4)
        record = _thinned(replace(record, fitted=own), warnings)
        held_out = _held_out(record, known, before, middle.model)
        progress(0.7)
        taught = teach(record, before, middle.model)
        learned = enough(record)
    flags = [*rows.throws.flags]
    warnings += [*found.setting.warnings, *read.warnings]
    if rows.other_levels:
        warnings.append(
            f"{rows.other_levels:,} rows are of hitters of other levels than {level}, the base's, and not used"
        )
    if not flown.all():
        warnings.append(
            f"{int((~flown).sum()):,} rows do not tell the path of their pitch, such as line "
            f"{int(rows.throws.line[~flown][0])}, and are not used"
        )
    counts = _counts(record, who)
    parameters = _parameters(taught)
    why = sentences(hitter, learned, counts, parameters, held_out)
    left_out = sum(flag.left_out for flag in flags) + rows.other_levels + int((~flown).sum())
    result = HittersResult(
        hitter,
        level,
        learned,
        {"read": len(read) + sum(flag.left_out for flag in read.flags), "used": int(flown.sum()), "left_out": left_out},
        counts,
        parameters,
        held_out,
        why,
        tuple(Flagged(read.source, flag) for flag in flags),
        hitters_text(taught.known, level, (f"From {shown(read.source)}.", *why)),
    )
    return answer_to(
        "hitters",
        scenario,
        warnings,
        result,
        title=f"Hitters of {read.source}" if hitter is None else f"{hitter}, from {read.source}",
    )


def _own(who: list[str | None], hitter: str | None, source: str) -> Flags:
    """Tell which pitches were thrown to the hitter that is asked for; all, where none is."""
    if hitter is None:
        return np.ones(len(who), dtype=bool)
    own = np.array([name == hitter for name in who])
    if not own.any():
        names = list(dict.fromkeys(name for name in who if name is not None))
        allowed = ", ".join(map(shown, names[:20])) or "a column `hitter`"
        remedy = did_you_mean(hitter, names) or "name a hitter as the column `hitter` does"
        raise InputError([Fault("hitter", f"no row is of a hitter {shown(hitter)}", allowed, remedy)], source)
    return own


def _thinned(record: Record, warnings: list[str]) -> Record:
    """Learn from some of very many pitches, evenly through the record."""
    rows = np.flatnonzero(record.fitted)
    if rows.size <= MOST_PITCHES:
        return record
    kept = np.zeros_like(record.fitted)
    kept[rows[np.linspace(0, rows.size - 1, MOST_PITCHES).astype(np.int64)]] = True
    warnings.append(f"{MOST_PITCHES:,} of {rows.size:,} pitches are learnt from, evenly through the record")
    return replace(record, fitted=kept)


def _counts(record: Record, who: list[str | None]) -> dict[str, int]:
    own = record.fitted
    counts = {
        "pitches": int(own.sum()),
        "swings": int((record.swung & own).sum()),
        "misses": int((record.missed & own).sum()),
        "days": int(np.unique(record.day[own]).size),
    }
    names = {name for name, one in zip(who, own, strict=True) if one and name is not None}
    return counts | ({"hitters": len(names)} if names else {})


def _parameters(taught: Taught) -> dict[str, TaughtParameter]:
    edges = [
        [known.shifted(sign * _NORMAL_90 * known.sd) for sign in (0.0, -1.0, 1.0)]
        for known in (taught.before, taught.known)
    ]
    found = {}
    for number, name in enumerate(taught.known.names):
        key = keys()[name]
        before, now = (
            Estimate(value, 0.0, low, high)
            for value, low, high in ([float(getattr(one, name)[0]) / unit_of(key) for one in three] for three in edges)
        )
        was, sd = taught.before.sd[number], taught.known.sd[number]
        found[key] = TaughtParameter(before, now, float(taught.shift[number] / was), float(100.0 * sd / was))
    return found


def _held_out(record: Record, known: Known, before: Known, model: HitterModel) -> HeldOut | None:
    """Learn from days 1, 3, 5, ... and predict the others."""
    own = record.fitted
    days = np.unique(record.day[own])
    learnt = replace(record, fitted=own & np.isin(record.day, days[::2]))
    out = own & ~learnt.fitted
    if not enough(learnt) or not out.any() or not (record.swung & out).any():
        return None
    taught = teach(learnt, before, model).known
    chances = {name: predict(learnt) for name, predict in PREDICTIONS.items()}
    chances[BEFORE] = record.answers(model, known.middle, out)
    if before is not known:
        chances[OTHERS] = record.answers(model, before.middle, out)
    chances[TAUGHT] = record.answers(model, taught.middle, out)
    predictions = {}
    for name, chance in chances.items():
        (swing, swing_area), (miss, miss_area) = scored(record, chance, out).values()
        predictions[name] = Prediction(swing, swing_area, miss, miss_area)
    return HeldOut(
        int(days.size - days[::2].size),
        int(out.sum()),
        int((record.swung & out).sum()),
        predictions,
        _gain(record, chances[OTHERS if OTHERS in chances else BEFORE], chances[TAUGHT], out),
    )


def _gain(record: Record, before: Array, taught: Array, out: Flags) -> Estimate:
    """Log likelihood gained in 100 pitches; its error from the scatter over days, where there are two or more."""
    each = (losses_of(record, before, out) - losses_of(record, taught, out)).sum(axis=0)
    day = record.day[out]
    by_day = np.array([each[day == one].sum() for one in np.unique(day)])
    units = by_day if by_day.size > 1 else each
    error = float(units.std(ddof=1)) * sqrt(units.size) if units.size > 1 else float("inf")
    value, error = 100.0 * float(each.sum()) / each.size, 100.0 * error / each.size
    return Estimate(value, 0.0, value - _NORMAL_90 * error, value + _NORMAL_90 * error)
