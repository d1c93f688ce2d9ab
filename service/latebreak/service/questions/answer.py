"""Answers: the envelope, and numbers that carry how sure they are. `to_dict` gives the JSON of the contract."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from typing import Any, Generic, TypeVar

from latebreak.service.judging.estimates import Estimate
from latebreak.service.plain import plain
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.cautions import cautions

__all__ = ["Answer", "Estimate", "Json", "OverThrows", "answer_to", "installed_version"]

#: What JSON can hold.
Json = dict[str, Any]


@cache
def installed_version() -> str:
    """Version of latebreak; "0" where it runs without being installed."""
    try:
        return version("latebreak")
    except PackageNotFoundError:
        return "0"


@dataclass(frozen=True)
class OverThrows:
    """A quantity over the throws that arrived; every number None where none did.

    Attributes
    ----------
    mean, sd : float or None
        Mean and standard deviation.
    low, high : float or None
        5 % and 95 % of the throws.
    sampling_error : float or None
        Monte Carlo standard error of the mean.
    """

    mean: float | None
    sd: float | None
    low: float | None
    high: float | None
    sampling_error: float | None


R = TypeVar("R")


@dataclass(frozen=True)
class Answer(Generic[R]):
    """The answer to a question.

    Attributes
    ----------
    command : str
        The question.
    title : str
        Of the scenario.
    seed, throws : int
        What the random draws depend on.
    warnings : tuple of str
        What is unusual about the input or the run.
    cautions : tuple of str
        What to mind so that nobody gets hurt.
    result : object
        What was found out.
    version : str
        Version of latebreak that answers.
    """

    command: str
    title: str
    seed: int
    throws: int
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    result: R
    version: str = field(default_factory=installed_version)

    def to_dict(self) -> Json:
        """Return the JSON object of the contract: no NaN, no infinity."""
        names = ("command", "title", "seed", "throws", "version", "warnings", "cautions", "result")
        return {name: plain(getattr(self, name)) for name in names}


def answer_to(
    question: str,
    scenario: Scenario,
    warnings: Iterable[str],
    result: R,
    *,
    title: str | None = None,
    proposes_more: bool = False,
) -> Answer[R]:
    """Put what was found out about a scenario into its envelope.

    Parameters
    ----------
    question : str
        Its name.
    scenario : Scenario
        Who throws, with which draws.
    warnings : iterable of str
        What is unusual; each is told once.
    result : object
        What was found out.
    title : str, optional
        In place of the scenario's.
    proposes_more : bool
        Whether it proposes more speed, more spin or more throwing, as of `cautions`.
    """
    return Answer(
        question,
        scenario.title if title is None else title,
        scenario.seed,
        scenario.throws,
        tuple(dict.fromkeys(warnings)),
        cautions(scenario.pitcher, proposes_more=proposes_more),
        result,
    )
