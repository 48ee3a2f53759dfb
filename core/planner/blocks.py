"""Changes of several nodes at once that leave the items of a sequence as they are."""

from collections.abc import Callable, Sequence

from core.planner.terrain import Terrain

REACH = 8  # how long a part is turned round, how far neighbours are moved
TURN, SWAP = 0.4, 0.7  # upper bounds of the draw for each kind; the rest moves neighbours

Block = tuple[int, int, list[int]]  # places from, to and what stands there instead


def propose(t: Terrain, seq: Sequence[int], draw: Callable[[], float]) -> Block | None:
    """A part turned round, two items in each other's place, or neighbours moved; or nothing."""
    size = len(seq) - 2
    if size < 2:
        return None
    kind = draw()
    i = 1 + int(draw() * size)
    if kind < TURN:
        end = i + 2 + int(draw() * REACH)
        return (i, end, list(seq[i:end][::-1])) if end <= size + 1 else None
    if kind < SWAP:
        j = 1 + int(draw() * size)
        return _swapped(t, seq, min(i, j), max(i, j), draw) if i != j else None
    end = i + 2 + int(draw() * 2)
    j = i + int((draw() - 0.5) * 2 * REACH)
    if end > size + 1 or not 1 <= j <= size + 1 or i <= j < end:
        return None
    part = list(seq[i:end])
    if draw() < 0.5:
        part.reverse()
    if j < i:
        return j, end, [*part, *seq[j:i]]
    return i, j, [*seq[end:j], *part]


def _swapped(
    t: Terrain, seq: Sequence[int], i: int, j: int, draw: Callable[[], float]
) -> Block | None:
    """Two items in each other's place, if they may stand there and still count for the same."""
    one, other = seq[i], seq[j]
    here, there = t.stage[one], t.stage[other]
    if here != there:
        moved = [k for k in t.twins[one] if t.stage[k] == there]
        moved_back = [k for k in t.twins[other] if t.stage[k] == here]
        if not moved or not moved_back:
            return None
        one = moved[int(draw() * len(moved))]
        other = moved_back[int(draw() * len(moved_back))]
        before, after = (t.mask[seq[i]], t.mask[seq[j]]), (t.mask[one], t.mask[other])
        same = before[0] ^ before[1] == after[0] ^ after[1]
        if not same or before[0] & before[1] != after[0] & after[1]:
            return None
        for k in (one, other):
            if not t.cost[k]:
                t.open(k)
    return i, j + 1, [other, *seq[i + 1 : j], one]


def difference(t: Terrain, seq: Sequence[int], block: Block) -> tuple[int, int]:
    """Points and packed seconds that a block changes."""
    low, high, part = block
    cost, time, second = t.cost, t.time, t.second
    points = seconds = 0
    before = a = seq[low - 1]
    after = seq[high]
    for b in seq[low:high]:
        points += cost[a][b] - t.value[b]
        seconds -= time[a][b] * second[b] + t.load[b]
        a = b
    points += cost[a][after]
    seconds -= time[a][after] * second[after]
    a = before
    for b in part:
        points -= cost[a][b] - t.value[b]
        seconds += time[a][b] * second[b] + t.load[b]
        a = b
    points -= cost[a][after]
    seconds += time[a][after] * second[after]
    return points, seconds
