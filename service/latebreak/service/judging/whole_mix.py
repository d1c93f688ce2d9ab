"""The whole mix: strikes without contact per 100 pitches, where hitters have one of some alternatives in mind.

    M = sum over h of s_h p_h

s_h: share of pitch h, which is both what is thrown and what is expected; p_h: strikes without contact per pitch h, with
all pitches of the mix in mind. The other pitches are judged anew beside each alternative: what the fastball does
depends on what else may come.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from latebreak.service.judging.estimates import Estimator, weighted
from latebreak.service.judging.judged_pitch import JudgedPitch
from latebreak.service.judging.lineup import Lineup
from latebreak.service.judging.members import Versions

#: Key of the measure of the mix, and that of a pitch of which it is made.
MIX, OF_PITCH = "mix_strike_without_contact_percent", "strike_without_contact_percent"


def others_of(lineup: Lineup, name: str) -> list[str]:
    """Return the pitches of the mix in which a pitch is judged but for itself."""
    return [one for one in lineup.mix(name) if one != name]


def judge_others(lineup: Lineup, alternatives: Sequence[Versions]) -> dict[str, JudgedPitch]:
    """Put the other pitches of the mix before hitters who have an alternative in mind.

    Parameters
    ----------
    lineup : Lineup
        The hitter and all pitches.
    alternatives : sequence of Versions
        Of pitches that are alternatives of each other.

    Returns
    -------
    dict of str to JudgedPitch
        By name; a version for each version of the alternatives, in their order.
    """
    return {one: lineup.judge_beside(one, alternatives) for one in others_of(lineup, alternatives[0].name)}


def of_mix(shares: Mapping[str, float], of_pitch: Mapping[str, Estimator]) -> Estimator:
    """Add up the mix: shares and strikes without contact of its pitches by name."""
    return weighted([(share, of_pitch[name]) for name, share in shares.items()])
