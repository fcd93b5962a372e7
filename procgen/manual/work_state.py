"""The state of the work after every step, for every way through, as a script file beside its sheet.

The page of the procedure and the sheet look it up there; neither computes states. A script file and no JSON: a page
that was opened from a disk may run a script beside it, and may not fetch.
"""

from collections.abc import Iterator, Mapping
from itertools import combinations

from procgen.library.condition import NEVER, Condition, names
from procgen.library.machine import Never
from procgen.library.state import DISTURBS
from procgen.manual.book import Leaf
from procgen.manual.conditions import may_hold
from procgen.manual.data_text import in_script
from procgen.manual.page import Page
from procgen.manual.paths import state_script_path
from procgen.manual.pause_view import label_of, rule_words
from procgen.manual.sheet_steps import SheetWriter
from procgen.plan.moments import moments
from procgen.plan.steps import Plan, PlannedStep
from procgen.plan.structure import structure_of

SCRIPTS = tuple(f"theme/scripts/{name}.js" for name in ("work-state", "state-list"))
"""What reads the file and shows what it says; they need condition.js."""

_MOST_FAILED = 3
"""So many failed inspections are looked for at once, before all of them are."""


def has_state(plan: Plan) -> bool:
    """Whether anything is ever out of service, or any condition is brought about."""
    return bool(plan.procedure.starts_with) or any(
        step.step.sets or any(action.verb in DISTURBS for action in step.actions) for step in plan.steps
    )


def state_script(sheet: Leaf, writer: SheetWriter, fingerprint: str) -> Page:
    """The file beside a sheet. fingerprint: the sheet's; a page that has another one takes nothing from it."""
    text = f"globalThis.manualState = {in_script(_data(writer, fingerprint))};\n"
    return Page(state_script_path(sheet.path), text)


def _data(writer: SheetWriter, fingerprint: str) -> Mapping[str, object]:
    """`things`: what can be disturbed, how that is called, and its page. `rules`: what may be forbidden. Both with
    moments. `outcomes`: for each inspection the number of its step. `ways`: see _ways.
    """
    plan = writer.steps.plan
    found = moments(plan)
    items = list(dict.fromkeys(moment.item for moment in found.items))
    rules = list(dict.fromkeys(moment.rule for moment in found.rules))
    known = structure_of(plan.machine).rules
    by_key = writer.steps.by_key
    records = [plan.machine.items[item] for item in items]
    return {
        "fingerprint": fingerprint,
        "choices": {writer.codes[name]: name for name in plan.choices if name not in plan.outcomes},
        "outcomes": {writer.codes[name]: by_key[key].number for name, key in plan.outcomes.items()},
        "things": [[label_of(item), item.title, writer.steps.leaf.record(item).href] for item in records],
        "moments": [[each.step, items.index(each.item), _when(each.when, writer)] for each in found.items],
        "rules": list(_rules(rules, known, writer)),
        "armed": [[each.step, rules.index(each.rule), _when(each.when, writer)] for each in found.rules],
        "ways": {
            index: [_when(step.when, writer), ways]
            for index, step in enumerate(plan.steps)
            if (ways := [[writer.codes[name] for name in failed] for failed in _ways(step, plan)])
        },
    }


def _when(condition: Condition, writer: SheetWriter) -> str | int:
    """A condition as the script reads it: 1 always, 0 never."""
    if condition == NEVER:
        return 0
    return writer.coded(condition) or 1


def _rules(wanted: list[int], known: tuple[object, ...], writer: SheetWriter) -> Iterator[tuple[str, str]]:
    for place in wanted:
        rule = known[place]
        assert isinstance(rule, Never)  # noqa: S101 - moments are of these only
        machine = writer.steps.plan.machine
        yield f"{rule_words(rule, machine)}.", writer.steps.leaf.plain(rule.because, machine)


def _ways(planned: PlannedStep, plan: Plan) -> Iterator[tuple[str, ...]]:
    """For a step that an inspection may lead to: which inspections may have failed, the fewest first.

    With everything else good it is done, as far as inspections decide it. Nothing for any other step.
    """
    asked = names(planned.when)
    outcomes = [name for name in plan.outcomes if name in asked]
    sizes = range(min(len(outcomes), _MOST_FAILED) + 1) if outcomes else range(0)
    tried = [failed for size in sizes for failed in combinations(outcomes, size)]
    if len(outcomes) > _MOST_FAILED:
        tried.append(tuple(outcomes))
    for failed in tried:
        if may_hold(planned.when, {name: name not in failed for name in outcomes}) is not False:
            yield failed
