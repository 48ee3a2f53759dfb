"""What is kept about people stays with her who keeps it: sealed, erasable, nobody else's."""

import json
import logging
import sqlite3
from collections.abc import Iterator
from io import StringIO
from pathlib import Path

import pytest

from bot.commands import NAMES, WORDS
from bot.main import main, open_vault
from bot.reply import Incoming, Reply
from bot.wording.help import ENTRIES
from core.fold import fold
from storage.memory import MemoryVault
from storage.sql import SqlVault
from tests.people_talk import EVERY_LINE, people_talk
from tests.talk import Talk, labels, same_line

MARK = "Zebulonia"  # in a name, a note, a flag; nowhere else
NOTE = "quillfeather"
FLAG = "wrenchmoor"
MARKS = (MARK, NOTE, FLAG)
SET = (
    f"client add {MARK}, goal {NOTE} back",
    f"note {MARK}: left knee {NOTE} after footwork and a long sentence that needs a token button",
    f"flag {MARK} left wrist {FLAG} marked, says {NOTE}",
    f"group {MARK} add {MARK}",
    f"plan 45 chair for {MARK}",
    "mods",
    f"mods {MARK}",
    f"client {MARK}",
    f"{MARK}'s knee is bad today {FLAG}",
    f"screen {MARK} yes no no yes",
    f"note {MARK[:-1]}: {NOTE}",
    f"class tue 18:00 weekly 50 chair private {MARK} at {NOTE} hall",
    f"ask {MARK} in 2 days about the {NOTE} knee",
    f"remind me fri 9am {FLAG} for {MARK}, said in so many words that a button needs a token",
    f"ask {MARK[:-1]} in 2 days about the {NOTE} knee",
    "move tue to wed 17:00",
    "classes",
    "week next",
    "reminders",
    "digest",
    f"erase {MARK}",
    f"save {MARK}",
    f"save {MARK} on Friday",
    f"exercise cue pike chair: {MARK} holds her {NOTE} here",
    f"exercise add {MARK} pike like pike chair",
    f"exercise set {MARK} pike: short {NOTE}",
    "plans",
    "exercise pike chair",
    f"open {MARK}",
)

KEEPING = (
    "client add", "group", "plan", "save", "exercise add", "exercise cue", "class", "remind me",
)  # fmt: skip

# Every command has its examples in the help, so one that is added is asked here too.
EVERY_EXAMPLE = tuple(
    dict.fromkeys(
        (
            *EVERY_LINE,
            "paste pike, mermaid",
            *(line for each in ENTRIES.values() for line in each.examples),
        )
    )
)


@pytest.fixture
def talk(tmp_path: Path) -> Iterator[Talk]:
    """A conversation on a database with keys."""
    with people_talk(tmp_path) as talk:
        yield talk


@pytest.fixture
def log() -> Iterator[StringIO]:
    """All that is logged."""
    written = StringIO()
    handler, root = logging.StreamHandler(written), logging.getLogger()
    level = root.level
    root.addHandler(handler)
    root.setLevel(logging.DEBUG)
    yield written
    root.removeHandler(handler)
    root.setLevel(level)


def stored(folder: Path) -> bytes:
    """Every byte of the database, its log and all that lies beside it."""
    return b"".join(path.read_bytes() for path in sorted(folder.iterdir()) if path.is_file())


def whole(reply: Reply) -> str:
    """All that a reply shows or hands over."""
    files = " ".join(file.content.decode(errors="replace") for file in reply.files)
    lines = " ".join(f"{button.label} {button.line}" for button in reply.buttons)
    return f"{reply.text} {lines} {json.dumps(dict(reply.data))} {files}"


def ask(talk: Talk, line: str, door: str = "console:me", *, private: bool = True) -> str:
    """Everything that comes back for a line from this door."""
    chat = door if private else f"{door}:group"
    replies = talk.dispatch.answer(Incoming(door, chat, line, private))
    return " ".join(map(whole, replies))


def found(text: str | bytes) -> list[str]:
    """The marks that stand in it, whatever their case."""
    plain = text.decode("latin-1") if isinstance(text, bytes) else text
    return [mark for mark in MARKS if mark.casefold() in plain.casefold()]


def test_a_planted_mark_is_nowhere_but_in_her_own_replies(
    talk: Talk, tmp_path: Path, log: StringIO
) -> None:
    for line in SET:
        talk.all(line)
        assert found(stored(tmp_path)) == [], line
    assert found(ask(talk, "export")) == list(MARKS)
    talk.vault.admit("console:other")
    hers = [line for line in SET if not line.startswith(KEEPING)]
    for line in (*EVERY_LINE, *hers, "export", "clients", "groups", "plans", "show", "undo"):
        said = ask(talk, line, "console:other")
        asked = [mark for mark in MARKS if mark.casefold() in line.casefold()]
        assert [mark for mark in found(said) if mark not in asked] == [], line
    assert found(stored(tmp_path)) == []
    assert found(log.getvalue()) == []


def test_every_command_is_among_the_examples() -> None:
    asked = {WORDS.get(fold(line.split()[0])) for line in EVERY_EXAMPLE}
    assert set(NAMES) - asked == set()


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Talk]:
    """A house of two instructors; ANA is one's client, and nobody else may change a thing."""
    with people_talk(tmp_path_factory.mktemp("house")) as talk:
        talk.all(
            "client add ANA, goal quillfeather", "note ANA: wrenchmoor", "client add BO",
            "flag ANA left wrist marked", "group dawn add ANA", "plan 45 chair tue 18:00 for dawn",
            "class tue 18:00 weekly 50 chair dawn at quillfeather hall",
            "remind me fri 9am wrenchmoor", "ask ANA in 2 days about quillfeather",
            f"save {MARK}", f"exercise cue pike chair: {MARK}",
        )  # fmt: skip
        yield talk


@pytest.mark.parametrize("line", EVERY_EXAMPLE)
def test_a_second_instructor_a_stranger_and_a_group_get_nothing(house: Talk, line: str) -> None:
    card = house.say("client ANA")["data"]
    group = ask(house, line, private=False)
    assert "privately" in same_line(group)
    stranger = ask(house, line, "telegram:77")
    assert "invitation only" in same_line(stranger)
    door = f"console:other-{EVERY_EXAMPLE.index(line)}"
    house.vault.admit(door)
    other = ask(house, line, door)
    for said in (group, stranger, other):
        assert found(said) == []
        assert "Wrist, left" not in said
    assert house.say("client ANA")["data"] == card


def test_erased_is_found_nowhere(talk: Talk, tmp_path: Path) -> None:
    talk.all(
        "client add BO", f"client add {MARK}", f"note {MARK}: {NOTE}", f"flag {MARK} left {FLAG}",
        f"group dawn add BO, {MARK}", f"plan 45 chair for {MARK}",
        f"class tue 18:00 weekly 50 chair private {MARK}", f"class wed 9:00 50 {MARK}, BO",
        f"ask {MARK} in 2 days about {NOTE}", f"remind me fri 9am call {MARK}",
        "reminders", "classes", "move tue to wed 17:00", "digest",
    )  # fmt: skip
    asked = talk.say(f"erase {MARK}")
    assert "can't be taken back" in same_line(asked["text"])
    assert f"type: erase {MARK} for good" in same_line(asked["text"])
    assert "Backups" in asked["text"]
    assert asked["buttons"] == []
    assert talk.say(f"client {MARK}")["data"]["client"]["notes"]
    done = talk.say(f"erase {MARK} for good")
    assert done["data"]["erased"]["notes"] == 1
    assert found(done["text"]) == []
    for line in (
        "export",
        "clients",
        "groups",
        "group dawn",
        "undo",
        "show",
        "mods",
        "retention",
        "classes",
        "week next",
        "reminders",
        "digest",
        "away",
        "undo",
    ):
        assert found(ask(talk, line)) == [], line
    missing = talk.say(f"client {MARK}")
    assert missing["data"]["error"] == "Who"
    assert missing["buttons"] == []
    assert talk.say("group dawn")["data"]["group"]["members"] == ["BO"]
    trail = json.loads(ask_files(talk, "export")["coilbook-people.json"])["audit"]
    assert "erase" in [each["what"] for each in trail]
    assert found(json.dumps(trail)) == []
    assert found(stored(tmp_path)) == []


def ask_files(talk: Talk, line: str) -> dict[str, str]:
    """The files that come back for a line, by name."""
    (reply,) = talk.dispatch.answer(Incoming("console:me", "console:me", line))
    return {file.name: file.content.decode() for file in reply.files}


def test_an_export_is_one_file_to_read_and_one_for_programs(talk: Talk) -> None:
    talk.all(
        "client add ANA, goal quillfeather", "client add BO", "note ANA: slept well",
        "flag ANA left wrist marked", "note BO: walks a lot",
    )  # fmt: skip
    files = ask_files(talk, "export")
    form = json.loads(files["coilbook-people.json"])
    assert [client["name"] for client in form["clients"]] == ["ANA", "BO"]
    assert "slept well" in files["coilbook-people.txt"]
    assert "walks a lot" in files["coilbook-people.txt"]
    one = ask_files(talk, "export BO")
    assert "walks a lot" in one["coilbook-people.txt"]
    assert not {"ANA", "slept"} & set(one["coilbook-people.txt"].split())
    assert [c["name"] for c in json.loads(one["coilbook-people.json"])["clients"]] == ["BO"]


def test_notes_go_when_they_are_old_enough(talk: Talk) -> None:
    talk.all("client add ANA", "note ANA: old one", "@now 2027-11-25T10:00", "note ANA: new one")
    assert talk.say("retention")["data"]["retention_days"] is None
    assert talk.say("retention 90 days")["data"]["purged"] == 1
    assert [n["text"] for n in talk.say("client ANA")["data"]["client"]["notes"]] == ["new one"]
    talk.all("@now 2028-11-25T10:00")
    assert talk.say("client ANA")["data"]["client"]["notes"] == []
    talk.all("retention off", "note ANA: kept", "@now 2035-11-25T10:00")
    assert len(talk.say("client ANA")["data"]["client"]["notes"]) == 1


def test_only_the_first_instructor_opens_and_shuts_doors(talk: Talk) -> None:
    talk.vault.admit("console:second")
    for line in ("who has access", "revoke console:me", "invite"):
        assert "Only the first instructor" in same_line(ask(talk, line, "console:second"))
    assert [a["door"] for a in talk.say("who has access")["data"]["access"]] == [
        "console:me",
        "console:second",
    ]
    assert talk.say("@tap Revoke console:second")["data"]["revoked"] == "console:second"
    assert "invitation only" in same_line(ask(talk, "clients", "console:second"))
    assert talk.say("revoke console:second")["data"]["error"] == "NoSuchDoor"
    assert talk.say("revoke console:me")["data"]["error"] == "OwnDoor"


def test_an_invitation_lets_one_in_once_and_for_a_day(talk: Talk) -> None:
    code, late = (talk.say("invite")["data"]["invite"]["code"] for _ in range(2))
    assert "Welcome" in ask(talk, f"/start {code}", "telegram:1")
    assert "isn't valid" in same_line(ask(talk, f"/start {code}", "telegram:2"))
    talk.all("@now +25h")
    assert "isn't valid" in same_line(ask(talk, f"/start {late}", "telegram:2"))


def test_without_a_key_classes_go_on_and_people_are_not_kept(tmp_path: Path) -> None:
    open_vault(f"sqlite:///{tmp_path / 'a.db'}").close()
    (tmp_path / "b.db").write_bytes((tmp_path / "a.db").read_bytes())
    with sqlite3.connect(tmp_path / "b.db") as db:
        db.execute("DELETE FROM key" if _has(db, "key") else "SELECT 1")
    vault = SqlVault(f"sqlite:///{tmp_path / 'b.db'}")
    talk = Talk(vault)
    for line in ("client add ANA", "clients", "mods ANA", "export"):
        assert talk.say(line)["data"]["error"] in ("NoKey", "NoPlanYet")
    assert talk.plan("plan 45 chair for dawn")["id"] == 1
    assert talk.say("ANA's wrist is bad today")["data"]["error"] == "UnknownCommand"
    vault.close()


def _has(db: sqlite3.Connection, table: str) -> bool:
    return bool(db.execute("SELECT 1 FROM sqlite_master WHERE name = ?", (table,)).fetchone())


def test_the_key_file_is_made_once_for_her_alone(tmp_path: Path) -> None:
    with people_talk(tmp_path) as talk:
        talk.say("client add ANA")
    key = tmp_path / "coilbook.key"
    assert key.stat().st_mode & 0o777 == 0o600
    before = key.read_text()
    with people_talk(tmp_path) as talk:
        assert talk.say("client ANA")["data"]["client"]["name"] == "ANA"
    assert key.read_text() == before
    assert found(stored(tmp_path)) == []


def test_rotating_seals_anew_and_everything_stays_readable(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("COILBOOK_KEY", raising=False)
    with people_talk(tmp_path) as talk:
        talk.all("client add ANA", "note ANA: slept well", "plan 45 chair for dawn")
    assert main(["rotate", "--db", str(tmp_path / "coilbook.db")]) == 0
    out = capsys.readouterr().out
    assert "under key 2" in out
    assert (tmp_path / "coilbook.key").stat().st_mode & 0o777 == 0o600
    assert sorted(each.name for each in tmp_path.glob("*.key*")) == ["coilbook.key"]
    text = (tmp_path / "coilbook.key").read_text()
    (tmp_path / "coilbook.key").write_text(text.splitlines()[0] + "\n")
    with people_talk(tmp_path) as talk:
        assert talk.say("client ana")["data"]["client"]["notes"][0]["text"] == "slept well"
        assert talk.plan("show")["id"] == 1


def test_what_was_changed_outside_is_named_and_the_rest_is_read(tmp_path: Path) -> None:
    with people_talk(tmp_path) as talk:
        talk.all("client add ANA", "client add BO", "note ANA: one", "note ANA: two")
    with sqlite3.connect(tmp_path / "coilbook.db") as db:
        (number,) = db.execute("SELECT min(id) FROM note").fetchone()
        (sealed,) = db.execute("SELECT text FROM note WHERE id = ?", (number,)).fetchone()
        bad = bytes((*sealed[:-1], sealed[-1] ^ 1))
        db.execute("UPDATE note SET text = ? WHERE id = ?", (bad, number))
    with people_talk(tmp_path) as talk:
        reply = talk.say("client ANA")
        assert [n["text"] for n in reply["data"]["client"]["notes"]] == ["two"]
        assert reply["data"]["unreadable"][0]["table"] == "note"
        assert "can't be read" in same_line(reply["text"])
        assert "unreadable" not in talk.say("client BO")["data"]


def test_in_memory_people_are_kept_for_as_long_as_the_program_runs() -> None:
    talk = Talk(MemoryVault())
    talk.say("client add ANA")
    assert labels(talk.say("clients")) == ["ANA"]
