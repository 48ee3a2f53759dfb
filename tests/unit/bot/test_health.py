"""Health is told as it is, and the metrics name commands only."""

import logging
import time
from datetime import UTC, datetime, timedelta

import pytest
from prometheus_client.parser import text_string_to_metric_families

from bot import health as module
from bot.health import Health, Pulse
from bot.metering import Answering, Meter, Waiting, waiting
from bot.reply import Incoming
from bot.serving import Request
from storage.mail import Arrival, Depth
from tests.contract.scene import NOW
from tests.talk import Talk

DEPTH = Depth(3, 2, 1, None)


def told(current: object = True, pulse: Pulse | None = None) -> Health:
    """Health of a program whose database answers so."""

    def answer() -> bool:
        if isinstance(current, Exception):
            raise current
        return bool(current)

    return Health(0, answer, lambda: b"metrics", pulse or Pulse({}))


async def asked(health: Health, path: str, method: str = "GET") -> tuple[int, str]:
    """What is answered."""
    answer = await health.answer(Request(method, path, {}))
    return answer.status.value, answer.body.decode()


async def test_it_lives_and_is_ready() -> None:
    assert await asked(told(), "/live") == (200, "live\n")
    assert await asked(told(), "/ready") == (200, "ready\n")
    assert await asked(told(), "/metrics") == (200, "metrics")
    assert await asked(told(), "/other") == (404, "")
    assert await asked(told(), "/ready", "POST") == (405, "")


async def test_it_says_what_is_wrong_with_the_database(
    caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    caplog.set_level(logging.DEBUG)
    assert await asked(told(current=False), "/ready") == (503, "database: not of this version\n")
    gone = told(current=LookupError("her secret"))
    assert await asked(gone, "/ready") == (503, "database: out of reach\n")
    assert await asked(gone, "/live") == (200, "live\n")
    assert "LookupError" in caplog.text
    assert "secret" not in caplog.text
    monkeypatch.setattr(module, "CHECK_S", 0.02)

    def slowly() -> bool:
        time.sleep(0.2)
        return True

    assert await asked(Health(0, slowly, bytes, Pulse({})), "/ready") == (503, "database: slow\n")


async def test_it_says_which_part_gives_no_sign() -> None:
    now = 0.0
    pulse = Pulse({"worker": 5.0, "channel": 50.0}, clock=lambda: now)
    health = told(pulse=pulse)
    both = (503, "worker: no sign of life\nchannel: no sign of life\n")
    assert await asked(health, "/ready") == both
    health.beat("worker")
    health.beat("channel")
    now = 5.0
    assert await asked(health, "/ready") == (200, "ready\n")
    now = 6.0
    assert await asked(health, "/ready") == (503, "worker: no sign of life\n")


def values(text: bytes) -> dict[tuple[str, ...], float]:
    """What a scraper reads."""
    return {
        (sample.name, *sample.labels.values()): sample.value
        for family in text_string_to_metric_families(text.decode())
        for sample in family.samples
    }


def test_messages_are_counted_by_command_and_fault() -> None:
    talk = Talk()
    meter = Meter(lambda: Waiting(DEPTH, 4.5))
    answering = Answering(talk.dispatch, meter)
    for line in ("plan 25 chair", "plans", "plans", "Quibblezax", "show 99"):
        answering.answer(Incoming("console:me", "console", line, private=True))
    found = values(meter.text())
    counted = {key[1:]: n for key, n in found.items() if key[0] == "coilbook_messages_total"}
    assert sum(counted.values()) == 5
    assert counted["MakePlan", "none"] == 1
    assert [n for (command, _), n in counted.items() if command == "none"] == [1]
    assert found["coilbook_answer_seconds_count", "MakePlan"] == 1
    assert found["coilbook_planner_seconds_count",] == 1
    assert 0 < found["coilbook_planner_seconds_sum",] < 60
    assert found["coilbook_inbox_waiting",] == 3
    assert found["coilbook_outbox_waiting",] == 2
    assert found["coilbook_dead",] == 1
    assert found["coilbook_reminder_late_seconds",] == 4.5
    assert found["process_resident_memory_bytes",] > 1e7
    text = meter.text().decode()
    assert "Quibblezax" not in text
    assert "console" not in text


def test_two_meters_are_apart() -> None:
    one, two = Meter(lambda: Waiting(DEPTH, 0)), Meter(lambda: Waiting(DEPTH, 0))
    one.answered("ShowPlan", 0.1, [])
    assert ("coilbook_messages_total", "ShowPlan", "none") not in values(two.text())


def test_how_much_waits_is_asked_of_the_database() -> None:
    vault = Talk().vault
    vault.office.take([Arrival(1, "telegram:1", "{}")], "w", NOW, NOW + timedelta(seconds=9), 1)
    found = waiting(vault, datetime.now(UTC))
    assert (found.depth.updates, found.depth.letters, found.late_s) == (1, 0, 0.0)
