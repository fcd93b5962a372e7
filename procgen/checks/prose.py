"""How instructions are worded: one at a time, short, and never a fastener tightened in words alone.

The limits are those of ASD-STE100 (simplified technical English), section 5: 20 words in a procedural sentence (5.1),
one instruction in a sentence unless actions are simultaneous (5.2), notes inform and never instruct (5.5).
"""

import re
from collections.abc import Iterator

from procgen.checks.check import Check, Subject
from procgen.checks.language import commands, in_sequence, is_instruction, sentences, words
from procgen.checks.written_steps import written_steps
from procgen.finding import Finding, Severity
from procgen.library.items import Check as NamedCheck
from procgen.library.items import Fastener
from procgen.library.origin import Prose
from procgen.library.references import references
from procgen.library.state import Verb

LONGEST = 20
"""Words in an instruction: ASD-STE100 rule 5.1."""
MOST_COMMANDS = 2
"""Two actions may be simultaneous ("open the tap and catch the oil"); three are a list."""

VAGUE = (
    "as required",
    "as necessary",
    "if necessary",
    "if required",
    "as appropriate",
    "securely",
    "sufficient",
    "sufficiently",
    "adequate",
    "adequately",
    "properly",
)
_VAGUE = re.compile(r"\b(?:" + "|".join(VAGUE) + r")\b", re.IGNORECASE)
_JOINS = re.compile(r"[,;]|\b(?:and|then)\b", re.IGNORECASE)
"""Without one of these there is one command in a sentence."""
_TIGHTENS = re.compile(r"\b(?:re-?)?(?:tighten|torque)\b(?!\s*(?:wrench|figure|value|table))", re.IGNORECASE)


def _instructions(subject: Subject) -> Iterator[Prose]:
    yield from (written.step.do for written in written_steps(subject) if written.step.do)
    for machine in subject.machines:
        yield from (item.do for item in machine.items.values() if isinstance(item, NamedCheck) and item.do)


def tightening_in_prose(subject: Subject) -> Iterator[Finding]:
    """The words tighten something, and no fastener is named: no torque can be checked."""
    for written in written_steps(subject):
        step = written.step
        if step.do is None or not _TIGHTENS.search(step.do.text):
            continue
        if any(action.verb is Verb.TIGHTEN for action in step.actions):
            continue
        named = {reference.name for reference in references(step.do.text)}
        if any(isinstance(written.items.get(name), Fastener) for name in named):
            continue
        for sentence in sentences(step.do.text):
            if is_instruction(sentence) and _TIGHTENS.search(sentence):
                yield Finding(
                    check="tightening-in-prose",
                    severity=Severity.WARNING,
                    place=step.do.place,
                    message=f'"{_short(sentence)}" tightens something, and no fastener is named: '
                    "no torque can be shown or checked.",
                    remedy="declare the fastener with its torque, and write `tighten:` with its name",
                )
                break


def long_sentence(subject: Subject) -> Iterator[Finding]:
    """An instruction too long to keep in mind between looking up and the bench."""
    for prose in _instructions(subject):
        if prose.text.count(" ") < LONGEST:
            continue  # no room for so many words
        for sentence in sentences(prose.text):
            length = len(words(sentence))
            if length > LONGEST and is_instruction(sentence):
                yield _advice(
                    "long-sentence",
                    prose,
                    f'"{_short(sentence)}" has {length} words; more than {LONGEST} are not kept in mind at the bench.',
                    "make two sentences of it, or move the reason to `why:`",
                )


def several_instructions(subject: Subject) -> Iterator[Finding]:
    """One sentence that gives several instructions: the last one is the one forgotten."""
    for prose in _instructions(subject):
        if not _JOINS.search(prose.text):
            continue
        for sentence in sentences(prose.text):
            found = commands(sentence)
            if len(found) > MOST_COMMANDS or (len(found) > 1 and in_sequence(sentence)):
                yield _advice(
                    "several-instructions",
                    prose,
                    f'"{_short(sentence)}" gives {len(found)} instructions ({", ".join(found)}) in one sentence.',
                    "give each its own sentence, or its own step",
                )


def instruction_in_note(subject: Subject) -> Iterator[Finding]:
    """A note that tells to do something: notes are skipped, and have no box to tick."""
    for written in written_steps(subject):
        step = written.step
        for sentence in sentences(step.note.text) if step.note else ():
            if step.note and is_instruction(sentence):
                yield _advice(
                    "instruction-in-note",
                    step.note,
                    f'The note says "{_short(sentence)}": a note informs, and whoever is in a hurry skips it.',
                    "make it a step, or a sentence of `do:`",
                )
                break


def vague_word(subject: Subject) -> Iterator[Finding]:
    """A word that leaves the decision to whoever knows least about it."""
    for prose in _instructions(subject):
        for match in _VAGUE.finditer(prose.text):
            yield _advice(
                "vague-word",
                prose,
                f'"{match[0]}" does not say how much, or when: two people will do two things.',
                "give the figure, the limit or the sign by which one can tell",
            )


def _advice(check: str, prose: Prose, message: str, remedy: str) -> Finding:
    return Finding(check=check, severity=Severity.ADVICE, place=prose.place, message=message, remedy=remedy)


def _short(sentence: str) -> str:
    found = sentence.split()
    return sentence if len(found) <= 9 else " ".join(found[:8]) + " …"


CHECKS = (
    Check("tightening-in-prose", Severity.WARNING, tightening_in_prose),
    Check("long-sentence", Severity.ADVICE, long_sentence),
    Check("several-instructions", Severity.ADVICE, several_instructions),
    Check("instruction-in-note", Severity.ADVICE, instruction_in_note),
    Check("vague-word", Severity.ADVICE, vague_word),
)
