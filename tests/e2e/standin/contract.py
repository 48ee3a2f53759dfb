"""Calls checked against an independent description of the Bot API."""

import json
from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import Any, get_args

from aiogram import methods, types
from aiogram.methods import TelegramMethod
from aiohttp.web import FileField
from pydantic import BaseModel, ValidationError

METHODS: dict[str, type[TelegramMethod[Any]]] = {
    "getMe": methods.GetMe,
    "setMyCommands": methods.SetMyCommands,
    "deleteWebhook": methods.DeleteWebhook,
    "setWebhook": methods.SetWebhook,
    "getUpdates": methods.GetUpdates,
    "sendMessage": methods.SendMessage,
    "editMessageText": methods.EditMessageText,
    "answerCallbackQuery": methods.AnswerCallbackQuery,
    "sendChatAction": methods.SendChatAction,
    "sendPhoto": methods.SendPhoto,
    "sendDocument": methods.SendDocument,
    "getFile": methods.GetFile,
}

Form = Mapping[str, str | bytearray | bytes | FileField]


def decode(method: str, form: Form) -> dict[str, Any]:
    """The values of a form: JSON where the field is no text, files as (name, content, type)."""
    fields = METHODS[method].model_fields
    values: dict[str, Any] = {}
    for name, value in form.items():
        if isinstance(value, FileField):
            values[name] = (value.filename, value.file.read(), value.content_type)
        elif isinstance(value, str) and not (name in fields and _text(fields[name].annotation)):
            with suppress(ValueError):  # no JSON: the model will say what it expected
                value = json.loads(value)  # noqa: PLW2901
            values[name] = value
        else:
            values[name] = value
    return values


def violations(method: str, values: Mapping[str, Any]) -> list[str]:
    """What is wrong with a call: wrong types, missing fields, names nobody knows."""
    put = {
        name: types.BufferedInputFile(value[1], value[0]) if isinstance(value, tuple) else value
        for name, value in values.items()
    }
    try:
        call = METHODS[method].model_validate(put)
    except ValidationError as refused:
        return [f"{method}: {error['loc']}: {error['msg']}" for error in refused.errors()]
    return [f"{method}: unknown field {name}" for name in _unknown(call)]


def check_update(update: Mapping[str, Any]) -> None:
    """Nothing if the stand-in itself speaks properly.

    Raises:
        ValueError: it does not.
    """
    unknown = list(_unknown(types.Update.model_validate(update)))
    if unknown:
        raise ValueError(unknown)


def _text(annotation: object) -> bool:
    return annotation is str or str in get_args(annotation)


def _unknown(value: object) -> Iterator[str]:
    """Names that the models let pass without knowing them, at any depth."""
    if isinstance(value, BaseModel):
        yield from value.model_extra or ()
        for name in type(value).model_fields:
            yield from _unknown(getattr(value, name))
    elif isinstance(value, list | tuple):
        for each in value:
            yield from _unknown(each)
