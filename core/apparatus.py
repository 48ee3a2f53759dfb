"""An apparatus as its owner describes it, and the spring settings it can take."""

from collections import Counter
from dataclasses import dataclass
from typing import NewType

from core.errors import SpringError

ApparatusId = NewType("ApparatusId", str)

BRIEF = 7  # characters that a phone line has for springs


@dataclass(frozen=True, slots=True)
class SpringSetting:
    """A multiset of hooked springs in canonical order, heaviest first; empty means no spring.

    A token is a notch ("3") where all springs are alike, a kind of spring ("full") where all hooks
    are alike, and kind@hook ("leg@high") where both differ.
    """

    tokens: tuple[str, ...] = ()

    def __str__(self) -> str:
        return "+".join(self.tokens) if self.tokens else "none"

    @property
    def counts(self) -> Counter[str]:
        """Token -> how many are hooked."""
        return Counter(self.tokens)


@dataclass(frozen=True, slots=True)
class Spring:
    """A kind of spring: how many there are and its standing among the others.

    `grade` orders settings by feel (a full spring is 1); it is a rank, never a force.
    """

    name: str
    count: int
    grade: float


@dataclass(frozen=True, slots=True)
class Hook:
    """A place where a spring can be hooked; `grade` multiplies the spring's own."""

    name: str
    grade: float


@dataclass(frozen=True, slots=True)
class Apparatus:
    """A described apparatus.

    Attributes:
        short: spring or hook name -> how it is written in a narrow line.
        rig: part -> the states it can be in, the first being its state at the start of the day.
        most: the largest number of springs hooked at once.
        change_s: seconds to change one spring, safely.
        rig_s: seconds to change one part of the rig.
        swap_s: seconds to move the room to this apparatus from another.
        share: how many people share one.
    """

    id: ApparatusId
    name: str
    aliases: tuple[str, ...]
    springs: tuple[Spring, ...]
    hooks: tuple[Hook, ...]
    short: tuple[tuple[str, str], ...]
    rig: tuple[tuple[str, tuple[str, ...]], ...]
    most: int
    change_s: int
    rig_s: int
    swap_s: int
    share: int

    def grade(self, token: str) -> float:
        """Standing of one hooked spring among the others; a rank without a unit.

        Raises:
            SpringError: the apparatus has no such spring or hook.
        """
        spring, hook = self._parts(token)
        return spring.grade * hook.grade

    def rank(self, setting: SpringSetting) -> float:
        """Standing of a whole setting; springs side by side add up."""
        return sum(self.grade(token) for token in setting.tokens)

    def set(self, tokens: list[str] | tuple[str, ...]) -> SpringSetting:
        """The setting made of these tokens, in canonical order.

        Raises:
            SpringError: the apparatus can't be set so; the message says what it can do.
        """
        used: Counter[str] = Counter()
        for token in tokens:
            used[self._parts(token)[0].name] += 1
        for spring in self.springs:
            if used[spring.name] > spring.count:
                kind = "" if len(self.springs) == 1 else f" {spring.name}"
                many = "spring" if spring.count == 1 else "springs"
                raise SpringError(
                    f"the {self.name} has {spring.count}{kind} {many}, not {used[spring.name]}"
                )
        if len(tokens) > self.most:
            raise SpringError(
                f"the {self.name} takes {self.most} springs at once, not {len(tokens)}"
            )
        return SpringSetting(tuple(sorted(tokens, key=lambda t: (-self.grade(t), t))))

    def parse(self, text: str) -> SpringSetting:
        """The setting typed as "3+2", "full half" or "leg@high leg@high"; "none" is no spring.

        Raises:
            SpringError: not a setting of this apparatus; the message says what it can do.
        """
        words = text.replace("+", " ").replace(",", " ").casefold().split()
        if words in ([], ["none"], ["0"]):
            return SpringSetting()
        spelled = {short.casefold(): long for long, short in self.short}
        tokens: list[str] = []
        for word in words:
            kind, at, hook = word.partition("@")
            tokens.append(spelled.get(kind, kind) + at + spelled.get(hook, hook))
        return self.set(tokens)

    def brief(self, setting: SpringSetting) -> str:
        """The setting in as few characters as a phone line allows.

        Where the hook of every spring is the same and the line is full, it is written once, last.
        """
        short = dict(self.short)
        hooks = {short.get(t.partition("@")[2], t.partition("@")[2]) for t in setting.tokens}

        def line(last: str) -> str:
            parts: list[str] = []
            for token, count in setting.counts.items():
                kind, _, hook = token.partition("@")
                text = (short.get(kind, kind) + short.get(hook, hook)).removesuffix(last)
                parts += [text] * count if text[0].isdigit() else [_times(count) + text]
            return "+".join(parts) + last

        full = line("")
        return full if len(full) <= BRIEF or len(hooks) != 1 else line(hooks.pop())

    def tokens(self) -> tuple[str, ...]:
        """Every single spring that can be hooked, lightest first."""
        names = [
            self._token(spring, hook) for spring in self.springs for hook in self.hooks or (_ANY,)
        ]
        return tuple(sorted(names, key=self.grade))

    def changes(self, before: SpringSetting, after: SpringSetting) -> int:
        """How many springs have to be moved, hooked or unhooked between two settings."""
        gone, come = before.counts - after.counts, after.counts - before.counts
        return max(gone.total(), come.total())

    def _token(self, spring: Spring, hook: Hook) -> str:
        if len(self.springs) == 1 and self.hooks:
            return hook.name
        return spring.name if len(self.hooks) <= 1 else f"{spring.name}@{hook.name}"

    def _parts(self, token: str) -> tuple[Spring, Hook]:
        for spring in self.springs:
            for hook in self.hooks or (_ANY,):
                if self._token(spring, hook) == token:
                    return spring, hook
        if not self.springs:
            raise SpringError(f"the {self.name} has no springs")
        known = ", ".join(self.tokens())
        raise SpringError(f"{token!r} is no spring of the {self.name}: it has {known}")


def _times(count: int) -> str:
    return "" if count == 1 else str(count)


_ANY = Hook("", 1.0)
