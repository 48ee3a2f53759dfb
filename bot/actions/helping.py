"""Say what can be asked."""

from bot.commands import Help
from bot.desk import Desk
from bot.reply import Button, Part, Reply
from bot.wording import asking
from bot.wording.help import ENTRIES
from bot.wording.phrases import wrapped

FIRST = 9  # commands a small screen shows before "more"


def help_on(command: Help, _: Desk) -> Reply:
    """The list of commands, or one of them with examples that can be pressed."""
    if not command.topic:
        lines = [wrapped(f"{name}: {entry.short}", "  ") for name, entry in ENTRIES.items()]
        first, rest = lines[:FIRST], lines[FIRST:]
        buttons = [Button(name, f"help {name}") for name in ENTRIES if name != "help"]
        return Reply(
            (Part(asking.COMMANDS), Part("\n".join(first))),
            tuple(tuple(buttons[at : at + 4]) for at in range(0, len(buttons), 4)),
            data={"help": {name: entry.short for name, entry in ENTRIES.items()}},
            more=(Part("\n".join(rest)),),
        )
    entry = ENTRIES[command.topic]
    return Reply(
        (
            Part(wrapped(f"{command.topic}: {entry.short}.")),
            Part(wrapped(entry.more)),
            Part("\n".join([asking.EXAMPLES, *(wrapped(line, "  ") for line in entry.examples)])),
        ),
        (*((Button(line, line),) for line in entry.examples), (Button(asking.ALL_HELP, "help"),)),
        data={"help": {command.topic: entry.more}, "examples": list(entry.examples)},
    )
