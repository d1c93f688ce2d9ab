"""Workers of a running dask.distributed cluster, as an executor."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from concurrent.futures import CancelledError, Executor
from contextlib import contextmanager
from typing import Any

from latebreak.engine.errors import Fault, InputError, LatebreakError
from latebreak.service.sweep.address import Certificates, checked_address
from latebreak.service.sweep.running import WINDOW
from latebreak.service.sweep.software import Software, differences, here, software
from latebreak.service.wording import clean, shown

#: s to wait for the scheduler (chosen: far more than any network takes), and then for its first worker.
CONNECT_WITHIN, WORKER_WITHIN = 5.0, 10.0
#: How often a question is asked again that failed with a worker (chosen; dask itself counts lost workers, too).
RETRIES = 3
#: What-ifs handed over for each thread of the cluster (chosen: none waits for the next one).
PER_THREAD = 4

_KEPT = "what is finished is kept: run the same sweep again"


class ClusterError(LatebreakError):
    """The cluster can't be reached, is not fit for the sweep, or was lost."""


@contextmanager
def cluster(
    address: str, certificates: Certificates | None = None, *, needs: Software | None = None
) -> Iterator[tuple[Executor, int]]:
    """Use a running cluster.

    Parameters
    ----------
    address : str
        Of its scheduler; on this machine, or tls://, because a cluster executes code.
    certificates : Certificates, optional
        For tls://; default: as dask's own configuration says.
    needs : mapping of str to str, optional
        Versions of what every worker must run; default: latebreak and the libraries of this machine.

    Yields
    ------
    Executor
        Hands questions to the cluster.
    int
        How many to hand over at a time.

    Raises
    ------
    InputError
        The address is refused, or no certificates are named.
    ClusterError
        dask.distributed is not installed, the scheduler does not answer, a worker runs other software, or the
        cluster is lost.
    """
    certificates = certificates or Certificates()
    address = checked_address(address, certificates)
    try:
        import distributed  # noqa: PLC0415 - heavy, and an extra
        from distributed.comm.core import CommClosedError  # noqa: PLC0415
        from distributed.scheduler import KilledWorker  # noqa: PLC0415
    except ImportError as error:
        remedy = "install it with: pip install 'latebreak[cluster]'"
        raise ClusterError(f"--scheduler needs dask.distributed, which is not installed; {remedy}") from error
    with _quiet():
        client = _client(distributed, address, certificates)
        try:
            threads = _checked_threads(client, address, software() if needs is None else needs)
            yield client.get_executor(retries=RETRIES), max(WINDOW, PER_THREAD * threads)
        except KilledWorker as error:
            raise ClusterError(f"a what-if has ended several workers, perhaps for want of memory; {_KEPT}") from error
        except (CancelledError, CommClosedError) as error:
            raise ClusterError(f"the cluster at {address} was lost; {_KEPT}") from error
        except TypeError as error:  # dask hands on what finished while its scheduler went as if it had failed
            if client.status == "running":
                raise
            raise ClusterError(f"the cluster at {address} was lost; {_KEPT}") from error
        finally:
            client.close()


def _client(distributed: Any, address: str, certificates: Certificates) -> Any:
    security = _security(distributed, certificates) if address.startswith("tls:") else None
    try:
        return distributed.Client(address, timeout=CONNECT_WITHIN, security=security, set_as_default=False)
    except (OSError, RuntimeError, ValueError) as error:  # TimeoutError is an OSError, and so is an SSLError
        reason = clean(str(error).split("\n", maxsplit=1)[0])[:200] or type(error).__name__
        raise ClusterError(f"no scheduler answers at {address} within {CONNECT_WITHIN:g} s: {reason}") from error


def _security(distributed: Any, certificates: Certificates) -> Any:
    given = {
        "tls_ca_file": certificates.ca,
        "tls_client_cert": certificates.cert,
        "tls_client_key": certificates.key,
    }
    for path in given.values():
        if path is not None:
            path.open("rb").close()  # a file that can't be read is said by its name
    named = {key: str(path) for key, path in given.items() if path is not None}
    security = distributed.Security(require_encryption=True, **named)
    if not security.tls_ca_file or not security.tls_client_cert:
        problem = "tls:// needs the certificate of the authority and of this client"
        remedy = "give --tls-ca, --tls-cert and --tls-key, or name them in dask's configuration"
        raise InputError([Fault("scheduler", problem, "files in PEM", remedy)])
    return security


def _checked_threads(client: Any, address: str, needs: Software) -> int:
    """Check what the workers run, and return how many threads they have; later workers check themselves."""
    try:
        client.wait_for_workers(1, timeout=WORKER_WITHIN)
    except TimeoutError as error:
        raise ClusterError(f"the cluster at {address} has no worker within {WORKER_WITHIN:g} s") from error
    found = client.run(here, tuple(needs), on_error="return")
    others = {
        worker: clean(others)
        for worker, theirs in found.items()
        if (others := differences(needs, theirs) if isinstance(theirs, dict) else "no latebreak of this version")
    }
    if others:
        listed = "; ".join(f"{shown(worker)} has {theirs}" for worker, theirs in list(others.items())[:5])
        raise ClusterError(
            f"{len(others)} of {len(found)} workers do not run what this machine does ({listed}), and versions may "
            "differ in their digits; install the same there, then start the workers anew"
        )
    return sum(client.nthreads().values())


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep dask's log off the terminal; what matters of it is said by the errors."""
    loggers = [logging.getLogger(name) for name in ("distributed", "distributed.client", "distributed.core")]
    levels = [logger.level for logger in loggers]
    for logger in loggers:
        logger.setLevel(logging.CRITICAL + 1)
    try:
        yield
    finally:
        for logger, level in zip(loggers, levels, strict=True):
            logger.setLevel(level)
