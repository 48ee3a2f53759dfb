"""The log has what happened and where, and nothing that anybody wrote."""

import json
import logging
from collections.abc import Iterator
from io import StringIO
from pathlib import Path

import pytest

import bot.dispatch
from bot import logs
from tests.talk import Talk

MARK = "Quibblezax"
SNAPSHOTS = Path(__file__).parents[2] / "snapshots"


@pytest.fixture(params=logs.KINDS)
def written(request: pytest.FixtureRequest) -> Iterator[StringIO]:
    """What is written to the log, of each kind in turn; afterwards it is as it was."""
    root = logging.getLogger()
    handlers, level = root.handlers[:], root.level
    text = StringIO()
    logs.start(request.param, text)
    yield text
    root.handlers[:] = handlers
    root.setLevel(level)


def failed(text: str) -> logging.LogRecord:
    """A record of an error with this text."""
    try:
        raise LookupError(text)
    except LookupError as error:
        info = (type(error), error, error.__traceback__)
        return logging.LogRecord("asyncio", logging.ERROR, "", 1, "Task failed", (), info)


def test_a_line_says_when_how_bad_who_and_what() -> None:
    record = logging.makeLogRecord(
        {"name": "bot.x", "levelname": "ERROR", "msg": "%d are\nlost", "args": (3,), "created": 0.5}
    )
    assert json.loads(logs.JsonLines().format(record)) == {
        "at": "1970-01-01T00:00:00.500+00:00",
        "level": "error",
        "logger": "bot.x",
        "said": "3 are lost",
    }
    assert logs.PlainLines().format(record) == "ERROR bot.x 3 are lost"


def test_an_error_is_its_type_and_place() -> None:
    form = json.loads(logs.JsonLines().format(failed(MARK)))
    assert form["error"].startswith("LookupError in failed, line ")
    assert MARK not in logs.JsonLines().format(failed(MARK)) + logs.PlainLines().format(
        failed(MARK)
    )


@pytest.mark.parametrize(
    ("said", "args", "left"),
    [
        ("can't read %s", (MARK,), "can't read %s"),
        (f"can't read {MARK}", (), "something in x, line 7"),
        (LookupError(MARK), (), "something in x, line 7"),
    ],
)
def test_of_a_library_only_the_wording_is_kept(said: object, args: object, left: str) -> None:
    place = {"name": "library.x", "module": "x", "lineno": 7}
    record = logging.makeLogRecord(place | {"msg": said, "args": args})
    assert logs.said_of(record) == left


def test_a_mark_said_in_every_command_is_not_in_it(
    written: StringIO, monkeypatch: pytest.MonkeyPatch
) -> None:
    logging.getLogger().setLevel(logging.DEBUG)
    talk = Talk()
    typed = [
        line.removeprefix("› ")
        for path in sorted(SNAPSHOTS.glob("*.txt"))
        for line in path.read_text(encoding="utf-8").splitlines()
        if line.startswith("› ") and not line.startswith("› @")
    ]
    quick = [line for line in typed if "plan" not in line and "series" not in line]
    short = list(dict.fromkeys(quick))
    assert len(short) > 100
    for line in short[::3]:
        talk.all(line.replace("ANA", MARK), f"{line} {MARK}", MARK)

    def fail(*_: object) -> None:
        raise LookupError(MARK)

    monkeypatch.setattr(bot.dispatch, "parse", fail)
    assert talk.say(f"note {MARK}: sore")["data"]["error"] == "Broken"
    assert "LookupError" in written.getvalue()
    assert MARK.casefold() not in written.getvalue().casefold()
