"""Reads YAML text into a tree. Where the text is not YAML, finds out what is meant, says so, and reads on.

One mistake must not hide the others. So when the parser gives up, every trap that may have caught the author proposes
a mended text; the proposal with which the parser gets furthest wins, is reported, and reading goes on with it. Where
no proposal helps, the line is left out.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

import yaml

from procgen.finding import Finding, Place, Severity
from procgen.library import yaml_layout_traps as layout
from procgen.library import yaml_text_traps as text_traps
from procgen.library.text_edit import Edit, edited, written_at
from procgen.library.yaml_composer import Composer, Parser
from procgen.library.yaml_fault import Fault, Mend, fault_of
from procgen.library.yaml_tree import Map, Seq, Spot

TRAPS: tuple[Callable[[Fault], Iterator[Mend]], ...] = (
    layout.tabs,
    layout.speaks_to_yaml,
    text_traps.open_quote,
    text_traps.open_list_before_a_key,
    text_traps.open_bracket,
    text_traps.list_on_the_line_of_its_key,
    text_traps.backslash,
    text_traps.odd_bracket,
    text_traps.unquoted_text_in_braces,
    text_traps.unquoted_text,
    layout.no_space_after_colon,
    layout.no_space_after_dash,
    layout.no_colon,
    layout.goes_on_too_far_left,
    layout.indented_wrongly,
    layout.above_indented_wrongly,
    text_traps.text_over_lines,
)
"""What may be meant where the parser gives up; of equally good proposals the first wins."""

_BREAKS_OF_OLD_YAML = str.maketrans("\x85\u2028\u2029", "   ")
_LINE_BREAK = re.compile("\r\n|\r|\n")
_NOT_TEXT = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
_CHARACTERS_TRIED = 4_000_000
"""How much text may be read again to find out what is meant; about a second."""
_PROPOSALS = 40
"""Proposals tried at one fault."""
_MOST = 100
"""Faults mended in one file."""
_FAR_ENOUGH = 50
"""Lines; what gets the parser so much further must be right."""
_LEFT_OUT = 20
"""Lines left out before the rest of a file is given up."""
_END = (1 << 60, 0)
"""Further than any fault."""
_ADVICE = "compare it with the lines above it; text with any of : # { } [ ] in it goes in quotes"
_WORDS = {
    "nesting": "This is nested so deep that the file is not read from here on.",
    "mapping values": "A key begins here, and none can stand in this place: the line is left out.",
    "expected key": "A key is expected here: the line is left out.",
    "expected ':'": 'This line is neither "key: value" nor "- item": it is left out.',
    "expected '-' indicator": 'An item that begins with "- " is expected here: the line is left out.',
    "cannot start any token": "Nothing can begin with this character: the line is left out.",
    "incompatible YAML": "A library is YAML 1.2: take the line out.",
    "directive": "A line that begins with % speaks to YAML, and a library has none: it is left out.",
}
"""The parser's words, in part, and ours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What could be read of a text."""

    tree: object | None
    """Maps, sequences and plain values; None where the text is empty."""
    findings: tuple[Finding, ...]
    damaged: bool
    """Something that the author wrote is not in the tree: nothing may be concluded from what is missing."""


def read_tree(text: str, file: str) -> tuple[object | None, tuple[Finding, ...]]:
    """The tree of a YAML text, and what is wrong with the text as YAML."""
    reading = read(text, file)
    return reading.tree, reading.findings


def read(text: str, file: str) -> Reading:
    """The tree of a YAML text, what is wrong with the text, and whether anything was lost."""
    text, findings = _clean(text.removeprefix("\ufeff"), file)
    composer = Composer(text, file)
    error = composer.run()
    if error is None:
        found = (*findings, *composer.findings)
        return Reading(tree=composer.root, findings=found, damaged=composer.damaged)
    mending = _Mending(_LINE_BREAK.split(text), file)
    composer = mending.run(error)
    _move_back(composer.root, mending.edits)
    reported = {each.place for each in mending.findings}
    others = (replace(each, place=_back(each.place, mending.edits)) for each in composer.findings)
    found = (*findings, *mending.findings, *(each for each in others if each.place not in reported))
    return Reading(tree=composer.root, findings=found, damaged=composer.damaged or mending.damaged)


def _clean(text: str, file: str) -> tuple[str, list[Finding]]:
    """The text without characters that YAML does not allow; the first of them is reported."""
    # YAML 1.1 broke lines at these; YAML 1.2 and editors do not.
    text = text.translate(_BREAKS_OF_OLD_YAML)
    bad = _NOT_TEXT.search(text)
    if bad is None:
        return text, []
    before = _LINE_BREAK.split(text[: bad.start()])
    count = len(_NOT_TEXT.findall(text))
    more = f", and there are {count - 1} more" if count > 1 else ""
    finding = _finding(
        Place(file, len(before), len(before[-1]) + 1),
        f"An invisible control character (U+{ord(bad[0]):04X}) stands here{more}: it is no text.",
        "take it out; it often comes in when text is copied from another program",
    )
    return _NOT_TEXT.sub(" ", text), [finding]


def _finding(place: Place, message: str, remedy: str) -> Finding:
    return Finding(check="yaml-syntax", severity=Severity.ERROR, place=place, message=message, remedy=remedy)


@dataclass(frozen=True, slots=True)
class _Try:
    """A proposal, and how far the parser gets with it."""

    mend: Mend
    error: yaml.MarkedYAMLError | None
    """None where the whole text can be read."""
    reach: tuple[int, int]
    """Where the parser gives up, in lines and columns of the text before the proposal, from 0."""

    def helps(self, fault: Fault) -> bool:
        """Whether the parser gets further, or leaves behind a mistake that it notices only far below."""
        here = (fault.line, fault.column)
        settled = self.mend.reaches_far and self.reach[0] > self.mend.edits[-1].line and self.reach != here
        return self.reach > here or settled

    def rank(self, fault: Fault) -> tuple[bool, int, int]:
        """The more, the better: how many lines further, and on the line of the fault how many characters."""
        line, column = self.reach
        return self.reach > (fault.line, fault.column), line, column if line == fault.line else 0


def _first_error(text: str) -> yaml.MarkedYAMLError | None:
    try:
        next_event = Parser(text).get_event
        while next_event() is not None:
            pass
    except yaml.MarkedYAMLError as error:
        return error
    return None


class _Mending:
    """Mends a text, fault by fault, until it can be read."""

    def __init__(self, lines: list[str], file: str) -> None:
        self.lines = lines
        self.file = file
        self.findings: list[Finding] = []
        self.edits: list[Edit] = []
        self.damaged = False
        self._left = _CHARACTERS_TRIED
        self._without: list[int] = []
        self._said: set[tuple[Spot, str]] = set()

    def run(self, error: yaml.MarkedYAMLError) -> Composer:
        """Mend until nothing is left to mend, or nothing helps; then compose what there is."""
        again: yaml.MarkedYAMLError | None = error
        while again is not None:
            fault = fault_of(again, self.lines)
            mended = self._mended(fault) or self._left_out(fault)
            if mended is None:
                self.damaged = True
                break
            again = mended.error
        composer = Composer("\n".join(self.lines), self.file)
        composer.run()
        return composer

    def _mended(self, fault: Fault) -> "_Try | None":
        """Take the proposal with which the parser gets furthest, if any helps."""
        best: _Try | None = None
        for mend in islice((mend for trap in TRAPS for mend in trap(fault)), _PROPOSALS):
            if self._left < 0 or len(self.findings) >= _MOST:
                break
            if (mend.spot, mend.message) in self._said:  # it did not help the last time
                continue
            tried = self._try(mend)
            if tried.helps(fault) and (best is None or tried.rank(fault) > best.rank(fault)):
                best = tried
                if tried.reach[0] > fault.line + _FAR_ENOUGH:
                    break
        if best is not None:
            self._said.add((best.mend.spot, best.mend.message))
            self._report(best.mend.spot, best.mend.message, best.mend.remedy)
            self._change(best.mend.edits)
        return best

    def _try(self, mend: Mend) -> "_Try":
        text = "\n".join(edited(self.lines, mend.edits))
        self._left -= len(text)
        error = _first_error(text)
        if error is None:
            return _Try(mend, None, _END)
        fault = fault_of(error, text.split("\n"))
        line, column = written_at((fault.line + 1, fault.column + 1), mend.edits)
        return _Try(mend, error, (line - 1, column - 1))

    def _left_out(self, fault: Fault) -> "_Try | None":
        """Leave the line of the fault out, if that is of any use."""
        too_deep = "nesting" in fault.problem
        if fault.line - 1 not in self._without:
            self._report((fault.line + 1, fault.column + 1), _plain_words(fault), "" if too_deep else _ADVICE)
        if too_deep or not fault.text or len(self._without) >= _LEFT_OUT or self._left < 0:
            return None
        self.damaged = True
        self._without.append(fault.line)
        tried = self._try(Mend((1, 1), "", "", (Edit(fault.line, 0, len(fault.text), ""),)))
        self._change(tried.mend.edits)
        return tried

    def _report(self, spot: Spot, message: str, remedy: str) -> None:
        place = Place(self.file, *written_at(spot, self.edits))
        self.findings.append(_finding(place, message, remedy))

    def _change(self, edits: Sequence[Edit]) -> None:
        self.lines = edited(self.lines, edits)
        self.edits.extend(edits)


def _plain_words(fault: Fault) -> str:
    words = next((words for part, words in _WORDS.items() if part in fault.problem), "")
    return words or f"The text cannot be read from here on: {fault.problem}."


def _back(place: Place, edits: Sequence[Edit]) -> Place:
    return Place(place.file, *written_at((place.line, place.column), edits))


def _move_back(tree: object, edits: Sequence[Edit]) -> None:
    """Give every value in `tree` the place at which the author wrote it."""
    waiting, seen = [tree], set()
    while waiting:
        node = waiting.pop()
        if not isinstance(node, (Map, Seq)) or id(node) in seen:
            continue
        seen.add(id(node))
        node.line, node.column = written_at((node.line, node.column), edits)
        if isinstance(node, Map):
            node.spots = {key: (written_at(a, edits), written_at(b, edits)) for key, (a, b) in node.spots.items()}
            waiting.extend(node.values())
        else:
            node.spots = [written_at(spot, edits) for spot in node.spots]
            waiting.extend(node)
