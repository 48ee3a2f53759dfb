"""HTML markup of messages, read strictly: what is not allowed is refused."""

import re
from dataclasses import dataclass, field

STYLES = {"b", "strong", "i", "em", "u", "ins", "s", "strike", "del", "span", "tg-spoiler"}
TAGS = STYLES | {"a", "code", "pre", "blockquote", "tg-emoji"}
NAMED = {"lt": "<", "gt": ">", "amp": "&", "quot": '"'}
TOKEN = re.compile(
    r"<(?P<close>/?)(?P<tag>[a-z-]+)(?P<more>(?:\s[^<>]*)?)>"
    r"|&(?:#(?P<dec>\d+)|#x(?P<hex>[0-9a-fA-F]+)|(?P<name>[a-z]+));"
    r"|(?P<char>.)",
    re.DOTALL,
)


class MarkupError(Exception):
    """Markup the channel does not take."""


@dataclass
class Marked:
    """A text without its markup, and what stood in each element."""

    text: str = ""
    elements: list[tuple[str, str]] = field(default_factory=list)  # tag, inner text

    def inside(self, tag: str) -> list[str]:
        """Texts of one kind of element."""
        return [text for name, text in self.elements if name == tag]


def read(source: str) -> Marked:
    """The text and its elements.

    Raises:
        MarkupError: an unknown tag, one left open or crossed, a bare `<`, `>` or `&`.
    """
    marked = Marked()
    open_tags: list[tuple[str, int]] = []
    for token in TOKEN.finditer(source):
        if tag := token["tag"]:
            _turn(tag, bool(token["close"]), marked, open_tags)
        elif token["dec"]:
            marked.text += chr(int(token["dec"]))
        elif token["hex"]:
            marked.text += chr(int(token["hex"], 16))
        elif name := token["name"]:
            if name not in NAMED:
                raise MarkupError(f"unknown entity {name}")
            marked.text += NAMED[name]
        elif token["char"] in "<>&":
            raise MarkupError(f"bare {token['char']}")
        else:
            marked.text += token["char"]
    if open_tags:
        raise MarkupError(f"can't find end tag of {open_tags[-1][0]}")
    return marked


def _turn(tag: str, closing: bool, marked: Marked, open_tags: list[tuple[str, int]]) -> None:
    if tag not in TAGS:
        raise MarkupError(f"unsupported tag {tag}")
    if not closing:
        if any(name in ("pre", "code") for name, _ in open_tags) and tag != "code":
            raise MarkupError(f"{tag} inside fixed-width text")
        open_tags.append((tag, len(marked.text)))
        return
    if not open_tags or open_tags[-1][0] != tag:
        raise MarkupError(f"unexpected end tag {tag}")
    _, start = open_tags.pop()
    marked.elements.append((tag, marked.text[start:]))
