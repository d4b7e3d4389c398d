"""Reads knowledge/speech into ``SpeechData``: the keys of its files are the fields of the model, checked by type.

Works on parsed YAML whose scalars are text; where values know their place, mistakes are reported there.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from enum import StrEnum
from typing import Any, Final, get_args, get_origin, get_type_hints

from diagnose.marked_yaml import where_of
from diagnose.model.speech import SpeechData
from diagnose.model.vocabulary import Vocabulary
from diagnose.problems import InputError, Problem, Where, nearest

__all__ = ["SPEECH_FILES", "read_speech", "vocabulary_problems"]

MOST: Final = 1_000_000  # no figure of speech means more; a kind of number may say how much less
_LISTED = ("concepts", "events")
SPEECH_FILES: tuple[str, ...] = tuple(field.name for field in dataclasses.fields(SpeechData))


def read_speech(files: Mapping[str, object]) -> SpeechData:
    """The speech data from the parsed files, by file name without ending. Raises InputError with every mistake."""
    problems: list[Problem] = []
    unknown = sorted(set(files) - set(SPEECH_FILES))
    problems += [Problem(Where(f"speech/{name}.yaml"), "unknown-file", "No such file belongs to the speech data.",
                         nearest(name, SPEECH_FILES)) for name in unknown]
    values: dict[str, Any] = {}
    hints = get_type_hints(SpeechData, include_extras=True)
    for name in SPEECH_FILES:
        where = Where(f"speech/{name}.yaml")
        content = files.get(name)
        if content is None:
            problems.append(Problem(where, "missing-file", "This file of the speech data is missing or empty."))
            continue
        if name in _LISTED:
            content = content.get(name) if isinstance(content, dict) else None
        values[name] = _shaped(content, hints[name], where, name, problems)
    if problems:
        raise InputError(problems)
    return SpeechData(**values)


def vocabulary_problems(vocabulary: Vocabulary) -> tuple[Problem, ...]:
    """Signs that the speech data names and nobody defines."""
    where = Where("speech/health.yaml")
    health = vocabulary.speech.health
    known = {sign.sign for sign in vocabulary.signs}
    named = {*health.spared, *health.of_others, *(sign for denial in health.denials for sign in denial.signs)}
    return tuple(Problem(where, "unknown-sign", f'There is no sign called "{sign}".', nearest(sign, known))
                 for sign in sorted(named - known))


def _shaped(node: object, kind: Any, where: Where, what: str, problems: list[Problem]) -> Any:
    """A parsed value as the type asked for; mistakes are noted and a stand-in returned."""
    where = where_of(node, where)
    if dataclasses.is_dataclass(kind):
        return _record(node, kind, where, what, problems)
    if get_origin(kind) is tuple:
        return _row(node, get_args(kind), where, what, problems)
    if not isinstance(node, str):
        problems.append(Problem(where, "not-text", f'"{what}" must be plain text.'))
        return None
    return _scalar(node, kind, where, what, problems)


def _record(node: object, kind: Any, where: Where, what: str, problems: list[Problem]) -> Any:
    if not isinstance(node, dict):
        problems.append(Problem(where, "not-a-mapping", f'"{what}" must be written as key: value lines.'))
        return None
    hints, values = get_type_hints(kind, include_extras=True), {}
    fields = {field.metadata.get("key", field.name): field for field in dataclasses.fields(kind)}
    for key in node:
        if key not in fields:
            problems.append(Problem(where_of(key, where), "unknown-key", f'"{what}" has no part called "{key}".',
                                    nearest(str(key), fields)))
    for key, field in fields.items():
        if key in node:
            values[field.name] = _shaped(node[key], hints[field.name], where, key, problems)
        elif field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING:
            problems.append(Problem(where, "missing-key", f'"{what}" lacks the part "{key}".'))
    return None if problems else kind(**values)


def _row(node: object, kinds: tuple[Any, ...], where: Where, what: str, problems: list[Problem]) -> Any:
    if not isinstance(node, list):
        problems.append(Problem(where, "not-a-list", f'"{what}" must be a list.'))
        return ()
    if kinds[-1] is Ellipsis:
        return tuple(_shaped(item, kinds[0], where, what, problems) for item in node)
    if len(node) != len(kinds):
        problems.append(Problem(where, "wrong-length", f'An entry of "{what}" must have {len(kinds)} values.'))
        return ()
    return tuple(_shaped(item, kind, where, what, problems) for item, kind in zip(node, kinds, strict=True))


def _scalar(text: str, kind: Any, where: Where, what: str, problems: list[Problem]) -> Any:
    if kind is str:
        return str(text)
    if kind is bool:
        return _choice(text, {"yes": True, "no": False}, where, what, problems)
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return _choice(text, {str(member): member for member in kind}, where, what, problems)
    return _number(text, kind, where, what, problems)


def _choice(text: str, allowed: Mapping[str, Any], where: Where, what: str, problems: list[Problem]) -> Any:
    if text not in allowed:
        problems.append(Problem(where, "unknown-word", f'"{text}" is not a word for "{what}".', nearest(text, allowed)))
    return allowed.get(text)


def _number(text: str, kind: Any, where: Where, what: str, problems: list[Problem]) -> Any:
    """A whole number or any, from the lowest to the highest that its kind names."""
    low, high = getattr(kind, "__metadata__", (-MOST, MOST))
    try:
        number = getattr(kind, "__origin__", kind)(text)
    except ValueError:
        problems.append(Problem(where, "not-a-number", f'"{text}" is not a number for "{what}".'))
        return 0
    if not low <= number <= high:
        words = f'"{what}" must lie between {low:,} and {high:,}, not {text}.'
        problems.append(Problem(where, "out-of-range", words))
        return 0
    return number
