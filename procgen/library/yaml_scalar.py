"""What an unquoted word of YAML stands for, and how a value is written.

The first is the YAML 1.2 core schema (yaml.org/spec/1.2.2, section 10.3.2).

Differences, both on purpose: infinity, not-a-number and numbers too big to hold stay text, since nothing on a machine
measures that; a number remembers how it was written, so that part number 00123 and edition 1.10 survive.
"""

import math
import re
from collections.abc import Mapping, Sequence

_NULLS = frozenset({"", "~", "null", "Null", "NULL"})
_BOOLEANS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_MAY_RESOLVE = frozenset("-+.0123456789~nNtTfF")
_INTEGER = re.compile(r"[-+]?[0-9]+")
_OCTAL = re.compile(r"0o[0-7]+")
_HEXADECIMAL = re.compile(r"0x[0-9a-fA-F]+")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_PLAIN = re.compile(r"""[A-Za-z0-9(≥≤+.][^:#{}\[\],"'\n]*""")
_LONGEST = 300
"""Digits; Python itself refuses to read integers far beyond this."""


class WrittenInteger(int):
    """An integer whose plain spelling is not the author's; `str` gives the author's."""

    written: str

    def __str__(self) -> str:
        return self.written


class WrittenFloat(float):
    """A number whose shortest spelling is not the author's; `str` gives the author's."""

    written: str

    def __str__(self) -> str:
        return self.written


def resolve(word: str) -> object:
    """The value of an unquoted word: text, int, float, bool, or None."""
    if not word:
        return None
    if word[0] not in _MAY_RESOLVE:
        return word
    if word in _NULLS:
        return None
    if word in _BOOLEANS:
        return _BOOLEANS[word]
    return word if len(word) > _LONGEST else _number(word)


def _number(word: str) -> int | float | str:
    if _INTEGER.fullmatch(word):
        return _written_integer(int(word), word)
    if _OCTAL.fullmatch(word):
        return _written_integer(int(word[2:], 8), word)
    if _HEXADECIMAL.fullmatch(word):
        return _written_integer(int(word[2:], 16), word)
    if not _FLOAT.fullmatch(word):
        return word
    value = float(word)
    if not math.isfinite(value):
        return word
    if str(value) == word:
        return value
    written = WrittenFloat(value)
    written.written = word
    return written


def _written_integer(value: int, word: str) -> int:
    if str(value) == word:
        return value
    written = WrittenInteger(value)
    written.written = word
    return written


def as_yaml(value: object) -> str:
    """A value as one would write it on one line."""
    match value:
        case None:
            return "null"
        case bool():
            return "true" if value else "false"
        case str():
            return value if _PLAIN.fullmatch(value) and isinstance(resolve(value), str) else quoted(value)
        case int() | float():
            return str(value)
        case Mapping():
            return "{" + ", ".join(f"{key}: {as_yaml(each)}" for key, each in value.items()) + "}"
        case Sequence():
            return "[" + ", ".join(as_yaml(each) for each in value) + "]"
        case _:
            return str(value)


def quoted(text: str) -> str:
    """Text in quotes, as YAML reads it: in double ones, or in single ones where it has double ones inside."""
    if '"' in text or "\\" in text:
        return "'" + text.replace("'", "''") + "'"
    return f'"{text}"'
