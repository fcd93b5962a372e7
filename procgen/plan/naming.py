"""What things are called inside a sentence: "the coolant pump", "step 3"."""

from collections.abc import Mapping

from procgen.library.items import Energy, Item
from procgen.library.origin import Kind
from procgen.library.procedure import Action, Step
from procgen.library.state import Verb, state_word


def in_sentence(title: str) -> str:
    """A title as it stands inside a sentence: "Coolant pump" becomes "coolant pump", "No. 1 at TDC" stays."""
    first = title.split(" ", 1)[0]
    is_word = first[1:].islower() and first.isalpha() and len(first) > 1
    return title[0].lower() + title[1:] if is_word else title


def name_of(items: Mapping[str, Item], item_id: str) -> str:
    """An item by its title, without an article: "coolant pump"; its id where it is not known."""
    item = items.get(item_id)
    return in_sentence(item.title) if item else item_id


def the(items: Mapping[str, Item], item_id: str) -> str:
    """An item with its article: "the coolant pump". What has no common noun for a title goes without."""
    name = name_of(items, item_id)
    return f"the {name}" if name[:1].islower() and not name.startswith("the ") else name


def is_many(items: Mapping[str, Item], item_id: str) -> bool:
    """Whether an item is spoken of in the plural: several bolts."""
    item = items.get(item_id)
    title = item.title if item else item_id
    return title.endswith("s") and not title.endswith(("ss", "us", "is"))


def be(items: Mapping[str, Item], item_id: str) -> str:
    """ "is" or "are", as the item asks for."""
    return "are" if is_many(items, item_id) else "is"


def state_of(items: Mapping[str, Item], item_id: str, *, disturbed: bool) -> str:
    """The trade's word for a state of an item: "off", "tight", "not done"."""
    item = items.get(item_id)
    if item is None:
        return "so" if disturbed else "not so"
    supplied = not isinstance(item, Energy) or item.is_supplied
    if item.address.kind is Kind.CHECK and not disturbed:
        return "not done"
    return state_word(item.address.kind, disturbed=disturbed, supplied=supplied)


def still(items: Mapping[str, Item], item_id: str, *, disturbed: bool) -> str:
    """A sentence about the state of an item: "the timing belt is on", "the pump bolts are loose"."""
    item = items.get(item_id)
    name = the(items, item_id)
    word = state_of(items, item_id, disturbed=disturbed)
    if item is not None and item.address.kind is Kind.CONDITION:
        return f'"{item.title}" {"holds" if disturbed else "does not hold"}'
    if item is not None and item.address.kind is Kind.CHECK:
        return f'the check "{item.title}" is {word}'
    return f"{name} {be(items, item_id)} {word}"


def said(step: Step) -> str:
    """What an author's step says that it does, as they wrote it: "remove coolant-pump"; empty for plain text."""
    if step.follow:
        return f"follow {step.follow.procedure}"
    if step.wait:
        return f"wait {step.wait.text}"
    verbs: dict[Verb, list[str]] = {}
    for action in step.actions:
        verbs.setdefault(action.verb, []).append(action.item)
    return " and ".join(f"{verb} {', '.join(items)}" for verb, items in verbs.items())


def does(items: Mapping[str, Item], action: Action) -> str:
    """What an action does, in the third person: "removes the coolant pump"."""
    verb = str(action.verb)
    if verb.endswith(("s", "ch", "sh", "x")):
        verb += "es"
    elif verb.endswith("y") and verb[-2] not in "aeiou":
        verb = verb[:-1] + "ies"
    else:
        verb += "s"
    return f"{verb} {the(items, action.item)}"
