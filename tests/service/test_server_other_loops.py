"""A server where the event loop takes neither signals nor readers, as that of Windows does not."""

import signal
import sys
from pathlib import Path

import pytest
from serving import serving

from latebreak.service.client import Client

#: The installed command with what `asyncio.ProactorEventLoop` leaves as `AbstractEventLoop` has it: not implemented.
SCRIPT = f"""#!{sys.executable}
import asyncio
for what in ("signal_handler", "reader", "writer"):
    for name in (f"add_{{what}}", f"remove_{{what}}"):
        setattr(asyncio.SelectorEventLoop, name, getattr(asyncio.AbstractEventLoop, name))
from latebreak.service.cli import main
raise SystemExit(main())
"""


@pytest.mark.usefixtures("interruptible")
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_it_answers_and_ends_when_asked_to(tmp_path: Path, number: signal.Signals) -> None:
    command = tmp_path / "latebreak"
    command.write_text(SCRIPT)
    command.chmod(0o755)
    with serving(command=str(command)) as served:
        with Client(served.address) as client:
            assert client.fly("two-grips", throws=100).throws == 100
        served.process.send_signal(number)
        assert served.process.wait(60.0) == 0
        assert [line["event"] for line in served.log_lines()][-2:] == ["draining", "stopped"]
