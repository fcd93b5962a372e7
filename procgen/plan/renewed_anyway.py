"""What a job looks at or measures, and renews later in any case, since another of its procedures renews it.

Such a step stays in the plan: a machine's history wants the last reading of the old part, and an inspection may decide
more than whether that part is used again. But whoever does it should know that nothing hangs on it for the part.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from procgen.library.condition import ALWAYS
from procgen.library.items import Item, Spec
from procgen.library.library import Library
from procgen.library.origin import ItemId
from procgen.library.phrases import sentence
from procgen.library.state import Verb
from procgen.plan.job_plan import JobPlan
from procgen.plan.naming import be, the
from procgen.plan.needs import renewed
from procgen.plan.steps import PlannedStep
from procgen.plan.structure import Structure


@dataclass(frozen=True, slots=True)
class Renewal:
    """The renewal of something that was looked at before."""

    item: ItemId
    step: PlannedStep

    def words(self, items: Mapping[str, Item]) -> str:
        """It said at the step that looks: "The belt is renewed in step 12 whatever is found here."."""
        what = f"{the(items, self.item)} {be(items, self.item)}"
        return f"{sentence(what)} renewed in step {self.step.number} whatever is found here."


def renewed_anyway(job: JobPlan, library: Library) -> Mapping[str, Renewal]:
    """For the key of each step that looks at a part the certain renewal that follows.

    What a procedure looks at and renews itself is left out: its author knows why.
    """
    structure = Structure(job.plan.machine, library, job.plan.procedure.implied_items)
    at: dict[ItemId, list[int]] = {}
    for place, planned in enumerate(job.plan.steps):
        for item in renewed(planned, structure):
            at.setdefault(item, []).append(place)
    found: dict[str, Renewal] = {}
    for place, planned in enumerate(job.plan.steps):
        looked_at = tuple(_looked_at(planned, job.plan.machine.items))
        places = [_renewed_at(item, place, at.get(item, []), job, structure) for item in looked_at]
        known = [each for each in places if each is not None]
        if known and len(known) == len(places):
            last = max(known)
            found[planned.key] = Renewal(looked_at[places.index(last)], job.plan.steps[last])
    return found


def _looked_at(planned: PlannedStep, items: Mapping[str, Item]) -> Iterator[ItemId]:
    """What a step is about, where it does nothing but look."""
    for action in planned.actions:
        item = items.get(action.item)
        match action.verb, item:
            case Verb.MEASURE, Spec(of=of):
                yield from of
            case ((Verb.MEASURE | Verb.INSPECT), _):
                yield action.item
            case _:
                return


def _renewed_at(item: ItemId, place: int, places: list[int], job: JobPlan, structure: Structure) -> int | None:
    """Where in the plan an item is renewed after it was looked at in one place, for certain and by others.

    places: all in which it is renewed.
    """
    certain = next((where for where in places if job.plan.steps[where].when == ALWAYS), None)
    # What was renewed before is a new part already.
    if certain is None or places[0] < place:
        return None
    looks = {own.task for own in job.does[job.plan.steps[place].key]}
    whose = job.does[job.plan.steps[certain].key]
    renews = {own.task for own in whose if item in renewed(job.tasks[own.task].own(own.key), structure)}
    return certain if renews and looks.isdisjoint(renews) else None
