"""Lanes: in order within a chat, side by side between chats, only so many at once."""

import asyncio

from bot.telegram.lanes import Lanes


class Watch:
    """Who is in a lane now, and who has been, in order."""

    def __init__(self, lanes: Lanes) -> None:
        self.lanes = lanes
        self.now: list[int] = []
        self.been: list[tuple[int, int]] = []
        self.most = 0

    async def visit(self, chat: int, number: int) -> None:
        """Take a turn and stay for a moment."""
        async with self.lanes.lane(chat):
            assert chat not in self.now
            self.now.append(chat)
            self.most = max(self.most, len(self.now))
            await asyncio.sleep(0.001)
            self.been.append((chat, number))
            self.now.remove(chat)


async def test_a_chat_is_served_in_order_and_never_twice_at_once() -> None:
    watch = Watch(Lanes())
    await asyncio.gather(*(watch.visit(chat, n) for n in range(20) for chat in (1, 2)))
    assert [n for chat, n in watch.been if chat == 1] == list(range(20))
    assert watch.most == 2


async def test_no_more_chats_than_places() -> None:
    watch = Watch(Lanes(at_once=3))
    await asyncio.gather(*(watch.visit(chat, 0) for chat in range(10)))
    assert watch.most == 3


async def test_a_long_queue_in_one_chat_holds_one_place_only() -> None:
    watch = Watch(Lanes(at_once=2))
    queue = [asyncio.create_task(watch.visit(1, n)) for n in range(50)]
    await asyncio.sleep(0)
    await watch.visit(2, 0)
    assert not queue[-1].done()
    await asyncio.gather(*queue)


async def test_an_empty_lane_is_forgotten() -> None:
    lanes = Lanes()
    await Watch(lanes).visit(1, 0)
    assert not lanes._lanes
