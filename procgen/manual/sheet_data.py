"""What the ticking sheet's script is given beside the page: who the sheet is, and how the state changes step by step.

The script computes no states. It looks up, for the step that comes next, what is disturbed under the choices made so
far; `procgen.plan.moments` worked that out for every way through.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from markupsafe import Markup

from procgen.library.condition import NEVER, Condition
from procgen.library.machine import Never
from procgen.manual.book import Leaf
from procgen.manual.pause_view import label_of, rule_words
from procgen.manual.sheet_steps import SheetWriter
from procgen.plan.moments import moments
from procgen.plan.structure import Structure
from procgen.sheet.read_record import RecordError, read_record


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetName:
    """Who a sheet is."""

    kind: str
    """job or procedure."""
    subject: str
    logbook: str
    """Empty where the sheet may be for several machines."""
    revision: str
    fingerprint: str


def sheet_data(writer: SheetWriter, name: SheetName, marks: Mapping[str, str], leaf: Leaf) -> Markup:
    """JSON that a page can hold: no `<` in it. marks: the fingerprint of each step by its key."""
    plan, form = writer.steps.plan, writer.form
    data = {
        "kind": name.kind,
        "subject": name.subject,
        "logbook": name.logbook,
        "revision": name.revision,
        "fingerprint": name.fingerprint,
        "manual": leaf.library.manual.title,
        "steps": [[planned.key, planned.number, marks[planned.key]] for planned in plan.steps],
        "choices": {writer.codes[each]: each for each in form.choices if each in {*form.asked, *form.variants}},
        "meter": "" if form.meter == "none" else form.meter,
        "roles": list(form.roles),
        **_states(writer),
    }
    return _in_a_page(data)


def kept_record(file: Path) -> Markup:
    """The record of paused work in a file, as JSON for the page; empty where there is none that can be read."""
    try:
        content = file.read_bytes()
        read_record(content)
    except (OSError, RecordError):
        return Markup()
    return _in_a_page(json.loads(content.decode("utf-8-sig")))


def _in_a_page(data: object) -> Markup:
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return Markup(text.replace("<", "\\u003c"))  # noqa: S704 - JSON with no `<` cannot end the element that holds it


def _states(writer: SheetWriter) -> Mapping[str, object]:
    """`things`: what can be disturbed, and how that is called. `rules`: what may be forbidden. Both with moments."""
    plan = writer.steps.plan
    found = moments(plan)
    items = list(dict.fromkeys(moment.item for moment in found.items))
    rules = list(dict.fromkeys(moment.rule for moment in found.rules))
    known = Structure(plan.machine).rules
    return {
        "things": [[label_of(plan.machine.items[item]), plan.machine.items[item].title] for item in items],
        "moments": [[each.step, items.index(each.item), _when(each.when, writer)] for each in found.items],
        "rules": list(_rules(rules, known, writer)),
        "armed": [[each.step, rules.index(each.rule), _when(each.when, writer)] for each in found.rules],
    }


def _when(condition: Condition, writer: SheetWriter) -> str | int:
    """A condition as the script reads it: 1 always, 0 never."""
    if condition == NEVER:
        return 0
    return writer.coded(condition) or 1


def _rules(wanted: list[int], known: tuple[object, ...], writer: SheetWriter) -> Iterator[str]:
    for place in wanted:
        rule = known[place]
        assert isinstance(rule, Never)  # noqa: S101 - moments are of these only
        because = writer.steps.leaf.plain(rule.because, writer.steps.plan.machine)
        yield f"{rule_words(rule, writer.steps.plan.machine)}. {because}".strip()
