"""A server as its users have it: the installed command in a process of its own, on a free port."""

import json
import os
import subprocess
import threading
import time
import urllib.request
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from commands import COMMAND
from prometheus_client.parser import text_string_to_metric_families

#: s; a first start compiles every kernel.
LONGEST_START = 240.0


@dataclass
class Served:
    """A server in a process of its own.

    Attributes
    ----------
    address : str
        HOST:PORT for clients.
    port : int
    process : subprocess.Popen
    metrics_port : int or None
        None where `--metrics-port` is not among the options.
    """

    process: "subprocess.Popen[str]"
    address: str = ""
    port: int = 0
    metrics_port: int | None = None
    _lines: list[str] = field(default_factory=list)
    _told: threading.Condition = field(default_factory=threading.Condition)
    _ended: bool = False

    def log_lines(self) -> list[dict[str, Any]]:
        """What it has logged so far, line by line; fails where a line is not JSON."""
        return [json.loads(line) for line in self.log_text().splitlines()]

    def log_text(self) -> str:
        """The same as it was written."""
        with self._told:
            return "".join(self._lines)

    def requests(self, method: str | None = None) -> list[dict[str, Any]]:
        """Log lines of the requests that have ended."""
        return [line for line in self.log_lines() if line["event"] == "request" and method in {None, line["method"]}]

    def wait_for(self, event: str, seconds: float = LONGEST_START, *, count: int = 1, **fields: Any) -> dict[str, Any]:
        """Wait until the log tells an event with these fields for the `count`-th time; return its line."""
        until = time.monotonic() + seconds
        with self._told:
            while True:
                found = [line for line in map(_read, self._lines) if _fits(line, event, fields)]
                if len(found) >= count:
                    return found[count - 1]
                remaining = until - time.monotonic()
                if self._ended or remaining <= 0:
                    why = "the server ended" if self._ended else f"nothing for {seconds:g} s"
                    raise AssertionError(f"no {event} {fields}: {why}; its log:\n{''.join(self._lines)}")
                self._told.wait(remaining)

    def metric(self, name: str, **labels: str) -> float:
        """A number of the metrics page, of a server without token and TLS; 0 where it was never counted."""
        with urllib.request.urlopen(f"http://127.0.0.1:{self.metrics_port}/metrics", timeout=30.0) as page:
            families = list(text_string_to_metric_families(page.read().decode()))
        samples = [sample for family in families for sample in family.samples]
        return sum(one.value for one in samples if one.name == name and labels.items() <= one.labels.items())

    def rss(self) -> int:
        """Memory it holds now, bytes."""
        for line in Path(f"/proc/{self.process.pid}/status").read_text().splitlines():
            if line.startswith("VmRSS:"):
                return int(line.split()[1]) * 1024
        raise AssertionError("no VmRSS")

    def _collect(self) -> None:
        assert self.process.stderr is not None
        for line in self.process.stderr:
            with self._told:
                self._lines.append(line)
                self._told.notify_all()
        with self._told:
            self._ended = True
            self._told.notify_all()


def _read(line: str) -> dict[str, Any]:
    try:
        read: dict[str, Any] = json.loads(line)
    except ValueError:
        return {"event": ""}
    return read


def _fits(line: dict[str, Any], event: str, fields: Mapping[str, Any]) -> bool:
    return line["event"] == event and all(line.get(key) == value for key, value in fields.items())


def environment(env: Mapping[str, str] | None = None) -> dict[str, str]:
    """Environment of a server: this one's without a token, and what is added."""
    return {key: value for key, value in os.environ.items() if key != "LATEBREAK_TOKEN"} | dict(env or {})


@contextmanager
def serving(
    *options: str, env: Mapping[str, str] | None = None, until: str = "serving", command: str = COMMAND
) -> Iterator[Served]:
    """Run `latebreak serve` on a free port (or on a `--port` of the options); in the end it is killed in any case.

    Parameters
    ----------
    *options : str
        Further options of the command.
    env : mapping, optional
        Added to its environment.
    until : str
        Event of the log that is waited for: "serving" = every kernel is warm, "listening" = the port is open.
    command : str, optional
        The installed command, of another environment than this one.
    """
    process = subprocess.Popen(
        [command, "serve", "--port", "0", *options], stderr=subprocess.PIPE, text=True, env=environment(env)
    )
    served = Served(process)
    reader = threading.Thread(target=served._collect, daemon=True)
    reader.start()
    try:
        listening = served.wait_for("listening")
        served.port, served.metrics_port = listening["port"], listening["metrics_port"]
        served.address = f"{listening['address']}:{served.port}"
        served.wait_for(until)
        yield served
    finally:
        process.kill()  # of this process alone; one that has ended is left alone
        process.wait()
        reader.join(10.0)
        assert process.stderr is not None
        process.stderr.close()
