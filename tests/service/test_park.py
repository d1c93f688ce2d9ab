"""The air of another park, in one option."""

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from latebreak.service.cli.main import latebreak
from latebreak.service.scenario.starter import starter_text


def asked(*args: str) -> dict[str, Any]:
    result = CliRunner().invoke(latebreak, [*args, "--json", "--throws", "50"])
    assert result.exit_code == 0, result.output
    answer: dict[str, Any] = json.loads(result.stdout)
    return answer["result"]


@pytest.fixture
def parks(tmp_path: Path) -> tuple[str, str]:
    """The starter in its own park, and in the air of another one."""
    home, away = tmp_path / "home.toml", tmp_path / "away.toml"
    text = starter_text("base")
    home.write_text(text)
    air = tomllib.loads(text).get("air", {})
    lines = [line for line in text.splitlines() if not any(line.startswith(key) for key in air) and line != "[air]"]
    kept = {key: value for key, value in air.items() if not key.startswith(("altitude", "temperature", "pressure"))}
    new = ["[air]", "altitude_ft = 5200", "temperature_f = 50", *(f"{key} = {value}" for key, value in kept.items())]
    away.write_text("\n".join([*lines, *new]))
    return str(home), str(away)


@pytest.mark.parametrize("command", [["fly"], ["compare"], ["levers", "--pitch", "curve"], ["mix"]])
def test_options_of_the_park_are_keys_of_the_air(parks: tuple[str, str], command: list[str]) -> None:
    home, away = parks
    options = ["--altitude-ft", "5200", "--temperature-f", "50"]
    if command != ["fly"]:
        options.append("--no-interval")
        away_options = ["--no-interval"]
    else:
        away_options = []
    taken = asked(command[0], home, *command[1:], *options)
    assert taken == asked(command[0], away, *command[1:], *away_options)
    assert taken != asked(command[0], home, *command[1:], *away_options)


def test_faults_of_the_park_are_faults_of_the_scenario(parks: tuple[str, str]) -> None:
    result = CliRunner().invoke(latebreak, ["fly", parks[0], "--altitude-ft", "90000"])
    assert result.exit_code != 0
    assert "air.altitude_ft" in str(result.exception)
    both = CliRunner().invoke(latebreak, ["fly", parks[0], "--altitude-ft", "1", "--altitude-m", "2"])
    assert "exclude each other" in str(both.exception)
