"""A hitter who faces the pitches of a scenario: what he has in mind, and what he brings to each of them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import fsum

from latebreak.engine.aim import MeanPitches
from latebreak.engine.bundle import Bundle
from latebreak.engine.units import DEGREE, FOOT, MILLISECOND
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import Hitter, Traits, preset
from latebreak.perception.model import HitterModel
from latebreak.perception.swing import Readiness
from latebreak.perception.templates import Template, remember
from latebreak.service.questions.setting import Setting
from latebreak.service.scenario import Scenario


@dataclass(frozen=True)
class Mix:
    """Types that a hitter has in mind, the fastball first, with their shares; `own` is the pitch that is judged."""

    types: tuple[str, ...]
    shares: tuple[float, ...]
    own: int


def mix_for(scenario: Scenario, fastball: str, compared: list[str], name: str) -> Mix:
    """Return the mix in which a pitch is judged.

    Compared pitches are alternatives: those that are not compared keep their shares, and the judged one holds the sum
    of the compared.
    """
    expects = scenario.hitter.expects
    # what nobody expects is no type in mind; the fastball always is one
    kept = [one for one in scenario.pitch if one not in (fastball, *compared) and expects.get(one, 0.0) > 0.0]
    shares = [expects.get(one, 0.0) for one in (fastball, *kept)]
    # rounded, so that equal sums of different parts are equal to the last digit
    own = round(fsum(expects.get(one, 0.0) for one in compared), 12)
    return Mix((fastball, *kept, name), (*(round(share, 12) for share in shares), own), 1 + len(kept))


@dataclass(frozen=True, eq=False)
class Facing:
    """A hitter before the pitches of a setting, under m sets of parameters.

    Attributes
    ----------
    setting : Setting
        Scenario and conditions.
    hitter : Hitter
        Who hits.
    model : HitterModel
        How.
    bundles : dict of str to Bundle
        The pitches, by name.
    pitches : dict of str to MeanPitches
        Aimed; m columns.
    traits : Traits
        m columns.
    templates : dict of str to Template
        What he remembers of the pitches so far.
    """

    setting: Setting
    hitter: Hitter
    model: HitterModel
    bundles: dict[str, Bundle]
    pitches: dict[str, MeanPitches]
    traits: Traits
    templates: dict[str, Template] = field(default_factory=dict)

    def ready(self, mix: Mix) -> Readiness:
        """Work out once what the hitter brings to the judged pitch of a mix."""
        types, own = self.model.imagine(
            [replace(self.template(name), share=share) for name, share in zip(mix.types, mix.shares, strict=True)],
            mix.own,
        )
        name = mix.types[mix.own]
        bundle = self.bundles[name]
        encounter = self.model.meet(
            self.pitches[name],
            bundle.flight,
            bundle.factor,
            types,
            own,
            self.hitter,
            self.model.traits(self.traits),
        )
        return self.model.ready(encounter)

    def template(self, name: str) -> Template:
        """Return what he remembers of a pitch, without its share; made when first asked for."""
        if name not in self.templates:
            self.templates[name] = remember(
                name,
                0.0,
                self.pitches[name],
                self.bundles[name].flight,
                self.setting.conditions,
                self.hitter.level,
                self.setting.scenario.pitch[name].role,
                self.setting.scenario.pitcher.hand,
                self.hitter.familiarity,
            )
        return self.templates[name]

    def judging(self, mix: Mix, versions: Bundle, pitches: MeanPitches) -> Facing:
        """Return him before versions of the judged pitch, m columns; what he remembers of the others stays."""
        name = mix.types[mix.own]
        return replace(
            self,
            bundles=self.bundles | {name: versions},
            pitches=self.pitches | {name: pitches},
            templates={other: self.template(other) for other in mix.types if other != name},
        )


def hitter_of(scenario: Scenario) -> Hitter:
    """Return the hitter of a scenario: the preset of the level with what the file says."""
    entry = scenario.hitter
    said = {
        "evidence_efficiency": (entry.evidence_efficiency, 1.0),
        "speed_error": (entry.template_speed_error_percent, 0.01),
        "movement_error": (entry.template_movement_error_percent, 0.01),
        "direction_error": (entry.template_direction_error_deg, DEGREE),
    }
    return preset(
        entry.level,
        Eye(entry.eye_side_ft * FOOT, entry.eye_height_ft * FOOT, entry.eye_depth_ft * FOOT, entry.bats),
        entry.commit_before_arrival_ms * MILLISECOND,
        entry.familiarity,
        **{trait: value * unit for trait, (value, unit) in said.items() if value is not None},
    )
