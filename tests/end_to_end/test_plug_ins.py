"""Force laws and hitter models of other packages, as whoever installs them has them: by command and over the wire.

The tests of command and server run twice: with the packages of tests/third_party pip-installed beside a packed
latebreak in an environment of their own (slow: pip, and a compiler from nothing), and, quickly, with their metadata put
on the path of the environment that runs the tests.
"""

import importlib.metadata
import json
import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from commands import COMMAND
from plugged import write_distribution
from serving import Served, environment, serving

from latebreak.engine.errors import InputError
from latebreak.engine.laws import registry as force_laws
from latebreak.perception import registry as hitter_models
from latebreak.service.client import Client
from latebreak.service.server.models import load_models, models

CHECKOUT = Path(__file__).parents[2]
PACKAGES = [CHECKOUT / "tests" / "third_party" / name for name in ("patient-hitter", "half-finished")]
#: s; a first answer compiles every kernel, and pip may have to download.
LONGEST_RUN, LONGEST_INSTALLATION = 240.0, 900.0
#: The difference between two models stands far above the scatter of so many throws: they share their draws.
THROWS = "400"
BUILT_IN = {
    "lift_law": {"saturating_lift", "piecewise_lift", "power_lift", "exponential_lift", "rational_lift"},
    "drag_law": {"constant_drag", "falling_drag"},
    "hitter_model": {"one_glance", "keen_eye", "speed_alone"},
}
TORN_LAW = "force law 'torn_lift' of distribution 'half-finished' can't be used: C_L(S) is not finite everywhere"
TORN_HITTER = (
    "hitter model 'torn_hitter' of distribution 'half-finished' can't be used: loading "
    "'half_finished.hitters:torn_hitter' failed with ModuleNotFoundError: "
    "No module named 'half_finished.what_is_still_to_be_written'"
)


@dataclass(frozen=True)
class Installation:
    """A latebreak with plug-ins: its command, and what must be in the environment of a process."""

    command: str
    env: dict[str, str]

    def compare(self, scenario: Path) -> tuple[int, str, str]:
        """Ask on the command line: exit status, stdout, stderr."""
        return compare(scenario, command=self.command, env=self.env)


def compare(
    scenario: Path, *options: str, command: str = COMMAND, env: dict[str, str] | None = None
) -> tuple[int, str, str]:
    """Run the command, by default without the plug-ins: exit status, stdout, stderr with a line for each fault."""
    words = [command, "compare", str(scenario), "--json", "--no-interval", "--throws", THROWS, *options]
    done = subprocess.run(
        words, capture_output=True, text=True, encoding="utf-8", timeout=LONGEST_RUN, check=False,
        env=environment(env), cwd=scenario.parent,
    )  # fmt: skip
    return done.returncode, done.stdout, re.sub(r"\n  (?=\S)", " ", done.stderr)


def pip_installed(folder: Path) -> Installation:
    """A virtual environment of its own: latebreak packed as a wheel, with its dependencies, and both packages."""
    python = Path(sys.base_prefix) / "bin" / "python3"  # as README.md does it: pip works from outside
    subprocess.run([python, "-m", "venv", "--without-pip", folder], check=True, timeout=LONGEST_RUN)
    subprocess.run(
        [python, "-m", "pip", "--python", folder, "install", "--quiet", CHECKOUT, *PACKAGES],
        check=True, timeout=LONGEST_INSTALLATION,
    )  # fmt: skip
    return Installation(str(folder / "bin" / "latebreak"), {})


def on_the_path(folder: Path) -> Installation:
    """The metadata of each pyproject.toml, and the source folders, on the path."""
    for package in PACKAGES:
        project = tomllib.loads((package / "pyproject.toml").read_text())["project"]
        write_distribution(folder, project["name"], project["entry-points"], {}, project["version"])
    path = [*map(str, [folder, *PACKAGES]), *filter(None, [os.environ.get("PYTHONPATH")])]
    return Installation(COMMAND, {"PYTHONPATH": os.pathsep.join(path)})


@pytest.fixture(scope="module", params=["on the path", pytest.param("installed", marks=pytest.mark.slow)])
def installation(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Installation:
    folder = tmp_path_factory.mktemp("environment")
    return (pip_installed if request.param == "installed" else on_the_path)(folder)


@pytest.fixture(scope="module")
def served(installation: Installation) -> Iterator[Served]:
    with serving(env=installation.env, command=installation.command) as found:
        yield found


def scenario_file(folder: Path, *, lift_law: str = "", model: str = "") -> Path:
    """A ready scenario that names a law and a hitter model."""
    text = (CHECKOUT / "scenarios" / "two-grips.toml").read_text()
    assert "[ball]" not in text
    text += f'\n[ball]\nlift_law = "{lift_law}"\n' if lift_law else ""
    text = text.replace("[hitter]", f'[hitter]\nmodel = "{model}"') if model else text
    path = folder / "bullpen.toml"
    path.write_text(text)
    return path


def measures(answer: str) -> dict[str, dict[str, float]]:
    """Value of every measure of every pitch of an answer in JSON."""
    pitches = json.loads(answer)["result"]["pitches"]
    return {name: {key: estimate["value"] for key, estimate in one.items()} for name, one in pitches.items()}


def assert_weaker_lift(found: dict[str, dict[str, float]], default: dict[str, dict[str, float]]) -> None:
    """0.3 tanh 2S lies below S / (0.74 + 1.29 S) at every S > 0, so what spin does after the commit point shrinks."""
    for name, one in default.items():
        assert 0.0 < found[name]["late_break_in"] < one["late_break_in"]
        assert found[name]["miss_chance_percent"] != one["miss_chance_percent"]


def assert_another_hitter(found: dict[str, dict[str, float]], default: dict[str, dict[str, float]]) -> None:
    """Another hitter changes nothing about the flight, and something about what he makes of it."""
    flight = ("late_break_in", "late_break_share_percent", "path_gap_at_100ms_in", "path_gap_at_commit_in")
    for name, one in default.items():
        assert {key: found[name][key] for key in flight} == {key: one[key] for key in flight}
        # with a swing half as precise in time fewer are met cleanly, whatever he sees longer
        assert found[name]["clean_contact_percent"] < one["clean_contact_percent"]


def test_a_scenario_file_names_them(installation: Installation, tmp_path: Path) -> None:
    answers: dict[str, dict[str, dict[str, float]]] = {}
    for asked, names in {
        "default": {}, "law": {"lift_law": "scuffed_lift"}, "hitter": {"model": "patient_hitter"},
    }.items():  # fmt: skip
        code, out, err = installation.compare(scenario_file(tmp_path, **names))
        assert (code, err) == (0, "")
        answers[asked] = measures(out)
    assert_weaker_lift(answers["law"], answers["default"])
    assert_another_hitter(answers["hitter"], answers["default"])


def test_broken_ones_are_named_all_at_once_and_the_others_offered(installation: Installation, tmp_path: Path) -> None:
    code, out, err = installation.compare(scenario_file(tmp_path, lift_law="torn_lift", model="torn_hitter"))
    assert (code, out) == (2, "")
    law, hitter = err.splitlines()
    assert f"ball.lift_law: {TORN_LAW}" in law
    assert f"hitter.model: {TORN_HITTER}" in hitter
    assert all(name in law for name in BUILT_IN["lift_law"] | {"scuffed_lift"})
    assert all(name in hitter for name in BUILT_IN["hitter_model"] | {"patient_hitter"})


def test_a_server_lists_them_with_who_brings_them(served: Served) -> None:
    with Client(served.address) as client:
        listed = client.models()
    by_kind: dict[str, set[str]] = {}
    for one in listed:
        if not one.problem:
            by_kind.setdefault(one.kind, set()).add(one.name)
    assert by_kind == {
        "lift_law": BUILT_IN["lift_law"] | {"scuffed_lift"},
        "drag_law": BUILT_IN["drag_law"],
        "hitter_model": BUILT_IN["hitter_model"] | {"patient_hitter"},
    }
    theirs = {one.name: one for one in listed if one.distribution != "latebreak"}
    told = {name: (one.kind, one.distribution, one.version) for name, one in theirs.items()}
    assert told == {
        "scuffed_lift": ("lift_law", "patient-hitter", "2.3.1"),
        "torn_lift": ("lift_law", "half-finished", "0.0.1"),
        "patient_hitter": ("hitter_model", "patient-hitter", "2.3.1"),
        "torn_hitter": ("hitter_model", "half-finished", "0.0.1"),
    }
    assert theirs["torn_lift"].problem.startswith(TORN_LAW)
    assert theirs["torn_hitter"].problem == TORN_HITTER
    assert len({one.version for one in listed if one.distribution == "latebreak"}) == 1
    kinds = ["lift_law", "drag_law", "hitter_model"]
    places = [(kinds.index(one.kind), one.name) for one in listed]
    assert places == sorted(places)


def test_a_server_loads_them_at_the_start_and_logs_what_is_wrong(served: Served) -> None:
    events = [line["event"] for line in served.log_lines()]
    problems = [line["problem"] for line in served.log_lines() if line["event"] == "plug_in"]
    assert [problem.split(" can't")[0] for problem in problems] == [
        text.split(" can't")[0] for text in (TORN_LAW, TORN_HITTER)
    ]
    assert max(i for i, event in enumerate(events) if event == "plug_in") < events.index("serving")


def test_a_server_answers_with_them_whoever_asks(served: Served, tmp_path: Path) -> None:
    """Client and command of an environment that has none of them."""

    def ask(client: Client, **names: str) -> dict[str, dict[str, float]]:
        answer = client.compare(scenario_file(tmp_path, **names), intervals=False, throws=int(THROWS))
        return measures(json.dumps(answer.to_dict()))

    with Client(served.address) as client:
        default = ask(client)
        assert_weaker_lift(ask(client, lift_law="scuffed_lift"), default)
        assert_another_hitter(ask(client, model="patient_hitter"), default)
    both = scenario_file(tmp_path, lift_law="scuffed_lift", model="patient_hitter")
    code, out, err = compare(both)
    assert (code, out) == (2, "")
    assert "scuffed_lift" in err
    assert "patient_hitter" in err
    code, out, err = compare(both, "--server", served.address)
    assert (code, err) == (0, "")
    assert_weaker_lift(measures(out), default)


def test_a_server_and_the_command_give_the_same_answer(
    installation: Installation, served: Served, tmp_path: Path
) -> None:
    scenario = scenario_file(tmp_path, lift_law="scuffed_lift", model="patient_hitter")
    code, out, _ = installation.compare(scenario)
    assert code == 0
    with Client(served.address) as client:
        answer = client.compare(scenario, intervals=False, throws=int(THROWS)).to_dict()
    assert answer == json.loads(out)


def test_a_server_names_broken_ones_and_goes_on(served: Served, tmp_path: Path) -> None:
    with Client(served.address) as client:
        with pytest.raises(InputError) as caught:
            client.compare(scenario_file(tmp_path, lift_law="torn_lift", model="torn_hitter"), throws=int(THROWS))
        law, hitter = caught.value.faults
        assert (law.where, hitter.where) == ("ball.lift_law", "hitter.model")
        assert TORN_LAW in str(law)
        assert TORN_HITTER in str(hitter)
        client.fly(scenario_file(tmp_path, lift_law="scuffed_lift"), throws=int(THROWS))
    assert not [line for line in served.log_lines() if line["event"] == "bug"]


# --- the list of models, in this process ------------------------------------------------------------------------------
@pytest.fixture
def put_distribution(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[..., None]]:
    """Install a distribution with one module into this process, which forgets what it has loaded, before and after."""
    monkeypatch.syspath_prepend(str(tmp_path))

    def put(name: str, code: str, **entry_points: dict[str, str]) -> None:
        declared = {f"latebreak.{group}": named for group, named in entry_points.items()}
        write_distribution(tmp_path, name, declared, {f"{name}_module": code}, "1.5")
        forget()

    def forget() -> None:
        for cached in (force_laws.registered, hitter_models._registered, models):
            cached.cache_clear()

    yield put
    monkeypatch.undo()
    forget()


Put = Callable[..., None]


def listed(name: str) -> list[tuple[str, str, str, bool]]:
    """Kind, distribution, version and whether it is usable of every entry of a name."""
    return [(one.kind, one.distribution, one.version, not one.problem) for one in models().models if one.name == name]


def test_whoever_wants_a_taken_name_is_listed_with_the_reason(put_distribution: Put) -> None:
    laws, hitters = {"power_lift": "rival_module:law"}, {"one_glance": "rival_module:hitter"}
    put_distribution("rival", "def law(s): return s", force_laws=laws, hitter_models=hitters)
    ours = importlib.metadata.version("latebreak")
    assert listed("power_lift") == [("lift_law", "latebreak", ours, True), ("lift_law", "rival", "1.5", False)]
    assert listed("one_glance") == [("hitter_model", "latebreak", ours, True), ("hitter_model", "rival", "1.5", False)]
    assert len(load_models()) == 2


def test_of_two_strangers_with_one_name_both_are_listed_and_none_is_usable(put_distribution: Put) -> None:
    for name in ("first", "second"):
        put_distribution(name, "def law(s): return s", force_laws={"twin_lift": f"{name}_module:law"})
    assert listed("twin_lift") == [("lift_law", "first", "1.5", False), ("lift_law", "second", "1.5", False)]
    assert len(load_models()) == 1


def test_a_law_of_neither_kind_is_listed_as_a_force_law(put_distribution: Put) -> None:
    put_distribution("odd", "def law(s): return s", force_laws={"swirl": "odd_module:law"})
    assert listed("swirl") == [("force_law", "odd", "1.5", False)]


def test_what_a_stranger_says_can_be_sent_and_steers_no_terminal(put_distribution: Put) -> None:
    """A lone surrogate can't be put into a message at all; it must not keep a server from starting."""
    code = r"raise ValueError('torn \udc80 \x1b[31m apart')"
    put_distribution("rude", code, force_laws={"rude_lift": "rude_module:law"})
    (problem,) = load_models()
    assert problem.isprintable()
    assert "torn" in problem
    assert "apart" in problem
    assert models().SerializeToString()
