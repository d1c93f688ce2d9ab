"""Logs of the service: one JSON object a line on stderr, with the request's number; never a token, never a scenario."""

from __future__ import annotations

import json
import logging
import sys
import threading
import time
from typing import Any

LOG = logging.getLogger("latebreak.service")


class JsonLines(logging.Formatter):
    """Formats a record as one line of JSON."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the line."""
        line: dict[str, Any] = {
            "time": time.strftime("%Y-%m-%dT%H:%M:%S", time.gmtime(record.created)) + f".{int(record.msecs):03d}Z",
            "level": record.levelname.lower(),
            **({"event": record.getMessage()} if record.name == LOG.name else _of_library(record)),
            **getattr(record, "fields", {}),
        }
        if record.exc_info:
            line["trace"] = self.formatException(record.exc_info)
        return json.dumps(line)


def _of_library(record: logging.LogRecord) -> dict[str, Any]:
    """What a library has to say."""
    return {"event": "library", "library": record.name, "message": record.getMessage()}


class _Handler(logging.StreamHandler):  # type: ignore[type-arg]
    """Writes to stderr; a disk that is full loses log lines, not requests."""

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802 - the library's name
        """Go on."""


def start_logs(level: str = "INFO") -> None:
    """Write logs to stderr from now on."""
    handler = _Handler(sys.stderr)
    handler.setFormatter(JsonLines())
    LOG.handlers[:] = logging.getLogger().handlers[:] = [handler]  # warnings of libraries come in the same form
    logging.captureWarnings(True)
    threading.excepthook = _of_thread
    LOG.setLevel(level)
    LOG.propagate = False


def _of_thread(ended: threading.ExceptHookArgs) -> None:
    """Log what ends a thread; the interpreter would write it as text."""
    trouble = ended.exc_value if isinstance(ended.exc_value, Exception) else None
    tell("bug", level=logging.ERROR, trouble=trouble, thread=ended.thread.name if ended.thread else "")


def tell(event: str, *, level: int = logging.INFO, trouble: BaseException | None = None, **fields: Any) -> None:
    """Log an event."""
    LOG.log(level, event, extra={"fields": fields}, exc_info=trouble)
