"""Just enough of the language of instructions: sentences, words, and the verbs that begin a command."""

import re
from collections.abc import Iterator

IMPERATIVES = frozenset(  # a list of a hundred quoted words would be less easy to read
    """
    add adjust align apply ask assemble attach back bend bleed blow bolt bring brush catch centre check
    chock clamp clean clear close collect compare connect cool count cover crank cut disconnect do drain
    draw drive dry ease empty engage examine fasten feed feel fill find fit flush fold follow free gather
    give go grease grip hang heat hold hook insert inspect install isolate jack keep lay lead leave let
    lever lift listen lock look loosen lower lubricate make mark match measure mount move note observe oil
    open pack paint part pinch place plug polish position pour press prime prise pull pump punch push put
    raise read record refit release remove renew repeat replace restore return rinse rock rotate route run
    scrape screw scribe seal secure select set shut slacken slide smear soak spin split spray spread start
    stop store strip support swing tag take tap tape test thread tie tighten tilt torque touch trim turn
    twist unbolt undo unhook unplug unscrew use vent wait warm wash watch wear weigh wind wipe withdraw work
    wrap write
    """.split()  # noqa: SIM905
)
"""Verbs that open an instruction in a workshop. Common practice, no source."""

_CODE = re.compile(r"`[^`]*`")
_LINK = re.compile(r"!?\[([^\[\]]*)\]\([^()]*\)")
_EMPHASIS = re.compile(r"\*(?!\s)|(?<=\S)\*|(?<!\w)_(?=\S)|(?<=\S)_(?!\w)")  # one mark at a time: linear
_MARKS = re.compile(r"[*_#>|]+")
_BULLET = re.compile(r"^\s*(?:[-+]|\d+[.)])\s+")
_END = re.compile(r"(?<=[.!?:])\s+|\n\s*\n|\n(?=\s*(?:[-+*]|\d+[.)])\s)")
_WORD = re.compile(r"\{[^{}]*\}|[^\W_][\w'’.,/×·%°-]*")
_ABBREVIATION = re.compile(r"(?:\bNo|\be\.g|\bi\.e|\bapprox|\bmax|\bmin|\bfig|\bca)\.$", re.IGNORECASE)


def plain(markdown: str) -> str:
    """The words of a Markdown text without its marks; references in braces stay."""
    return _LINK.sub(r"\1", _CODE.sub("code", markdown))


def sentences(markdown: str) -> Iterator[str]:
    """The sentences of a Markdown text, list items each on their own; what a semicolon joins is one."""
    pending = ""
    for piece in (*_END.split(_EMPHASIS.sub("", plain(markdown))), ""):
        pending = f"{pending} {piece}" if pending else piece
        if piece and _ABBREVIATION.search(pending):
            continue
        text = " ".join(_MARKS.sub(" ", _BULLET.sub("", pending)).split())
        pending = ""
        if text:
            yield text


def words(sentence: str) -> list[str]:
    """The words of a sentence; a name in braces is one, as ASD-STE100 counts a title as one."""
    return _WORD.findall(sentence)


def is_instruction(sentence: str) -> bool:
    """Whether a sentence begins with a command."""
    found = [word.lower().strip(".,") for word in words(sentence)[:3]]
    if found[:1] == ["never"] or found[:2] == ["do", "not"] or found[:1] in (["don't"], ["don’t"]):
        return len(found) > 1
    if len(found) > 1 and found[0] in _LEADING:
        found = found[1:]
    return bool(found) and is_command(found[0])


def is_command(word: str) -> bool:
    """Whether a word is a verb that can open an instruction, "re-" before it or not."""
    return word in IMPERATIVES or word.removeprefix("re-") in IMPERATIVES


_LEADING = frozenset({"always", "please", "carefully", "then", "now"})
_JOINT = re.compile(r"[,;]?(?<!\s)\s+(?:and\s+then|then|and|,)\s+|[,;]\s+(?:then\s+|and\s+)?", re.IGNORECASE)
_SEQUENCE = re.compile(r"\bthen\s+(\w+)", re.IGNORECASE)


def commands(sentence: str) -> list[str]:
    """The verbs of the commands that a sentence gives, in order; none where it is no instruction."""
    if not is_instruction(sentence):
        return []
    found: list[str] = []
    for clause in _JOINT.split(sentence):
        first = next(iter(words(clause)), "").lower().strip(".,")
        if is_command(first):
            found.append(first)
    return found


def in_sequence(sentence: str) -> bool:
    """Whether a sentence says that one command comes after another: "open the tap, then close it"."""
    return any(is_command(verb.lower()) for verb in _SEQUENCE.findall(sentence))
