"""What each method of the Bot API does, and what it refuses."""

import re
import time
from collections.abc import Mapping
from typing import Any

from tests.e2e.standin import markup
from tests.e2e.standin.markup import Marked, MarkupError
from tests.e2e.standin.values import RefusalError, Seen

BOT = {"id": 99, "is_bot": True, "first_name": "Planner", "username": "planner_bot"}
COMMAND = re.compile(r"[a-z0-9_]{1,32}")
MOST_TEXT = 4096
MOST_PHOTO = 10 * 1000 * 1000
MOST_FILE = 50 * 1000 * 1000


def units(text: str) -> int:
    """Length as the channel counts it."""
    return len(text.encode("utf-16-le")) // 2


class Service:
    """The state behind the methods: chats, messages, the menu."""

    def __init__(self) -> None:
        self.chats: dict[int, dict[str, Any]] = {}
        self.messages: list[Seen] = []
        self.menu: list[tuple[str, str]] = []
        self.hook: Mapping[str, Any] = {}  # where updates are brought, as the bot has set it
        self.signs: list[tuple[int, str, int]] = []  # chat, action, messages shown before it
        self.queries: dict[str, bool] = {}  # id -> answered
        self.sent_files: dict[str, bytes] = {}  # what people sent, by file id
        self._last_message = 100

    def next_message_id(self) -> int:
        """A number no message has yet."""
        self._last_message += 1
        return self._last_message

    def serve(self, method: str, values: Mapping[str, Any]) -> object:
        """The result of a call.

        Raises:
            RefusalError: the channel would not serve it.
        """
        match method:
            case "getMe":
                return BOT
            case "deleteWebhook":
                self.hook = {}
                return True
            case "setWebhook":
                self.hook = dict(values)
                return True
            case "setMyCommands":
                return self._set_menu(values["commands"])
            case "sendMessage":
                return self._send(values)
            case "editMessageText":
                return self._edit(values)
            case "answerCallbackQuery":
                return self._answer(values)
            case "sendChatAction":
                self._chat(values)
                shown = sum(each.chat == int(values["chat_id"]) for each in self.messages)
                self.signs.append((int(values["chat_id"]), values["action"], shown))
                return True
            case "sendPhoto":
                return self._file(values, "photo", MOST_PHOTO)
            case "getFile":
                return self._described(str(values["file_id"]))
            case "sendDocument":
                return self._file(values, "document", MOST_FILE)
        raise RefusalError(f"Not Found: {method}", 404)

    def public(self, seen: Seen) -> dict[str, Any]:
        """A message as the channel describes it."""
        message: dict[str, Any] = {
            "message_id": seen.id,
            "date": int(time.time()),
            "chat": self.chats[seen.chat],
            "from": BOT,
        }
        if seen.file:
            name, content, kind = seen.file
            file = {"file_id": f"f{seen.id}", "file_unique_id": f"u{seen.id}"}
            file |= {"file_size": len(content)}  # type: ignore[dict-item]
            if seen.photo:
                message["photo"] = [file | {"width": 10, "height": 10}]
            else:
                message["document"] = file | {"file_name": name, "mime_type": kind}
        else:
            message["text"] = seen.shown
        if seen.keys:
            message["reply_markup"] = {"inline_keyboard": seen.keys}
        return message

    def _chat(self, values: Mapping[str, Any]) -> int:
        chat = int(values["chat_id"])
        if chat not in self.chats:
            raise RefusalError("Bad Request: chat not found")
        return chat

    def _set_menu(self, commands: list[dict[str, str]]) -> bool:
        if len(commands) > 100:
            raise RefusalError("Bad Request: BOT_COMMANDS_TOO_MUCH")
        for each in commands:
            if not COMMAND.fullmatch(each["command"]):
                raise RefusalError("Bad Request: BOT_COMMAND_INVALID")
            if not 1 <= len(each["description"]) <= 256:
                raise RefusalError("Bad Request: BOT_COMMAND_DESCRIPTION_INVALID")
        self.menu = [(each["command"], each["description"]) for each in commands]
        return True

    def _send(self, values: Mapping[str, Any]) -> dict[str, Any]:
        seen = Seen(self.next_message_id(), self._chat(values), _text(values), _keys(values))
        self.messages.append(seen)
        return self.public(seen)

    def _edit(self, values: Mapping[str, Any]) -> dict[str, Any]:
        chat = self._chat(values)
        found = [m for m in self.messages if (m.chat, m.id) == (chat, values["message_id"])]
        if not found:
            raise RefusalError("Bad Request: message to edit not found", rightly=True)
        seen = found[0]
        if seen.file:
            raise RefusalError("Bad Request: there is no text in the message to edit", rightly=True)
        marked, keys = _text(values), _keys(values)
        if (marked, keys) == (seen.marked, seen.keys):
            raise RefusalError(
                "Bad Request: message is not modified: specified new message content and reply "
                "markup are exactly the same as a current content and reply markup of the message",
                rightly=True,
            )
        seen.marked, seen.keys = marked, keys
        seen.edits += 1
        return self.public(seen)

    def _answer(self, values: Mapping[str, Any]) -> bool:
        query = values["callback_query_id"]
        if self.queries.get(query) is not False:
            raise RefusalError(
                "Bad Request: query is too old and response timeout expired or query ID is invalid"
            )
        if len(values.get("text", "")) > 200:
            raise RefusalError("Bad Request: MESSAGE_TOO_LONG")
        self.queries[query] = True
        return True

    def _described(self, file: str) -> dict[str, Any]:
        if file not in self.sent_files:
            raise RefusalError("Bad Request: wrong file_id", rightly=True)
        size = len(self.sent_files[file])
        return {"file_id": file, "file_unique_id": f"u{file}", "file_size": size, "file_path": file}

    def _file(self, values: Mapping[str, Any], field: str, most: int) -> dict[str, Any]:
        file = values[field]
        if not isinstance(file, tuple) or not file[1]:
            raise RefusalError("Bad Request: file must be non-empty")
        if len(file[1]) > most:
            raise RefusalError("Request Entity Too Large", 413)
        photo = field == "photo"
        if photo and not file[1].startswith((b"\x89PNG", b"\xff\xd8")):
            raise RefusalError("Bad Request: IMAGE_PROCESS_FAILED", rightly=True)
        seen = Seen(self.next_message_id(), self._chat(values), Marked(), file=file, photo=photo)
        self.messages.append(seen)
        return self.public(seen)


def _text(values: Mapping[str, Any]) -> Marked:
    source = values["text"]
    mode = values.get("parse_mode")
    if mode not in (None, "HTML"):
        raise RefusalError(f"Bad Request: unsupported parse_mode {mode}")
    try:
        marked = markup.read(source) if mode else Marked(source)
    except MarkupError as bad:
        raise RefusalError(f"Bad Request: can't parse entities: {bad}") from None
    if not marked.text.strip():
        raise RefusalError("Bad Request: message text is empty")
    if units(marked.text) > MOST_TEXT:
        raise RefusalError("Bad Request: message is too long")
    return marked


def _keys(values: Mapping[str, Any]) -> list[list[dict[str, Any]]]:
    rows: list[list[dict[str, Any]]] = values.get("reply_markup", {}).get("inline_keyboard", [])
    if sum(len(row) for row in rows) > 100 or any(not 1 <= len(row) <= 8 for row in rows):
        raise RefusalError("Bad Request: reply markup is too long")
    for row in rows:
        for key in row:
            if not key["text"].strip():
                raise RefusalError("Bad Request: text buttons are unallowed in the inline keyboard")
            if not 1 <= len(key.get("callback_data", "").encode()) <= 64:
                raise RefusalError("Bad Request: BUTTON_DATA_INVALID")
    return rows
