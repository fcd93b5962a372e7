"""What a check is there for: what it guards, and why the machine's rules ask for it."""

from collections.abc import Iterable, Iterator

from markupsafe import Markup

from procgen.library.items import Check
from procgen.library.machine import After, Machine
from procgen.library.origin import ItemId
from procgen.library.state import Verb
from procgen.manual.book import Leaf, Link


def guarded(checks: Iterable[Check], machine: Machine, leaf: Leaf) -> tuple[Link, ...]:
    """What the checks guard: the things whose failure they catch, each once."""
    return leaf.items(tuple(dict.fromkeys(item for check in checks for item in check.of)), machine)


def reasons(checks: Iterable[ItemId], machine: Machine, leaf: Leaf) -> Iterator[Markup]:
    """Why the checks must be done: the reasons of the rules that ask for them, each once."""
    wanted = frozenset(checks)
    texts = {
        rule.because.text: rule.because
        for rule in machine.rules
        if isinstance(rule, After) and rule.because and rule.must.verb is Verb.CHECK and rule.must.item in wanted
    }
    yield from (leaf.block(text, machine) for text in texts.values())
