"""A sweep on a dask.distributed cluster: real schedulers and workers on this machine."""

import logging
import os
import shutil
import signal
import socket
import sqlite3
import subprocess
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from latebreak.engine.errors import InputError
from latebreak.service.scenario.starter import starter_text
from latebreak.service.sweep.address import Certificates
from latebreak.service.sweep.cluster import CONNECT_WITHIN, ClusterError, cluster
from latebreak.service.sweep.plan import Options, plan_from_files
from latebreak.service.sweep.planned import Plan
from latebreak.service.sweep.pool import process_pool
from latebreak.service.sweep.running import WINDOW, sweep_to_table
from latebreak.service.sweep.software import software

distributed = pytest.importorskip("distributed", reason="dask.distributed is not installed (extra cluster)")
pytestmark = pytest.mark.slow

QUIET = {"dashboard_address": "127.0.0.1:0", "silence_logs": logging.CRITICAL + 1}


def plan(tmp_path: Path, number: int) -> Plan:
    path = tmp_path / "base.toml"
    path.write_text(starter_text("base"))
    return plan_from_files(
        [str(path)], [f"pitch.curve.speed_mph=70:80:{number}"], None, Options(question="fly", throws=16)
    )


@pytest.fixture(scope="module")
def two_workers() -> Iterator[Any]:
    """A cluster of two worker processes, each started anew when it ends."""
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True, **QUIET) as workers:
        yield workers


def test_a_worker_is_killed_midway(two_workers: Any, tmp_path: Path) -> None:
    """Nothing is lost, nothing is double, and the digits are those of the process pool."""
    ready, table = plan(tmp_path, 30), tmp_path / "cluster.csv"
    killed: list[int] = []
    shares: list[float] = []

    def kill_one(share: float) -> None:
        shares.append(share)
        if share > 0.25 and not killed:
            killed.append(next(iter(two_workers.workers.values())).pid)
            os.kill(killed[0], signal.SIGKILL)

    with cluster(two_workers.scheduler_address) as (executor, window):
        assert window == WINDOW
        swept = sweep_to_table(ready.ask, ready.what_ifs, executor, table, window=window, progress=kill_one)
    assert len(killed) == 1
    assert [share for share in shares if share > 0.0] == [(n + 1) / 30 for n in range(30)]
    assert (swept.answered, swept.rows) == (30, 60)
    with process_pool(1) as executor:
        sweep_to_table(ready.ask, ready.what_ifs, executor, tmp_path / "pool.csv")
    assert table.read_bytes() == (tmp_path / "pool.csv").read_bytes()


@pytest.mark.parametrize("name", ["latebreak", "numba", "force law odd_lift"])
def test_workers_of_other_software_are_refused(two_workers: Any, name: str) -> None:
    needs = {**software(), name: "0.0.0"}
    with pytest.raises(ClusterError) as found, cluster(two_workers.scheduler_address, needs=needs):
        pass
    for words in ("2 of 2 workers do not run what this machine does", name, "instead of 0.0.0", "install the same"):
        assert words in str(found.value)


def test_no_scheduler_at_the_address(monkeypatch: pytest.MonkeyPatch) -> None:
    assert CONNECT_WITHIN < 10.0  # s: longer nobody looks at a terminal that says nothing
    monkeypatch.setattr("latebreak.service.sweep.cluster.CONNECT_WITHIN", 0.5)
    with socket.socket() as taken:  # a port where nobody listens
        taken.bind(("127.0.0.1", 0))
        before = time.monotonic()
        with (
            pytest.raises(ClusterError, match="no scheduler answers"),
            cluster(f"tcp://127.0.0.1:{taken.getsockname()[1]}"),
        ):
            pass
    assert time.monotonic() - before < CONNECT_WITHIN


def test_a_scheduler_that_is_lost_midway_leaves_what_is_finished(tmp_path: Path) -> None:
    ready, table = plan(tmp_path, 500), tmp_path / "table.csv"
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, protocol="tcp://", **QUIET
    ) as lost:

        def end_it(share: float) -> None:
            if share >= 0.01 and lost.status.name == "running":
                lost.close()

        with (
            pytest.raises(ClusterError, match="what is finished is kept"),
            cluster(lost.scheduler_address) as (
                executor,
                window,
            ),
        ):
            sweep_to_table(ready.ask, ready.what_ifs, executor, table, window=window, progress=end_it)
    assert not table.exists()
    with closing(sqlite3.connect(table.with_name("table.csv.part"))) as journal:
        assert journal.execute("SELECT count(*) FROM outcome").fetchone()[0] > 5


def test_a_cluster_without_workers(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("latebreak.service.sweep.cluster.WORKER_WITHIN", 0.2)
    with (
        distributed.LocalCluster(n_workers=0, processes=False, protocol="tcp://", **QUIET) as empty,
        pytest.raises(ClusterError, match="has no worker"),
        cluster(empty.scheduler_address),
    ):
        pass


# --- TLS ------------------------------------------------------------------------------------------------------------
@pytest.fixture(scope="module")
def certificates(tmp_path_factory: pytest.TempPathFactory) -> Certificates:
    """One key that has signed itself, for everybody."""
    openssl = shutil.which("openssl")
    if openssl is None:
        pytest.skip("openssl is not installed, which makes the certificates of this test")
    folder = tmp_path_factory.mktemp("tls")
    cert, key = folder / "cert.pem", folder / "key.pem"
    words = ["req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "1", "-subj", "/CN=latebreak"]
    subprocess.run([openssl, *words, "-keyout", key, "-out", cert], check=True, capture_output=True)
    return Certificates(cert, cert, key)


def test_a_cluster_behind_tls(certificates: Certificates, tmp_path: Path) -> None:
    files = {"ca_file": certificates.ca, "cert": certificates.cert, "key": certificates.key}
    roles = {
        f"tls_{role}_{key}": str(files[key]) for role in ("scheduler", "worker", "client") for key in ("cert", "key")
    }
    security = distributed.Security(require_encryption=True, tls_ca_file=str(certificates.ca), **roles)
    ready = plan(tmp_path, 2)
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, protocol="tls://", security=security, **QUIET
    ) as safe:
        assert safe.scheduler_address.startswith("tls://")
        with cluster(safe.scheduler_address, certificates) as (executor, window):
            swept = sweep_to_table(ready.ask, ready.what_ifs, executor, tmp_path / "table.csv", window=window)
        assert swept.answered == 2
        plain = safe.scheduler_address.replace("tls://", "tcp://")
        with pytest.raises(ClusterError, match="no scheduler answers"), cluster(plain):
            pass


def test_tls_without_certificates(certificates: Certificates, tmp_path: Path) -> None:
    address = "tls://cluster.example.org:8786"
    for given in (Certificates(), Certificates(ca=certificates.ca)):
        with pytest.raises(InputError, match="needs the certificate"), cluster(address, given):
            pass
    with pytest.raises(OSError, match=r"none\.pem") as found, cluster(address, Certificates(tmp_path / "none.pem")):
        pass
    assert not isinstance(found.value, ClusterError)
