"""The log: what happened and where, never on whose words.

Our own records are written without content. Those of libraries may quote what they work on, so of
them only the wording without its values is passed on, and of an error its type and place.
"""

import json
import logging
import sys
import traceback
from datetime import UTC, datetime
from typing import TextIO

KINDS = ("plain", "json")
OURS = ("bot", "core", "storage")


def start(kind: str, stream: TextIO | None = None) -> None:
    """Write warnings and worse to a stream, in lines of text or of JSON."""
    handler = logging.StreamHandler(stream or sys.stderr)
    handler.setFormatter(JsonLines() if kind == "json" else PlainLines())
    root = logging.getLogger()
    root.handlers[:] = [handler]
    root.setLevel(logging.WARNING)


class PlainLines(logging.Formatter):
    """A line of text a record."""

    def format(self, record: logging.LogRecord) -> str:
        """Level, name, what happened and the error, if there was one."""
        error = error_of(record)
        said = f"{record.levelname} {record.name} {said_of(record)}"
        return f"{said} ({error})" if error else said


class JsonLines(logging.Formatter):
    """An object a line."""

    def format(self, record: logging.LogRecord) -> str:
        """The same, with the instant in UTC."""
        form = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "logger": record.name,
            "said": said_of(record),
        }
        error = error_of(record)
        return json.dumps(form | ({"error": error} if error else {}), ensure_ascii=False)


def said_of(record: logging.LogRecord) -> str:
    """What happened; of a library, without the values it filled in."""
    if record.name.partition(".")[0] in OURS:
        said = record.getMessage()
    elif isinstance(record.msg, str) and record.args:
        said = record.msg
    else:  # nobody can tell what the library has filled in by itself
        said = f"something in {record.module}, line {record.lineno}"
    return " ".join(said.split())


def error_of(record: logging.LogRecord) -> str:
    """The type of the error and its place in the code, not its text."""
    if not record.exc_info or record.exc_info[1] is None:
        return ""
    error = record.exc_info[1]
    frames = traceback.extract_tb(error.__traceback__)
    place = f" in {frames[-1].name}, line {frames[-1].lineno}" if frames else ""
    return f"{type(error).__name__}{place}"
