"""A procedure as schema.org has it (HowTo), for programs that read the page. Data only: no browser runs it."""

import json
from collections.abc import Iterator

from markupsafe import Markup

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
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return Markup(text.replace("<", "\\u003c"))  # noqa: S704 - JSON with no `<` cannot end the element that holds it


def iso_duration(minutes: float) -> str:
    """A working time as ISO 8601 writes it, to the whole minute: "PT2H10M"."""
    hours, rest = divmod(round(minutes), 60)
    return "PT" + (f"{hours}H" if hours else "") + (f"{rest}M" if rest or not hours else "")


def _supply(need: Need) -> str:
    return f"{need.what.title}, {need.amount}" if need.amount else need.what.title


def _steps(runs: tuple[Run, ...]) -> Iterator[dict[str, object]]:
    """Each step by its anchor; what lies in a fold or in a branch is a section under its heading."""
    for run in runs:
        if isinstance(run, GroupView):
            yield _section(run.title, run.steps)
            continue
        yield {"@type": "HowToStep", "text": _words(run)}
        if run.branch:
            yield _section(f"Step {run.number}: {run.branch_head}", run.branch)


def _section(name: str, runs: tuple[Run, ...]) -> dict[str, object]:
    # A section holds steps only, so the sections inside it are laid out flat.
    return {"@type": "HowToSection", "name": name, "itemListElement": list(_flat(_steps(runs)))}


def _flat(steps: Iterator[dict[str, object]]) -> Iterator[dict[str, object]]:
    for step in steps:
        inner = step.get("itemListElement")
        if isinstance(inner, list):
            yield from inner
        else:
            yield step


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
