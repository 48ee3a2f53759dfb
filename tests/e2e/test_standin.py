"""The stand-in is strict: what the real channel would refuse, it refuses and remembers."""

import json
from collections.abc import AsyncIterator

import pytest
from aiohttp import ClientSession

from tests.e2e.standin.server import TOKEN, StandIn


@pytest.fixture
async def strict() -> AsyncIterator[StandIn]:
    """A stand-in that may find something wrong."""
    async with StandIn() as api:
        api.person(1)
        yield api


async def call(api: StandIn, method: str, **values: object) -> int:
    """The status of a call made by hand."""
    form = {k: v if isinstance(v, str) else json.dumps(v) for k, v in values.items()}
    async with (
        ClientSession() as session,
        session.post(f"{api.url}/bot{TOKEN}/{method}", data=form) as answer,
    ):
        return answer.status


def key(data: str, text: str = "Press") -> dict[str, object]:
    """A keyboard of one button."""
    return {"inline_keyboard": [[{"text": text, "callback_data": data}]]}


GOOD: list[tuple[str, dict[str, object]]] = [
    ("sendMessage", {"text": "123"}),
    ("sendMessage", {"text": "a < b"}),
    ("sendMessage", {"text": "<pre>a &lt; b</pre>", "parse_mode": "HTML"}),
    ("sendMessage", {"text": "<b>" + "x" * 4096 + "</b>", "parse_mode": "HTML"}),
    ("sendMessage", {"text": "x", "reply_markup": key("é" * 32)}),
]
BAD: list[tuple[str, dict[str, object]]] = [
    ("sendMessage", {}),
    ("sendMessage", {"text": ""}),
    ("sendMessage", {"text": " \n"}),
    ("sendMessage", {"text": "x" * 4097}),
    ("sendMessage", {"text": "\U0001f4aa" * 2049}),
    ("sendMessage", {"text": "x", "colour": "red"}),
    ("sendMessage", {"text": "x", "chat_id": 2}),
    ("sendMessage", {"text": "x", "parse_mode": "Markdown"}),
    ("sendMessage", {"text": "a < b", "parse_mode": "HTML"}),
    ("sendMessage", {"text": "a & b", "parse_mode": "HTML"}),
    ("sendMessage", {"text": "<pre>a", "parse_mode": "HTML"}),
    ("sendMessage", {"text": "<b><i>a</b></i>", "parse_mode": "HTML"}),
    ("sendMessage", {"text": "<script>a</script>", "parse_mode": "HTML"}),
    ("sendMessage", {"text": "x", "reply_markup": key("")}),
    ("sendMessage", {"text": "x", "reply_markup": key("é" * 33)}),
    ("sendMessage", {"text": "x", "reply_markup": key("a", text=" ")}),
    ("sendMessage", {"text": "x", "reply_markup": {"inline_keyboard": [[{"text": "a", "b": 1}]]}}),
    ("editMessageText", {"text": "x", "message_id": 1, "reply_markup": {}}),
    ("editMessageText", {"text": "x", "message_id": "no number"}),
    ("setMyCommands", {"commands": [{"command": "Plan", "description": "x"}]}),
    ("setMyCommands", {"commands": [{"command": "plan", "description": ""}]}),
    ("answerCallbackQuery", {"callback_query_id": "q7"}),
    ("sendDice", {}),
]


@pytest.mark.parametrize(("method", "values"), GOOD)
async def test_a_proper_call_is_served(
    strict: StandIn, method: str, values: dict[str, object]
) -> None:
    assert await call(strict, method, **{"chat_id": 1, **values}) == 200
    assert strict.violations == []


@pytest.mark.parametrize(("method", "values"), BAD)
async def test_an_improper_call_is_remembered(
    strict: StandIn, method: str, values: dict[str, object]
) -> None:
    chat = {"chat_id": 1} if method in ("sendMessage", "editMessageText") else {}
    assert await call(strict, method, **{**chat, **values}) >= 400
    assert strict.violations


async def test_an_unconfirmed_update_comes_again(strict: StandIn) -> None:
    strict.person(1).say("plan")
    for _ in range(2):
        assert await call(strict, "getUpdates") == 200
        assert strict.pending == 1
    await call(strict, "getUpdates", offset=1002)
    assert strict.pending == 0
