"""What help says of one command."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Entry:
    """Help on one command: its line in the list, more words, and examples that really work."""

    short: str
    more: str
    examples: tuple[str, ...]
