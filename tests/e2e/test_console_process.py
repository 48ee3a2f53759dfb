"""The program itself, started as it is by hand: files, restarts, faults at the start."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from bot.main import main
from tests.e2e.contract import check_plan, check_reply

ROOT = Path(__file__).parents[2]
NOW = ["--now", "2026-11-25T10:00", "--tz", "Europe/London"]
WISH = "plan 45 mat focus glutes legs no wrists or flexion"


def run(
    *arguments: str, said: str | bytes = "", **environment: str
) -> subprocess.CompletedProcess[bytes]:
    """The program run to its end on what is said to it."""
    given = said.encode() if isinstance(said, str) else said
    return subprocess.run(
        [sys.executable, "-W", "error", "-m", "bot", *arguments],
        input=given,
        capture_output=True,
        cwd=ROOT,
        timeout=60,
        check=False,
        env={"PATH": os.environ["PATH"], "HOME": "/nonexistent", **environment},
    )


def replies(db: Path, *lines: str | bytes, **environment: str) -> list[dict[str, Any]]:
    """The replies to these lines, asked of the program."""
    said = b"".join((line.encode() if isinstance(line, str) else line) + b"\n" for line in lines)
    done = run("console", "--json", "--db", str(db), *NOW, said=said, **environment)
    assert (done.returncode, done.stderr.decode()) == (0, "")
    found: list[dict[str, Any]] = [json.loads(line) for line in done.stdout.splitlines()]
    return found


def plan_of(reply: dict[str, Any]) -> dict[str, Any]:
    """Its plan without how long it took."""
    plan = json.loads(json.dumps(reply["data"]["plan"]))
    plan["search"].pop("elapsed_ms")
    return dict(plan)


def test_a_conversation_survives_a_restart(tmp_path: Path) -> None:
    db = tmp_path / "folder" / "classes.db"
    (planned,) = replies(db, "plan 50 chair")
    check_reply(planned)
    check_plan(planned["data"]["plan"])
    shown, why, other = replies(db, "show", "why 3", "@as other\nshow")
    assert shown["data"]["plan"] == planned["data"]["plan"]
    assert shown["text"] == planned["text"]
    assert why["data"]["plan_id"] == 1
    assert other["data"]["error"] == "NoPlanYet"


def test_the_same_day_database_and_words_give_the_same_plan(tmp_path: Path) -> None:
    one, two = tmp_path / "one.db", tmp_path / "two.db"
    replies(one, "usual 45 mat", PYTHONHASHSEED="1")
    shutil.copy(one, two)
    first = replies(one, WISH, "why 4", PYTHONHASHSEED="2")
    again = replies(two, WISH, "why 4", PYTHONHASHSEED="3")
    assert plan_of(first[0]) == plan_of(again[0])
    assert [reply["text"] for reply in first] == [reply["text"] for reply in again]
    assert first[1]["data"] == again[1]["data"]


def test_no_bytes_make_it_fall(tmp_path: Path) -> None:
    odd = [b"\xff\xfe", b"plan \x80 chair", b"\x00", b"@tap \xb2", "@tap ²".encode(), b"\x1b[A"]
    for given in replies(tmp_path / "a.db", *odd, PYTHONUTF8="1"):
        check_reply(given)
        assert "error" in given["data"]


def test_it_speaks_utf_8_whatever_the_terminal_says(tmp_path: Path) -> None:
    done = run("console", "--db", str(tmp_path / "a.db"), said="show\n", PYTHONIOENCODING="ascii")
    assert (done.returncode, done.stderr) == (0, b"")
    done = run(
        "console", "--db", str(tmp_path / "a.db"), said="banana é\n", PYTHONIOENCODING="ascii"
    )
    assert "“banana”" in done.stdout.decode()


def test_plain_text_comes_with_numbered_buttons(tmp_path: Path) -> None:
    done = run("console", "--db", str(tmp_path / "a.db"), "--as", "somebody", said="plan chair\n")
    assert done.stdout.decode().startswith("How many minutes")
    assert "[1] 25  [2] 45" in done.stdout.decode()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--now", "yesterday"], "--now"),
        (["--now", "9999-12-31T23:59"], "--now"),
        (["--tz", "Mars/Base"], "Mars/Base"),
        (["--db", "/"], "can't be opened"),
        (["--db", "/dev/null/classes.db"], "folder"),
        (["--db", "nonsense://x"], "address is not understood"),
    ],
)
def test_what_can_not_be_used_is_said_at_the_start(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], words: str
) -> None:
    assert main(["console", "--db", str(tmp_path / "a.db"), *arguments]) == 2
    out, said = capsys.readouterr()
    assert out == ""
    assert words in said
    assert len(said.splitlines()) == 1


def test_a_text_file_is_no_database(tmp_path: Path) -> None:
    notes = tmp_path / "notes.txt"
    notes.write_text("not a database at all, but long enough to be looked at as one\n" * 50)
    done = run("console", "--db", str(notes), said="help\n")
    assert done.returncode == 2
    assert "Traceback" not in done.stderr.decode()


def test_whoever_reads_may_leave_early(tmp_path: Path) -> None:
    line = f"{sys.executable} -m bot console --db {tmp_path / 'a.db'} | head -1"
    done = subprocess.run(
        ["sh", "-c", line],
        input=b"help\n" * 2000,
        capture_output=True,
        cwd=ROOT,
        timeout=60,
        check=False,
    )
    assert done.stdout == b"What you can say:\n"
    assert b"Traceback" not in done.stderr
