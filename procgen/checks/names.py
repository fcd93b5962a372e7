"""Names that lead in a circle, to another machine, or from nowhere; pictures without words.

Names that lead nowhere are the linker's.
"""

from collections.abc import Iterator

from procgen.checks.check import Check, Subject
from procgen.finding import Because, Finding, Place, Severity
from procgen.library.library import Library
from procgen.library.machine import Machine
from procgen.library.origin import Address


def circular_access(subject: Subject) -> Iterator[Finding]:
    """A thing that is behind itself, by way of others: nobody could ever get at it."""
    for machine in subject.machines:
        for ring in _rings(machine):
            first = machine.items[ring[0]]
            chain = " is behind ".join((*ring, ring[0]))
            yield Finding(
                check="circular-access",
                severity=Severity.ERROR,
                place=first.origin.of("behind"),
                message=f"{chain}: there is no way in.",
                because=tuple(
                    Because(message=f"{item} is behind {front}", place=machine.items[item].origin.of("behind"))
                    for item, front in zip(ring, (*ring[1:], ring[0]), strict=True)
                ),
                remedy="take one of them out of the other's `behind`: what can be reached first?",
            )


def _rings(machine: Machine) -> Iterator[tuple[str, ...]]:
    """Every ring of `behind` once, from its first item in the order of the files."""
    done: set[str] = set()
    for start in machine.items:
        path: list[str] = []
        on_path: set[str] = set()
        waiting: list[tuple[str, bool]] = [(start, False)]
        while waiting:
            item, leaving = waiting.pop()
            if leaving:
                path.pop()
                on_path.discard(item)
                done.add(item)
            elif item in on_path:
                yield tuple(path[path.index(item) :])
            elif item not in done:
                path.append(item)
                on_path.add(item)
                waiting.append((item, True))
                waiting.extend((front, False) for front in _behind(machine, item))


def _behind(machine: Machine, item: str) -> tuple[str, ...]:
    # Of a damaged file a name may be known, and nothing of what it names.
    return tuple(getattr(machine.items.get(item), "behind", ()))


def wrong_machine(subject: Subject) -> Iterator[Finding]:
    """A procedure of one machine that is followed, scheduled, logged or planned on another."""
    for machine, name, place, how in _named_procedures(subject):
        head = subject.library.heads[name]
        own = head.machine
        if own == machine.address.id or own not in subject.library.machines or not machine.address.id:
            continue
        yield Finding(
            check="wrong-machine",
            severity=Severity.ERROR,
            place=place,
            message=f"{name} is {how} here on {machine.address.id}, and it is written for {own}.",
            because=(Because(message=f"{name} is for {own}", place=head.machine_place),),
            remedy=f"name a procedure of {machine.address.id}",
        )


def _named_procedures(subject: Subject) -> Iterator[tuple[Machine, str, Place, str]]:
    """Every place that names a procedure to be done on a machine."""
    library = subject.library
    for procedure in subject.procedures:
        for step in procedure.every_step():
            if step.follow:
                yield procedure.machine, step.follow.procedure, step.follow.place, "followed"
    for machine in subject.machines:
        for due in machine.schedule.values():
            yield from ((machine, name, due.origin.of("do"), "scheduled") for name in due.do)
    for logbook in subject.logbooks:
        machine = library.machines[logbook.machine]
        for entry in logbook.entries:
            yield from ((machine, name, entry.origin.of("did"), "logged") for name in entry.did)
    for job in subject.written_jobs:
        book = library.logbooks.get(job.logbook)
        for task in job.do if book else ():
            if book:
                yield library.machines[book.machine], task.procedure, task.origin.of("procedure"), "planned"


def unused_item(subject: Subject) -> Iterator[Finding]:
    """Something declared that nothing names: perhaps a step was forgotten."""
    if not subject.whole:
        return  # a name that is mistyped elsewhere would be reported twice
    for address, place in _declared(subject.library):
        if all(use.by == address for use in subject.library.used_by(address)):
            yield Finding(
                check="unused-item",
                severity=Severity.ADVICE,
                place=place,
                message=f"The {address.kind} {address.id} is declared, and nothing names it.",
                remedy="name it where it is used, or take it out",
            )


def _declared(library: Library) -> Iterator[tuple[Address, Place]]:
    shelves = (library.tools, library.parts, library.sources, library.notices)
    for shelf in (*(machine.items for machine in library.machines.values()), *shelves):
        yield from ((record.address, record.origin.place) for record in shelf.values())
    for head in library.heads.values():
        yield from head.declares


def figure_alt_missing(subject: Subject) -> Iterator[Finding]:
    """A picture without words for whoever cannot see it: blind, or with a page whose picture did not print."""
    if not subject.whole:
        return  # words that could not be read are not missing
    shelves = [machine.figures for machine in subject.machines]
    shelves += [procedure.figures for procedure in subject.procedures]
    for figure in {figure.origin.of("file"): figure for shelf in shelves for figure in shelf.values()}.values():
        if not figure.alt.strip():
            yield Finding(
                check="figure-alt-missing",
                severity=Severity.WARNING,
                place=figure.origin.of("file"),
                message=f"The figure {figure.id} has no words for someone who cannot see it.",
                remedy="say under `alt` what the picture shows, from which side, and what lies where",
            )


CHECKS = (
    Check("circular-access", Severity.ERROR, circular_access),
    Check("wrong-machine", Severity.ERROR, wrong_machine),
    Check("unused-item", Severity.ADVICE, unused_item, of_all=True),
    Check("figure-alt-missing", Severity.WARNING, figure_alt_missing),
)
