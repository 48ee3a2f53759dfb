"""The composition root: the one file that knows every floor."""

import argparse
import gc
import os
import secrets
import sys
from datetime import UTC, datetime, timedelta
from io import TextIOWrapper
from pathlib import Path
from urllib.parse import urlsplit

from bot import logs
from bot import settings as settings_module
from bot.console import Console, HandClock, instant, prompted
from bot.demo import fill
from bot.dispatch import Dispatch, SystemClock, digest
from bot.keys import key_file, keys_for, with_new_key
from bot.reminders import AtDoor, Reminders
from bot.settings import Settings, SettingsError
from bot.telegram.door import TokenRefusedError
from bot.wording import console as words
from core.repertoire import Repertoire, shipped
from storage.alone import alone
from storage.crypto import keys_from
from storage.errors import OlderError, StorageError
from storage.rotate import cover
from storage.rotate import rotate as rotate_keys
from storage.sql import SqlVault

CODE_HOLDS = timedelta(days=1)


def main(argv: list[str] | None = None) -> int:
    """Run what the command line asks for; 0 when it went well."""
    args = _arguments().parse_args(argv)
    logs.start("plain")
    if args.what == "check":
        from bot.checking import check  # noqa: PLC0415 - it needs no settings that are right

        return check()
    try:
        settings = settings_module.read(serving=args.what == "serve")
        logs.start(settings.log)
        match args.what:
            case "console":
                return console(args, settings)
            case "rotate":
                url = _database(args.db, settings)
                with alone(url):
                    return rotate(url, settings.key)
            case "backup" | "restore":
                return keep(args, settings)
            case _:
                _make_folder(settings.db)
                with alone(settings.db):
                    return serve(settings)
    except TokenRefusedError:
        sys.stderr.write(f"{words.REFUSED}\n")
        return 2
    except (SettingsError, StorageError) as fault:
        sys.stderr.write(f"{fault}\n")
        return 2


def _library() -> Repertoire:
    """The library, set apart from what is looked through for garbage again and again."""
    library = shipped()
    gc.freeze()
    return library


def console(args: argparse.Namespace, settings: Settings) -> int:
    """A conversation in the terminal."""
    zone = settings_module.zone_of(args.tz or settings.zone).key
    try:
        clock = HandClock(instant(args.now, zone) if args.now else None)
    except ValueError:
        raise SettingsError(f"--now: {args.now!r} is no time; say 2026-12-01T18:00") from None
    vault = open_vault(_database(args.db, settings), settings.key)
    if args.demo:
        fill(vault, shipped(), clock.now(), zone)
    for stream in (sys.stdin, sys.stdout):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="replace")
    prompting = sys.stdin.isatty() and sys.stdout.isatty()
    answerer = Dispatch(vault, clock, _library())
    door = Console(
        answerer=answerer,
        waker=AtDoor.of(vault, clock, answerer.desk, "console:"),
        admitter=vault,
        clock=clock,
        zone=zone,
        out=sys.stdout,
        name=args.name,
        as_json=args.json,
        prompting=prompting,
    )
    try:
        if prompting:
            _remember_lines()
            sys.stdout.write(f"{words.WELCOME}\n\n")
        door.run(prompted() if prompting else sys.stdin)
    except BrokenPipeError:
        return 0  # whoever read our answers has left
    finally:
        vault.close()
    return 0


def serve(settings: Settings) -> int:
    """Answer the messaging channel until told to stop."""
    # The channel's library takes a quarter of a second to load; the terminal needs none of it.
    from bot.health import CHANNEL, WORKER, Health, Pulse  # noqa: PLC0415
    from bot.metering import Answering, Meter, waiting  # noqa: PLC0415
    from bot.telegram.app import serve as serve_channel  # noqa: PLC0415

    vault = open_vault(settings.db, settings.key)
    try:
        if vault.keys is None:
            sys.stderr.write(f"{words.NO_KEY}\n")
        if not vault.anybody():
            code = secrets.token_urlsafe(12)
            vault.add_code(digest(code), datetime.now(UTC) + CODE_HOLDS)
            sys.stdout.write(words.FIRST_CODE.format(code=code) + "\n")
        sys.stdout.write(f"{words.SERVING}\n")
        sys.stdout.flush()
        if settings.db.startswith("sqlite"):
            vault.office.inherit(datetime.now(UTC))  # one program at a time has such a database
        dispatch = Dispatch(vault, SystemClock(), _library(), limit=settings.limit)
        answerer: Dispatch | Answering = dispatch
        worker = f"{os.getpid()}-{secrets.token_hex(4)}"
        waker = Reminders(vault, SystemClock(), dispatch.desk, worker, "telegram:")
        health = None
        if settings.health_port:
            meter = Meter(lambda: waiting(vault, datetime.now(UTC)))
            answerer = Answering(answerer, meter)
            parts = WORKER if settings.hook else WORKER | CHANNEL
            health = Health(settings.health_port, vault.current, meter.text, Pulse(parts))
        serve_channel(
            answerer,
            vault.office,
            settings.token,
            settings.api_url,
            settings.pace,
            settings.hook,
            health,
            waker,
        )
    finally:
        vault.close()
    return 0


def rotate(url: str, written: str) -> int:
    """Seal everything anew: under a new key of the key file, or the first of those written."""
    path = None if written else key_file(url)
    if not written and path is None:
        sys.stderr.write(f"{words.NOTHING_SEALED}\n")
        return 2
    open_vault(url, written).close()  # the database as it should be, opened by the keys of today
    keys = with_new_key(path) if path else keys_from(written)
    vault = SqlVault(url, keys)
    try:
        done = rotate_keys(vault)
    finally:
        vault.close()
    sys.stdout.write(words.ROTATED.format(number=keys.newest, rows=done.rows) + "\n")
    if path:
        older = ", ".join(map(str, keys.numbers[1:]))
        sys.stdout.write(words.OLD_KEYS.format(numbers=older, path=path) + "\n")
    elif len(keys.numbers) == 1:
        sys.stdout.write(words.SAME_KEY + "\n")
    if done.faults:
        sys.stderr.write(words.NOT_OPENED.format(count=len(done.faults)) + "\n")
    return 0


def keep(args: argparse.Namespace, settings: Settings) -> int:
    """A backup, or its way back."""
    from bot.keeping import backup, restore  # noqa: PLC0415 - serving and talking need neither
    from storage.migrate import upgrade  # noqa: PLC0415 - slow to load

    url = _database(args.db, settings)
    if args.what == "backup":
        return backup(url, args.path, args.keep, args.with_keys)
    with alone(url):
        return restore(url, settings.key, args.path, replace=args.replace, upgrade=upgrade)


def open_vault(url: str, written: str = "") -> SqlVault:
    """The database at this address, made or brought up to date, with its keys.

    Args:
        written: the keys as the environment has them; without, a file by the database has them.
    """
    _make_folder(url)
    try:
        SqlVault(url).close()
    except OlderError:
        # The migrations' library takes half a second to load, and most starts need none of it.
        from storage.migrate import upgrade  # noqa: PLC0415

        upgrade(url)
        vault = SqlVault(url, keys_for(url, written))
        if vault.keys is not None:
            cover(vault)  # what the version before has kept open
        return vault
    return SqlVault(url, keys_for(url, written))


def _make_folder(url: str) -> None:
    if url.startswith("sqlite:///") and urlsplit(url).path:
        try:
            Path(url.removeprefix("sqlite:///")).parent.mkdir(parents=True, exist_ok=True)
        except OSError as fault:
            raise SettingsError(f"the database's folder can't be made: {fault.strerror}") from fault


def _database(typed: str | None, settings: Settings) -> str:
    return settings_module.read({"COILBOOK_DB": typed}).db if typed else settings.db


def _count(text: str) -> int:
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError("say how many, from 1")
    return int(text)


def _remember_lines() -> None:
    """Arrow keys bring earlier lines back, where the system's Python can."""
    try:
        import readline  # noqa: PLC0415 - not every Python has it
    except ImportError:
        return
    readline.set_history_length(500)


def _arguments() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m bot", description="Plan apparatus classes.")
    what = parser.add_subparsers(dest="what", required=True)
    talk = what.add_parser("console", help="a conversation in the terminal")
    talk.add_argument("--db", metavar="URL", help="address or path of the database")
    talk.add_argument("--now", metavar="ISO", help="what time it is, standing still")
    talk.add_argument("--tz", metavar="AREA/CITY", help="zone of new instructors")
    talk.add_argument("--as", dest="name", metavar="NAME", default="me", help="who speaks")
    talk.add_argument("--json", action="store_true", help="every reply as a line of JSON")
    talk.add_argument("--demo", action="store_true", help="fill an invented studio first, once")
    keys = what.add_parser("rotate", help="seal everything anew; stop the program first")
    keys.add_argument("--db", metavar="URL", help="address or path of the database")
    copy = what.add_parser("backup", help="a checked copy of the database, while it is used")
    copy.add_argument("--db", metavar="URL", help="address or path of the database")
    copy.add_argument("--keep", metavar="N", type=_count, help="keep the newest N in the folder")
    copy.add_argument("--with-keys", action="store_true", help="copy the key file beside it")
    copy.add_argument("path", metavar="PATH", type=Path, help="a new file, or a folder")
    back = what.add_parser("restore", help="put a copy in place; stop the program first")
    back.add_argument("--db", metavar="URL", help="address or path of the database")
    back.add_argument("--replace", action="store_true", help="put aside what is there")
    back.add_argument("path", metavar="PATH", type=Path, help="the copy")
    what.add_parser("check", help="whether the program could serve; all faults at once")
    what.add_parser("serve", help="answer the messaging channel")
    return parser
