"""The stores under contract: in memory, and on every kind of database."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from core.instructor import OwnerId
from storage.memory import MemoryVault
from storage.sql import SqlVault
from tests.contract.scene import KEYS, AnyVault
from tests.contract.sealed import Scene
from tests.databases import KINDS, Databases


@pytest.fixture(params=("memory", *KINDS))
def vault(
    request: pytest.FixtureRequest, databases: Databases, tmp_path: Path
) -> Iterator[AnyVault]:
    """An empty vault, of each kind in turn."""
    opened: AnyVault = MemoryVault()
    if request.param != "memory":
        opened = SqlVault(databases.ready(request.param, tmp_path), KEYS)
    yield opened
    opened.close()


@pytest.fixture
def me(vault: AnyVault) -> OwnerId:
    """An instructor already in."""
    return vault.admit("console:me", "Europe/Madrid")


@pytest.fixture
def url(databases: Databases, kind: str, tmp_path: Path) -> str:
    """The address of a database ready for use, of each kind in turn."""
    return databases.ready(kind, tmp_path)


@pytest.fixture
def scene(databases: Databases, url: str) -> Iterator[Scene]:
    """The scene, closed afterwards."""
    set_up = Scene(url, databases)
    yield set_up
    set_up.close()
