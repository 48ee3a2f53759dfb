"""Where covered texts stand: what of its row each of them is bound to."""

from storage.crypto import Place


def line_place(token: str) -> Place:
    """Where the line of a button stands."""
    return Place("line", "line", token)


def talk_place(chat: str) -> Place:
    """Where stands what a conversation is about."""
    return Place("talk", "form", chat)


def plan_place(number: int) -> Place:
    """Where a plan stands."""
    return Place("plan", "form", number)


def group_place(number: int) -> Place:
    """Where the name of a plan's group stands."""
    return Place("plan", "group_name", number)


def kept_place(key: str, version: int, plan: int) -> Place:
    """Where the name of a kept class stands; it is called by the number of its plan."""
    return Place("kept_class", "name", plan, (key, str(version)))


def exercise_place(key: str) -> Place:
    """Where an exercise of her own stands."""
    return Place("exercise", "form", key)


def remark_place(key: str, number: int) -> Place:
    """Where a remark on an exercise stands."""
    return Place("remark", "text", number, (key,))
