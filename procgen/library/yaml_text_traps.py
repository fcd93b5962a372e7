"""Text that YAML takes for something else: colons, commas and brackets in it, a special character in front, quotes.

Each function proposes what the author may have meant; which proposal is right is found out by reading the text again.
"""

import re
from collections.abc import Iterator

from procgen.library.text_edit import Edit
from procgen.library.yaml_fault import Entry, Fault, Mend, as_it_should_be, entry, in_quotes, indentation, shortened

_CLOSER = {"{": "}", "[": "]"}
_FAR = 40
"""Lines above a fault in which an open quote is looked for."""
_CALLED = {"{": "brace", "[": "bracket", "}": "brace", "]": "bracket"}
_SPECIAL = "@`%*&!|>{}[]\"'#,"
_FLOW_VALUE = re.compile(r"[{\[,]\s*(?:[\w-]+\s*:\s+)?")
_FLOW_KEY = re.compile(r",\s*[\w-]+\s*:\s")
_FLOW_MAP = re.compile(r"\{\s*[\w-]+\s*:\s")
_BAD_ESCAPE = re.compile(r'\\(?![0abtnvfre "/\\N_LPxuU])')


def unquoted_text(fault: Fault) -> Iterator[Mend]:
    """A value that must be in quotes: for the colon in it, or for the character that it begins with."""
    for line in fault.suspects():
        found = entry(fault.lines[line])
        if found is None:
            continue
        reason = _why_quotes(found)
        if not reason:
            continue
        end = found.start + len(found.value)
        edits = (Edit(line, found.start, end, in_quotes(found.value)),)
        column = fault.column if line == fault.line and found.start <= fault.column < end else found.start
        yield Mend((line + 1, column + 1), reason, f"put it in quotes: {as_it_should_be(fault.lines, edits)}", edits)


def _why_quotes(found: Entry) -> str:
    value = found.value
    first, short = value[0], shortened(value)
    if first in "\"'":
        return f"Text that begins with a quote ends at the next one, and more follows: {short}"
    if first in "{[":
        return "" if _FLOW_MAP.match(value) else f"Text that begins with a {_CALLED[first]} must be in quotes: {short}"
    if first in _SPECIAL or value.startswith(("- ", "? ")):
        return f"Unquoted text must not begin with {first}, which means something to YAML: {short}"
    before, colon, _ = value.partition(": ")
    if colon:
        return f'Unquoted text must not have a colon followed by a space: "{shortened(before)}" is read as a key.'
    if value.endswith(":"):
        return f'Unquoted text must not end with a colon: "{shortened(value[:-1])}" is read as a key.'
    return ""


def unquoted_text_in_braces(fault: Fault) -> Iterator[Mend]:
    """The same inside { } or [ ], where one more comma or bracket ends the text."""
    if not fault.in_braces and "cannot start" not in fault.problem:
        return
    text = fault.text
    starts = [match.end() for match in _FLOW_VALUE.finditer(text) if match.end() <= fault.column]
    for start in starts[-1:-4:-1]:
        ends = [at for at in range(max(start, fault.column), len(text)) if text[at] in ",}]"]
        for end in dict.fromkeys([*ends[:2], *ends[-1:]]):
            value = text[start:end].strip()
            if not value or value[0] == "," or _FLOW_KEY.search(value):
                continue
            edits = (Edit(fault.line, start, start + len(value), in_quotes(value)),)
            remedy = f"put it in quotes: {as_it_should_be(fault.lines, edits)}"
            yield Mend((fault.line + 1, fault.column + 1), _why_quotes_in_braces(fault, value), remedy, edits)


def _why_quotes_in_braces(fault: Fault, value: str) -> str:
    if value[0] in "\"'":
        return f"Text that begins with a quote ends at the next one, and more follows: {shortened(value)}"
    trap = "a colon followed by a space" if ": " in value else fault.text[fault.column : fault.column + 1]
    return f"Unquoted text inside braces must not have {trap} in it: {shortened(value)}"


def text_over_lines(fault: Fault) -> Iterator[Mend]:
    """Text that goes on over several lines, with a colon in one of them, or with its first words after a |."""
    start = _first_line(fault)
    found = entry(fault.lines[start])
    if not found or not found.key or found.value[0] in _SPECIAL.replace("|", "").replace(">", ""):
        return
    end = _last_line(fault, start)
    if end < fault.line or end == start:
        return
    marked = found.value[0] in "|>"
    edits = [
        Edit(line, at, at + 1, "''")
        for line in range(start, end + 1)
        for at in range(len(fault.lines[line]) - 1, -1, -1)
        if fault.lines[line][at] == "'" and (line > start or at >= found.start)
    ]
    last = len(fault.lines[end]) + sum(edit.line == end for edit in edits)
    edits = [*edits, Edit(end, last, last, "'"), Edit(start, found.start, found.start + marked, "'")]
    message = (
        f"Text must not follow {found.value[0]} on its own line."
        if marked
        else "Unquoted text must not have a colon followed by a space, on its later lines either."
    )
    remedy = f'put "|" after "{found.key.strip()}" and begin the text on the line below'
    yield Mend((fault.line + 1, fault.column + 1), message, remedy, tuple(edits))


def _first_line(fault: Fault) -> int:
    """The line that begins what the line of the fault goes on with; that line itself where nothing does."""
    found = entry(fault.text)
    if found and found.key and found.value[0] in "|>":
        return fault.line
    depth = indentation(fault.text)
    return next(
        (
            line
            for line in range(fault.line - 1, -1, -1)
            if (found := entry(fault.lines[line])) and len(found.head) < depth and found.key
        ),
        fault.line,
    )


def _last_line(fault: Fault, start: int) -> int:
    """The last line that is indented further than the key in line `start`, without a gap."""
    first = entry(fault.lines[start])
    end = start
    while first and end + 1 < len(fault.lines):
        text = fault.lines[end + 1]
        if not text.strip() or indentation(text) <= len(first.head):
            break
        end += 1
    return end


def open_quote(fault: Fault) -> Iterator[Mend]:
    """A quote that is not closed where its text ends."""
    for line in dict.fromkeys([fault.context_line, *range(fault.line, max(-1, fault.line - _FAR), -1)]):
        found = entry(fault.lines[line])
        if found is None or found.value[0] not in "\"'":
            continue
        last = _last_line(fault, line)
        if _is_closed("\n".join([found.value, *fault.lines[line + 1 : last + 1]])):
            continue
        mark = found.value[0]
        spot = (line + 1, found.start + 1)
        edits = (Edit(line, found.start, found.start + len(found.value), in_quotes(found.value + mark)),)
        remedy = f"close it: {as_it_should_be(fault.lines, edits)}"
        yield Mend(spot, "The quote that is opened here is not closed on this line.", remedy, edits, reaches_far=True)
        if last > line:
            end = len(fault.lines[last].rstrip())
            edits = (Edit(last, end, end, mark),)
            remedy = f"close it: {as_it_should_be(fault.lines, edits)}"
            yield Mend(spot, "The quote that is opened here is never closed.", remedy, edits, reaches_far=True)


def _is_closed(value: str) -> bool:
    mark = value[0]
    inside = value[1:].replace("''", "") if mark == "'" else re.sub(r"\\.", "", value[1:])
    return mark in inside


def open_bracket(fault: Fault) -> Iterator[Mend]:
    """A bracket or brace that is not closed."""
    if not fault.in_braces:
        return
    opened = _opened_at(fault)
    if opened is None:
        return
    line, column = opened
    opener = fault.lines[line][column]
    above = fault.above(fault.line)
    for end in dict.fromkeys([line, *([] if above is None or above < line else [above]), fault.line]):
        text = fault.lines[end]
        found = entry(text)
        at = len(text) - len(found.tail) if found else len(text)
        closers = _missing_closers(fault.lines[line][column:at] if end == line else opener)
        if closers:
            edits = (Edit(end, at, at, closers),)
            message = f"The {_CALLED[opener]} {opener} that is opened here is not closed."
            remedy = f"close it: {as_it_should_be(fault.lines, edits)}"
            yield Mend((line + 1, column + 1), message, remedy, edits, reaches_far=True)


def open_list_before_a_key(fault: Fault) -> Iterator[Mend]:
    """A list inside braces that is not closed before the next key: `{at: [30, 42, item: pump}`."""
    text = fault.text
    for key in _FLOW_KEY.finditer(text):
        opener = text.rfind("[", 0, key.start())
        if opener >= 0 and "]" not in text[opener : key.start()] and "{" not in text[opener : key.start()]:
            edits = (Edit(fault.line, key.start(), key.start(), "]"),)
            remedy = f"close it: {as_it_should_be(fault.lines, edits)}"
            yield Mend((fault.line + 1, opener + 1), "The bracket [ that is opened here is not closed.", remedy, edits)


def _opened_at(fault: Fault) -> tuple[int, int] | None:
    """The bracket that the parser was in, or the first of its line."""
    line, column = fault.context_line, fault.context_column
    if fault.lines[line][column : column + 1] in _CLOSER:
        return line, column
    for each in fault.suspects():
        found = entry(fault.lines[each])
        if found and found.value[0] in _CLOSER:
            return each, found.start
    return None


def _missing_closers(text: str) -> str:
    waiting: list[str] = []
    for character in text:
        if character in _CLOSER:
            waiting.append(_CLOSER[character])
        elif waiting and character == waiting[-1]:
            waiting.pop()
    return "".join(reversed(waiting))


def odd_bracket(fault: Fault) -> Iterator[Mend]:
    """A bracket too many, or of the wrong sort; two commas in a row."""
    character = fault.text[fault.column : fault.column + 1]
    spot = (fault.line + 1, fault.column + 1)
    if character in ("}", "]"):
        gone = (Edit(fault.line, fault.column, fault.column + 1, ""),)
        other = (Edit(fault.line, fault.column, fault.column + 1, "]" if character == "}" else "}"),)
        yield Mend(
            spot,
            f"The {_CALLED[character]} {character} closes nothing that is open.",
            f"take it out: {as_it_should_be(fault.lines, gone)}",
            gone,
        )
        yield Mend(
            spot,
            f"The {_CALLED[character]} {character} does not match the one that is open.",
            f"write: {as_it_should_be(fault.lines, other)}",
            other,
        )
    if character == ",":
        edits = (Edit(fault.line, fault.column, fault.column + 1, ""),)
        yield Mend(spot, "Nothing stands before this comma.", f"write: {as_it_should_be(fault.lines, edits)}", edits)


def backslash(fault: Fault) -> Iterator[Mend]:
    """A backslash in double quotes that begins no escape that YAML knows."""
    if "escape" not in fault.problem and "hexdecimal" not in fault.problem:
        return
    found = entry(fault.text)
    if found is None:
        return
    start = fault.text.rfind('"', 0, fault.column)
    end = fault.text.find('"', fault.column)
    text = fault.text[start + 1 : end]
    if start < 0 or end < 0 or "\\" not in text:
        return
    mended = text.replace("\\", "\\\\") if "hexdecimal" in fault.problem else _BAD_ESCAPE.sub(r"\\\\", text)
    edits = (Edit(fault.line, start + 1, end, mended),)
    yield Mend(
        (fault.line + 1, fault.column + 1),
        f"In double quotes a backslash begins an escape, and {fault.text[fault.column : fault.column + 2]} is none.",
        f"use single quotes, or double the backslash: {as_it_should_be(fault.lines, edits)}",
        edits,
    )


def list_on_the_line_of_its_key(fault: Fault) -> Iterator[Mend]:
    """`needs: - at-tdc`."""
    found = entry(fault.text)
    if found and found.key and found.value.startswith("- "):
        item = found.value[2:].strip()
        edits = (Edit(fault.line, found.start, found.start + len(found.value), f"[{item}]"),)
        yield Mend(
            (fault.line + 1, found.start + 1),
            f"A list cannot begin on the line of its key: {found.value}",
            f"put it in brackets: {as_it_should_be(fault.lines, edits)}",
            edits,
        )
