"""A large studio: looking somebody up takes milliseconds with 2,000 clients and 20,000 notes."""

from collections.abc import Callable, Iterator
from datetime import timedelta
from time import thread_time

import pytest

from core.client import Client, ClientId
from core.instructor import OwnerId
from storage.drawers import Drawer, Sheet
from storage.people import People
from storage.people_form import client_to_sheet
from storage.sql import SqlVault
from tests.contract.cast import EXPECTING, WRIST
from tests.contract.scene import KEYS, NOW
from tests.databases import KINDS, Databases, copied

CLIENTS, NOTES = 2000, 20_000
TEXT = "left knee sore after footwork, better with one spring less; ask again next week " * 2


@pytest.fixture(scope="module")
def filled(databases: Databases, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The address of a database with one large studio in it."""
    url = databases.ready("sqlite", tmp_path_factory.mktemp("studio"), "studio")
    vault = SqlVault(url, KEYS)
    with vault.begin(vault.admit("console:me")) as store:
        drawers = store.drawers
        assert drawers is not None
        for n in range(CLIENTS):
            client = Client(
                ClientId(drawers.next_number()), f"Client {n}", flags=(WRIST, EXPECTING)
            )
            drawers.put(Drawer.CLIENT, client_to_sheet(client))
        for n in range(NOTES):
            at = NOW + timedelta(minutes=n)
            number = drawers.next_number()
            drawers.put(Drawer.NOTE, Sheet(number, {"text": TEXT}, n % CLIENTS + 1, at))
    vault.close()
    return url


@pytest.fixture(scope="module", params=KINDS)
def studio(
    request: pytest.FixtureRequest,
    databases: Databases,
    filled: str,
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[tuple[SqlVault, OwnerId]]:
    """A vault with the large studio in it, on each kind of database."""
    url = filled
    if request.param != "sqlite":
        url = databases.ready(request.param, tmp_path_factory.mktemp("copy"), "studio")
        copied(filled, url)
    vault = SqlVault(url, KEYS)
    owner = vault.owner("console:me")
    assert owner is not None
    yield vault, owner
    vault.close()


# What is allowed is ten times what was measured on two shared cores. Processor time is counted, of
# which a busy machine takes no more; a database on a server has its own, which is not in it.
@pytest.mark.parametrize(
    ("what", "ask", "most_ms"),
    [
        ("client_named", lambda people, n: people.client_named(f"client {n}"), 20),
        ("notes, all", lambda people, n: people.notes(ClientId(n + 1)), 20),
        ("notes, three", lambda people, n: people.notes(ClientId(n + 1), 3), 20),
        ("add_note", lambda people, n: people.add_note(ClientId(n + 1), TEXT, NOW), 50),
        ("names", lambda people, _: people.names(), 300),
        ("clients", lambda people, _: people.clients(), 2000),
    ],
)
def test_an_answer_takes_milliseconds(
    studio: tuple[SqlVault, OwnerId],
    what: str,
    ask: Callable[[People, int], object],
    most_ms: float,
) -> None:
    vault, me = studio
    times = []
    for n in range(0, CLIENTS, 40 if most_ms < 500 else 400):
        started = thread_time()
        with vault.begin(me) as store:
            assert ask(store.people, n)
        times.append((thread_time() - started) * 1000)
    times.sort()
    p95 = times[int(len(times) * 0.95)]
    print(f"{what}: p50 {times[len(times) // 2]:.2f} ms, p95 {p95:.2f} ms")  # noqa: T201
    assert p95 < most_ms
