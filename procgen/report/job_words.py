"""Words for a planned job: its steps in short, its times, what is missing. Shared by the report's formats."""

from collections.abc import Mapping

from procgen.library.items import Fastener, Fluid, Item, Spec
from procgen.library.library import Library
from procgen.library.origin import Prose
from procgen.library.references import pieces
from procgen.measure.torque_text import torque_line
from procgen.measure.typeset import show
from procgen.measure.unit_table import System
from procgen.plan.job_plan import JobPlan
from procgen.plan.naming import in_sentence
from procgen.plan.readiness import PartLine, Readiness, amount_of
from procgen.plan.steps import PlannedStep
from procgen.upkeep.grouping import Companion


def step_words(planned: PlannedStep, items: Mapping[str, Item], library: Library) -> str:
    """What a step does, in one line: its first sentence."""
    text = planned.step.do
    if text is None:
        return "Do as the procedure says."
    return _first_sentence(in_words(text, items, library))


def in_words(text: Prose, items: Mapping[str, Item], library: Library) -> str:
    """An author's text with titles and figures in place of the names in braces."""
    said = []
    for piece in pieces(text.text):
        if isinstance(piece, str):
            said.append(piece)
        else:
            record = items.get(piece.name) or library.resolve(piece.name, None)
            said.append(_value(record, piece.value) if record else piece.name.replace("-", " "))
    return " ".join("".join(said).split())


def _value(record: object, value: str) -> str:
    match record, value:
        case Fastener(torque=torque), "torque" if torque:
            return torque_line(torque, second=System.NONE)
        case Spec(limits=limits), "limits" if limits:
            return show(limits)
        case Fluid(capacity=capacity), "capacity" if capacity:
            return show(capacity)
        case Fastener(thread=thread), "thread":
            return thread
        case Fastener(count=count), "count":
            return str(count)
        case _:
            return in_sentence(str(getattr(record, "title", "")))


def _first_sentence(text: str) -> str:
    for end, character in enumerate(text):
        if character == "." and text[end + 1 : end + 2] == " " and not _is_abbreviation(text[:end]):
            return text[: end + 1]
    return text


def _is_abbreviation(before: str) -> bool:
    """Whether a point ends no sentence: "no. 1", "p. 6"."""
    word = before.rsplit(" ", 1)[-1].strip("(").lower()
    return word in {"no", "p", "e.g", "i.e", "approx", "max", "min"}


def for_words(job: JobPlan, key: str) -> str:
    """For whom a step is done: "1 3 4"; empty where one procedure is the whole job."""
    return " ".join(task.number for task in job.shared_by(key)) if len(job.tasks) > 1 else ""


def branch_words(planned: PlannedStep) -> str:
    """What leads into a branch, said once at its first step: "rejected", "out of limits"."""
    return "out of limits" if "within limits" in (planned.outcome or "") else "rejected"


def life_words(each: Companion) -> str:
    """What is thrown away where scheduled work is done with a job: "30 % of its interval is left, due 2028-05-31"."""
    if each.life_left is None or each.due.due_on is None:
        return "nobody knows how much of its interval is left"
    day = each.due.due_on.isoformat()
    return f"{round(each.life_left * 100)} % of its interval is left, due {day}" if each.life_left else f"due {day}"


def missing_words(line: PartLine, ready: Readiness) -> str:
    """One missing part, with its day for ordering: "coolant pump gasket (OR-40-4411): order by 2026-12-02"."""
    name = " ".join(part for part in (_amount(line), in_sentence(line.title)) if part)
    number = f" ({line.number})" if line.number else ""
    return f"{name}{number}: {_ordering(line, ready)}"


def _amount(line: PartLine) -> str:
    amount = amount_of(line)
    return "" if amount in ("", "1") else f"{amount} ×" if amount.isdigit() else amount


def _ordering(line: PartLine, ready: Readiness) -> str:
    if line.lead_days is None:
        return "nobody knows how long it takes"
    takes = f"takes {line.lead_days} {'day' if line.lead_days == 1 else 'days'}"
    if line.order_by is None:
        return takes
    if line.order_by < ready.today:
        return f"{takes}, and should have been ordered by {line.order_by.isoformat()}"
    return f"{takes}, order by {line.order_by.isoformat()}"
