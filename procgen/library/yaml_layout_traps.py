"""Lines that do not stand where they should: tabs, indentation, a colon or a space that is missing.

Each function proposes what the author may have meant; which proposal is right is found out by reading the text again.
"""

import re
from collections.abc import Iterator

from procgen.library.schema import owners
from procgen.library.text_edit import Edit
from procgen.library.yaml_fault import Fault, Mend, as_it_should_be, entry, indentation, is_blank, shortened

_GLUED = re.compile(r"(?P<head>\s*(?:-\s+)*)(?P<key>[A-Za-z][\w-]*):(?P<value>[^\s:/].*)")
_GLUED_DASH = re.compile(r"\s*(?:-\s+)*-(?=[A-Za-z{\[])")
_FIRST_WORD = re.compile(r"\s*(?:-\s+)*(?P<word>[A-Za-z][\w-]*)(?!\S)\s*(?P<rest>.*)")
_DASHES = re.compile(r"\s*(?:-\s+)*")
_LITTLE = 3
"""Characters; who is further off did not miscount."""
_TAB_WIDTHS = (2, 4, 8)


def tabs(fault: Fault) -> Iterator[Mend]:
    """Lines that are indented with tabs."""
    indented = {
        line: indent
        for line, text in enumerate(fault.lines)
        if "\t" in (indent := _DASHES.match(text)[0])  # type: ignore[index]
    }
    if fault.line not in indented:
        return
    first = next(iter(indented))
    more = f", and so are {len(indented) - 1} more" if len(indented) > 1 else ""
    for width in _TAB_WIDTHS:
        edits = tuple(
            Edit(line, 0, len(indent), indent.replace("\t", " " * width)) for line, indent in indented.items()
        )
        yield Mend(
            (first + 1, indented[first].index("\t") + 1),
            f"This line is indented with a tab{more}: YAML counts spaces, and a tab has no width.",
            "indent with spaces, two for each level, and set the editor to do so",
            edits,
        )


def no_space_after_colon(fault: Fault) -> Iterator[Mend]:
    """`title:Coolant pump`."""
    for line in fault.suspects():
        match = _GLUED.fullmatch(fault.lines[line])
        if match:
            edits = (Edit(line, match.end("key") + 1, match.end("key") + 1, " "),)
            yield Mend(
                (line + 1, match.start("key") + 1),
                f'There is no space after the colon of "{match["key"]}", and so it is read as text and not as a key.',
                f"write: {as_it_should_be(fault.lines, edits)}",
                edits,
            )


def no_colon(fault: Fault) -> Iterator[Mend]:
    """`steps` on a line of its own, and the steps below; `title Winch`, where `title` is a key of the format."""
    for line in fault.suspects():
        match = _FIRST_WORD.match(fault.lines[line])
        if match and (match["rest"] == "" or match["word"] in owners()):
            edits = (Edit(line, match.end("word"), match.end("word"), ":"),)
            spot = (line + 1, match.start("word") + 1)
            remedy = f"write: {as_it_should_be(fault.lines, edits)}"
            yield Mend(spot, f'There is no colon after "{match["word"]}".', remedy, edits)


def speaks_to_yaml(fault: Fault) -> Iterator[Mend]:
    """A line `%YAML 1.1`, or text after the line `...`."""
    for line in fault.suspects():
        text = fault.lines[line]
        if text.startswith("%") or text.strip() == "...":
            edits = (Edit(line, 0, len(text), ""),)
            message = f'"{shortened(text.strip())}" speaks to YAML itself, and a library has no use for it.'
            yield Mend((line + 1, 1), message, "take the line out", edits)


def indented_wrongly(fault: Fault) -> Iterator[Mend]:
    """A line that stands at no level at which its fellows stand."""
    text = fault.text
    depth = indentation(text)
    found = entry(text)
    if found is None or "\t" in text[:depth] or " " in found.key.strip().rstrip(":"):  # no key has a space in it
        return
    below = _lines_below(fault, depth)
    for level in sorted(_levels(fault), key=lambda level: (abs(level - depth), -level)):
        if level == depth:
            continue
        for lines in dict.fromkeys([(fault.line, *below), (fault.line,)]):
            edits = tuple(_moved(fault.lines[line], line, level - depth) for line in lines)
            yield Mend(
                (fault.line + 1, depth + 1),
                f"This line is indented by {_spaces(depth)}, and the lines that it belongs with by {_spaces(level)}.",
                f"indent it by {_spaces(level)}" if level else "do not indent it",
                edits,
            )


def above_indented_wrongly(fault: Fault) -> Iterator[Mend]:
    """Lines above that stand a little further in, or less far, than the line of the fault, which belongs with them."""
    depth = indentation(fault.text)
    found = entry(fault.text)
    if found is None or not (found.key or found.head.strip()):
        return
    for level in sorted(_levels(fault), key=lambda level: (abs(level - depth), -level)):
        lines = _lines_above(fault, level)
        if level == depth or abs(level - depth) > _LITTLE or not lines:
            continue
        yield Mend(
            (lines[0] + 1, level + 1),
            f"This line is indented by {_spaces(level)}, and the lines that it belongs with by {_spaces(depth)}.",
            f"indent it by {_spaces(depth)}" if depth else "do not indent it",
            tuple(_moved(fault.lines[line], line, depth - level) for line in lines),
        )


def _lines_above(fault: Fault, level: int) -> list[int]:
    """The lines just above the fault that stand at `level` or further in, the topmost first."""
    lines: list[int] = []
    for line in range(fault.line - 1, -1, -1):
        if is_blank(fault.lines[line]):
            continue
        if indentation(fault.lines[line]) < level:
            break
        lines.append(line)
    while lines and indentation(fault.lines[lines[-1]]) != level:
        lines.pop()
    return lines[::-1]


def no_space_after_dash(fault: Fault) -> Iterator[Mend]:
    """`-do: Wipe it.`"""
    for line in fault.suspects():
        match = _GLUED_DASH.match(fault.lines[line])
        if match:
            edits = (Edit(line, match.end(), match.end(), " "),)
            message = "There is no space after the dash, and so this is no item of a list."
            remedy = f"write: {as_it_should_be(fault.lines, edits)}"
            yield Mend((line + 1, match.end()), message, remedy, edits)


def goes_on_too_far_left(fault: Fault) -> Iterator[Mend]:
    """The next line of a text, not indented further than its key."""
    for line in fault.suspects():
        found = entry(fault.lines[line])
        above = fault.above(line)
        if found is None or found.key or found.head.strip() or above is None or ": " in found.value:
            continue
        start = entry(fault.lines[above])
        if start and start.key:
            depth = indentation(fault.lines[line])
            edits = (Edit(line, 0, depth, " " * (len(start.head) + 2)),)
            yield Mend(
                (line + 1, depth + 1),
                f'This line is neither "key: value" nor "- item": {shortened(found.value)}',
                "if it goes on from the line above, indent it further than that line's key",
                edits,
            )


def _levels(fault: Fault) -> set[int]:
    """The columns at which a line may stand after the lines above the fault, and one level further in."""
    levels: list[int] = []
    for text in fault.lines[: fault.line]:
        if is_blank(text):
            continue
        depth = indentation(text)
        levels = [level for level in levels if level <= depth]
        levels.append(depth)
        dashes = len(_DASHES.match(text)[0])  # type: ignore[index]
        if dashes > depth:
            levels.append(dashes)
    return {*levels, *([levels[-1] + 2] if levels else [])}


def _lines_below(fault: Fault, depth: int) -> tuple[int, ...]:
    """The lines that belong to the line of the fault: those after it that are indented further."""
    lines: list[int] = []
    for line in range(fault.line + 1, len(fault.lines)):
        text = fault.lines[line]
        if not is_blank(text) and indentation(text) <= depth:
            break
        lines.append(line)
    return tuple(lines)


def _moved(text: str, line: int, by: int) -> Edit:
    return Edit(line, 0, 0, " " * by) if by > 0 else Edit(line, 0, min(-by, indentation(text)), "")


def _spaces(count: int) -> str:
    return f"{count} space{'' if count == 1 else 's'}"
