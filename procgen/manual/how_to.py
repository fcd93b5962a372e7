"""A procedure as schema.org has it (HowTo), for programs that read the page. Data only: no browser runs it."""

from collections.abc import Iterator

from markupsafe import Markup

from procgen.manual.data_text import in_page
from procgen.manual.job_lists import Need
from procgen.manual.step_view import GroupView, Run, StepView

_CONTEXT = "https://schema.org"


def how_to(
    *,
    name: str,
    description: str,
    minutes: float,
    tools: tuple[Need, ...],
    supplies: tuple[Need, ...],
    runs: tuple[Run, ...],
) -> Markup:
    """JSON-LD that a page can hold: no `<` in it.

    minutes: 0 where no step gives a time. A step's text opens with the signal words of its safety messages, so that
    no program reads the one without the other.
    """
    data: dict[str, object] = {"@context": _CONTEXT, "@type": "HowTo", "name": name}
    if description:
        data["description"] = description
    if minutes:
        data["totalTime"] = iso_duration(minutes)
    if tools:
        data["tool"] = [need.what.title for need in tools]
    if supplies:
        data["supply"] = [_supply(need) for need in supplies]
    data["step"] = list(_steps(runs))
    return in_page(data)


def iso_duration(minutes: float) -> str:
    """A working time as ISO 8601 writes it, to the whole minute: "PT2H10M"."""
    hours, rest = divmod(round(minutes), 60)
    return "PT" + (f"{hours}H" if hours else "") + (f"{rest}M" if rest or not hours else "")


def _supply(need: Need) -> str:
    return f"{need.what.title}, {need.amount}" if need.amount else need.what.title


def _steps(runs: tuple[Run, ...]) -> Iterator[str | dict[str, object]]:
    """Each step as text; what lies in a fold or in a branch is a section under its heading."""
    for run in runs:
        if isinstance(run, GroupView):
            yield _section(run.title, run.steps)
            continue
        yield _words(run)
        if run.branch:
            yield _section(f"Step {run.number}: {run.branch_head}", run.branch)


def _section(name: str, runs: tuple[Run, ...]) -> dict[str, object]:
    return {"@type": "HowToSection", "name": name, "itemListElement": list(_texts(runs))}


def _texts(runs: tuple[Run, ...]) -> Iterator[str]:
    """The same laid out flat: a section holds no sections."""
    for run in runs:
        if isinstance(run, GroupView):
            yield from _texts(run.steps)
        else:
            yield _words(run)
            yield from _texts(run.branch)


def _words(step: StepView) -> str:
    doings = (f"{doing.verb} {', '.join(to.title for to in doing.items)}." for doing in step.doings)
    words = step.text.striptags() or " ".join(doings)
    return " ".join(
        part
        for part in (
            f"Only if {step.when_words}:" if step.when_words else "",
            *(f"{notice.word}: {notice.title.title}." for notice in step.notices),
            words,
            f"Good if: {step.accept.striptags()}" if step.accept else "",
            *(f"{plate.torque.line}." for plate in step.torques if plate.torque and plate.torque.line not in words),
            *(f"{limits.value}." for limits in step.limits),
        )
        if part
    )
