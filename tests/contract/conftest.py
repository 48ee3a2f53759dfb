"""The stores under contract: a new one is one more line in `STORES`."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from core.instructor import OwnerId
from storage.memory import MemoryVault
from storage.migrate import upgrade
from storage.sql import SqlVault
from tests.contract.scene import KEYS, AnyVault
from tests.contract.sealed import Scene


def memory(_folder: Path) -> MemoryVault:
    """An empty vault in memory."""
    return MemoryVault()


def sqlite(folder: Path) -> SqlVault:
    """An empty vault in a file of its own."""
    url = f"sqlite:///{folder / 'store.db'}"
    upgrade(url)
    return SqlVault(url, KEYS)


STORES: dict[str, Callable[[Path], AnyVault]] = {"memory": memory, "sqlite": sqlite}


@pytest.fixture(params=sorted(STORES))
def vault(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[AnyVault]:
    """An empty vault, of each kind in turn."""
    opened = STORES[request.param](tmp_path)
    yield opened
    opened.close()


@pytest.fixture
def me(vault: AnyVault) -> OwnerId:
    """An instructor already in."""
    return vault.admit("console:me", "Europe/Madrid")


@pytest.fixture
def scene(tmp_path: Path) -> Iterator[Scene]:
    """The scene, closed afterwards."""
    set_up = Scene(tmp_path)
    yield set_up
    set_up.vault.close()
