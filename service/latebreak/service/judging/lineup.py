"""Who is judged behind which fastball: the pitches of a question made ready, and the faults that only they show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.bundle import Bundle
from latebreak.engine.errors import Fault, InputError
from latebreak.engine.flight.kernel import Y
from latebreak.engine.flight.outcome import has_arrived, outcomes
from latebreak.engine.pitch.aim import MeanPitches
from latebreak.engine.stopping import checkpoint
from latebreak.engine.units import FOOT
from latebreak.service.judging.ensemble import Ensemble, pitch_members, sample_ensemble
from latebreak.service.judging.estimates import ENOUGH, MEMBERS
from latebreak.service.judging.hitter import Hitter, expected, hitter_of, in_mind, mix_of
from latebreak.service.judging.judged_pitch import JudgedPitch
from latebreak.service.judging.members import Versions
from latebreak.service.judging.setting import Setting
from latebreak.service.scenario import Scenario, reference_fastball
from latebreak.service.wording import did_you_mean, shown

Flags = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Lineup:
    """Pitches ready to be judged.

    Attributes
    ----------
    setting : Setting
        Scenario and conditions.
    fastball : str
        The reference fastball.
    compared : tuple of str
        Pitches that are alternatives of each other.
    bundles : dict of str to Bundle
        Every pitch of the scenario, by name.
    hitter : Hitter
        Who hits.
    ensemble : Ensemble or None
        Joint samples of what is not known; None for no interval.
    warnings : tuple of str
        Of loading, of the laws' fits, and of members that can't be thrown.
    """

    setting: Setting
    fastball: str
    compared: tuple[str, ...]
    bundles: dict[str, Bundle]
    hitter: Hitter
    ensemble: Ensemble | None
    warnings: tuple[str, ...]

    def mix(self, name: str) -> dict[str, float]:
        """Return what the hitter has in mind where this pitch is judged, as `mix_of`."""
        return mix_of(self.setting.scenario, self.fastball, self._alternatives(name), name)

    def judged_among(self, name: str) -> str:
        """Say among which pitches a pitch is judged: "curve or slider 40 %, fastball 60 %"."""
        *others, (_, share) = self.mix(name).items()
        called = self.setting.scenario.called
        parts = [
            (" or ".join(map(called, self._alternatives(name))), share),
            *((called(who), one) for who, one in others),
        ]
        return ", ".join(f"{who} {100.0 * part:.4g} %" for who, part in parts)

    def versions(self, name: str, bundle: Bundle | None = None, on_target: Flags | None = None) -> Versions:
        """Put versions of a pitch under the ensemble.

        Parameters
        ----------
        name : str
            The pitch.
        bundle : Bundle, optional
            v columns; default: the pitch as it is.
        on_target : bool array, shape (v,), optional
            Which of them can be thrown to their target; default: all.
        """
        own, e = self.bundles[name], self.ensemble
        bundle = own if bundle is None else bundle
        reached = np.ones(bundle.mean.seam.size, dtype=bool) if on_target is None else on_target
        if e is None:
            return Versions(name, bundle, reached)
        if bundle is own:
            return Versions(name, bundle, reached, e.pitches[name], e.on_target[name])
        return Versions(name, bundle, reached, *pitch_members(self.setting, name, bundle, e.ball))

    def judge(self, name: str, versions: Versions | None = None) -> JudgedPitch:
        """Put a pitch before the hitter: its versions, by default the pitch as it is."""
        versions = self.versions(name) if versions is None else versions
        mix, every = self.mix(name), range(versions.count)
        bundles = self.bundles | {name: versions.bundle}
        own = self._face(name, bundles, [(mix, self._means(np.arange(versions.count)) | {name: versions.bundle.mean})])
        e = self.ensemble
        if e is None:
            return replace(own, usable=versions.on_target[:, None])
        ensemble = []
        for version in every:  # one by one, so that the work can be stopped between them
            checkpoint()
            ensemble.append(self._face(name, bundles, [(mix, e.pitches | {name: versions.members_of(version)})], e))
        usable = np.stack([versions.usable(version, e, mix) for version in every])
        return replace(own, usable=usable, ensemble=tuple(ensemble))

    def judge_beside(self, name: str, alternatives: Sequence[Versions]) -> JudgedPitch:
        """Put a pitch before hitters each of whom has one of some alternatives in mind, in the mix of that one.

        Parameters
        ----------
        name : str
            The pitch that is thrown; none of the alternatives.
        alternatives : sequence of Versions
            Of other pitches: a mind for each version of the first, then of the second, ...

        Returns
        -------
        JudgedPitch
            One column of throws; versions are the minds.
        """
        each = [(one, version) for one in alternatives for version in range(one.count)]
        first, e = np.zeros(1, np.int64), self.ensemble
        bundles = [self.bundles | {one.name: one.bundle} for one, _ in each]
        minds = [
            (self.mix(one.name), self._means(first) | {one.name: one.bundle.mean.columns(np.array([version]))})
            for one, version in each
        ]
        own = self._face(name, bundles, minds)
        if e is None:
            return replace(own, usable=np.array([[one.on_target[version]] for one, version in each]))
        minds = [(self.mix(one.name), e.pitches | {one.name: one.members_of(version)}) for one, version in each]
        usable = np.stack([one.usable(version, e, self.mix(one.name)) for one, version in each])
        return replace(own, usable=usable, ensemble=(self._face(name, bundles, minds, e),))

    def judge_expecting(self, name: str, mixes: Sequence[dict[str, float]]) -> JudgedPitch:
        """Put a pitch as it is before hitters who expect different mixes of the same pitches.

        Parameters
        ----------
        name : str
            The pitch that is thrown.
        mixes : sequence of dict of str to float
            Shares by name; all of the same pitches.
        """
        first, e = np.zeros(1, np.int64), self.ensemble
        own = self._face(name, self.bundles, [(mixes[0], self._means(first))], None, mixes)
        if e is None:
            return replace(own, usable=np.ones((len(mixes), 1), dtype=bool))
        ensemble = self._face(name, self.bundles, [(mixes[0], e.pitches)], e, mixes)
        usable = np.logical_and.reduce([e.on_target[one] for one in mixes[0]])
        return replace(own, usable=np.tile(usable, (len(mixes), 1)), ensemble=(ensemble,))

    def _means(self, columns: NDArray[np.int64]) -> dict[str, MeanPitches]:
        """Every pitch as it is, once for each column."""
        numbers, once = np.zeros_like(columns), columns.size == 1
        return {one: bundle.mean if once else bundle.mean.columns(numbers) for one, bundle in self.bundles.items()}

    def _face(
        self,
        name: str,
        bundles: dict[str, Bundle] | Sequence[dict[str, Bundle]],
        minds: Sequence[tuple[dict[str, float], dict[str, MeanPitches]]],
        ensemble: Ensemble | None = None,
        expecting: Sequence[dict[str, float]] = (),
    ) -> JudgedPitch:
        """Throw the pitch of the first mind's means to hitters with these minds."""
        each = [bundles] * len(minds) if isinstance(bundles, dict) else bundles
        means = minds[0][1]
        same = np.zeros(means[name].seam.size, np.int64)
        parameters = self.hitter.parameters.columns(same) if ensemble is None else ensemble.parameters
        types = [
            in_mind(self.hitter, parameters, mix, self.fastball, held, thrown)
            for held, (mix, thrown) in zip(each, minds, strict=True)
        ]
        if expecting:
            types = [expected(types[0], mix) for mix in expecting]
        return JudgedPitch(name, self.fastball, self.setting, self.hitter, parameters, each[0], means, tuple(types))

    def _alternatives(self, name: str) -> tuple[str, ...]:
        return self.compared if name in self.compared else (name,)


def line_up(setting: Setting, command: str, pitches: Sequence[str] | None, intervals: bool) -> Lineup:
    """Make pitches ready to be judged behind the reference fastball.

    Parameters
    ----------
    setting : Setting
        Scenario and conditions.
    command : str
        What is asked, for messages.
    pitches : sequence of str or None
        Names to compare; None: all that are no fastballs.
    intervals : bool
        Whether to sample what is not known.

    Raises
    ------
    InputError
        If there is no fastball, a name is at fault, or a mean pitch does not arrive.
    """
    fastball, names = _who(setting.scenario, command, pitches, setting.source)
    bundles = setting.bundles(list(setting.scenario.pitch))
    _check_arrivals(bundles, setting.source)
    hitter = hitter_of(setting.scenario)
    ensemble = sample_ensemble(setting, bundles, hitter) if intervals else None
    lost = [] if ensemble is None else _lost_members(ensemble)
    warnings = (*setting.warnings, *setting.fit_warnings(bundles), *lost)
    return Lineup(setting, fastball, tuple(names), bundles, hitter, ensemble, warnings)


def faults_of_pitch(setting: Setting, command: str, pitch: str) -> tuple[Fault, ...]:
    """Return what is wrong with asking about a pitch."""
    return faults_of_names(setting, command, [pitch])


def faults_of_names(setting: Setting, command: str, pitches: Sequence[str] | None) -> tuple[Fault, ...]:
    """Return what is wrong with asking about pitches."""
    try:
        _who(setting.scenario, command, pitches, setting.source)
    except InputError as error:
        return error.faults
    return ()


def line_up_for(setting: Setting, command: str, pitch: str, intervals: bool) -> Lineup:
    """Make pitches ready where one of them is asked about, judged as `compare` judges it.

    That is among the pitches that `compare` compares where none are named, or alone where it is none of them.

    Raises
    ------
    InputError
        As `line_up` does.
    """
    faults = faults_of_pitch(setting, command, pitch)
    if faults:
        raise InputError(faults, setting.source)
    return line_up(setting, command, compared_with(setting, command, pitch), intervals)


def compared_with(setting: Setting, command: str, pitch: str) -> list[str]:
    """Return the pitches among which a pitch is judged: those of `compare`, or itself where it is none of them."""
    _, compared = _who(setting.scenario, command, None, setting.source)
    return compared if pitch in compared else [pitch]


def _lost_members(ensemble: Ensemble) -> list[str]:
    """Say where members of the ensemble can't be thrown."""
    result = []
    for name, on_target in ensemble.on_target.items():
        lost = int((~on_target).sum())
        if lost:
            after = ", so neither it nor a pitch judged beside it gets an interval" if MEMBERS - lost < ENOUGH else ""
            result.append(
                f"pitch.{name}: in {lost} of {MEMBERS} cases of what is not known it can't reach its target{after}"
            )
    return result


def _who(scenario: Scenario, command: str, asked: Sequence[str] | None, source: str) -> tuple[str, list[str]]:
    """Names of the reference fastball and of the pitches to compare."""
    fastball = reference_fastball(scenario)
    if fastball is None:
        problem = f"{command} needs a fastball, and no pitch is one"
        raise InputError([Fault("pitch.*.role", problem, "", 'give the fastball role = "fastball"')], source)
    others = [name for name in scenario.pitch if name != fastball]
    if asked is None:
        names = [name for name in others if scenario.pitch[name].role != "fastball"] or others
        if not names:
            problem = f"there is no pitch to compare behind {fastball!r}"
            raise InputError([Fault("pitch", problem, "", "add a [pitch.NAME] section")], source)
        return fastball, names
    names = list(dict.fromkeys(asked))
    what = "pitches" if command == "compare" else "pitch"
    called = ((name, scenario.called(name)) for name in others)
    allowed = "any of " + ", ".join(name if name == said else f"{name} ({said})" for name, said in called)
    faults = []
    for name in names:
        if name == fastball:
            faults.append(Fault(what, f"{shown(name)} is the fastball that the others are judged behind", allowed))
        elif name not in others:
            problem = f"there is no pitch {shown(name)}" if name else "no pitch is named"
            faults.append(Fault(what, problem, allowed, did_you_mean(name, others)))
    if not names:
        faults = [Fault("pitches", "no pitch is named", allowed)]
    if faults:
        raise InputError(faults, source)
    return fastball, names


def _check_arrivals(bundles: dict[str, Bundle], source: str) -> None:
    """Refuse mean pitches that never arrive: nothing could be said about them."""
    faults = []
    for name, bundle in bundles.items():
        releases = bundle.mean.releases()
        code = outcomes(releases, bundle.flight.arrivals(releases), bundle.flight.constants.radius)
        if not has_arrived(code).all():
            faults.append(
                Fault(
                    f"pitch.{name}",
                    f"the mean pitch does not reach the plate, {releases[Y, 0] / FOOT:.1f} ft away, in the air",
                    "a mean pitch that arrives",
                    "mend its launch angles, speed_mph or target",
                )
            )
    if faults:
        raise InputError(faults, source)
