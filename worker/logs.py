"""Logs: one event a line, with keys; the job is bound when its task starts.

JSON for machines, plain lines on a terminal; the standard library's loggers (the queue's,
the ledger's) come out the same way. No payloads and no secrets are logged, so tracebacks come
without the values of variables.
"""

from __future__ import annotations

import logging
import sys
from typing import TextIO

import structlog

from worker.settings import Settings

SHARED: tuple[structlog.typing.Processor, ...] = (
    structlog.contextvars.merge_contextvars,
    structlog.stdlib.add_log_level,
    structlog.stdlib.add_logger_name,
    structlog.processors.TimeStamper(fmt="iso", utc=True),
    structlog.processors.StackInfoRenderer(),
)


class _StandardError(logging.StreamHandler[TextIO]):
    """Writes to standard error as it is at that moment: whoever swapped it may have closed his."""

    def __init__(self) -> None:
        """Keep no stream."""
        logging.Handler.__init__(self)

    @property
    def stream(self) -> TextIO:  # type: ignore[override]  # the library keeps it as an attribute
        """Where a line goes now."""
        return sys.stderr


def set_up(settings: Settings, *, to: TextIO | None = None) -> None:
    """Send every logger of this process to one place, in the style the settings name.

    Args:
        settings: For style and level.
        to: Where the lines go; none: standard error.
    """
    stream = to or sys.stderr
    plain = settings.log == "console" or (settings.log == "auto" and stream.isatty())
    last: list[structlog.typing.Processor] = (
        [structlog.dev.ConsoleRenderer(exception_formatter=structlog.dev.plain_traceback)]
        if plain
        else [structlog.processors.format_exc_info, structlog.processors.JSONRenderer()]
    )
    handler = logging.StreamHandler(to) if to else _StandardError()
    handler.setFormatter(
        structlog.stdlib.ProcessorFormatter(
            foreign_pre_chain=SHARED,
            processors=[structlog.stdlib.ProcessorFormatter.remove_processors_meta, *last],
        )
    )
    root = logging.getLogger()
    root.handlers[:] = [handler]
    root.setLevel(settings.log_level)
    structlog.configure(
        processors=[*SHARED, structlog.stdlib.ProcessorFormatter.wrap_for_formatter],
        logger_factory=structlog.stdlib.LoggerFactory(),
        cache_logger_on_first_use=True,
    )


def logger(name: str) -> structlog.stdlib.BoundLogger:
    """The logger of a module."""
    found: structlog.stdlib.BoundLogger = structlog.get_logger(name)
    return found
