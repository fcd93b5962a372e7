"""Turns a written name into what it stands for, notes who named it, and reports names that lead nowhere."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from procgen.finding import Because, Finding, Place, Severity
from procgen.library.names import Declared, Names, Scope
from procgen.library.near import offer
from procgen.library.origin import Address, Kind, Use


@dataclass(frozen=True, slots=True)
class Mention:
    """Who names something, where, and by which key or verb."""

    by: Address
    how: str
    place: Place


@dataclass(slots=True)
class ItemScope:
    """The items that can be named at some point of the library: a machine's, and a procedure's own."""

    machine: str
    """Empty where no machine is named."""
    items: Scope
    local: Scope = field(default_factory=dict)
    implies: str = ""
    """A procedure without a machine, whose steps may name what nothing declares; its id."""
    implied: dict[str, Kind] = field(default_factory=dict)
    """What such steps named, and what their verbs say that it is."""
    broken: bool = False
    """The machine is not there and was reported: its items are not reported again."""

    def find(self, name: str) -> Declared | None:
        """What `name` is here."""
        return self.local.get(name) or self.items.get(name)

    def known(self) -> Collection[str]:
        """Every name that can be used here."""
        return self.items.keys() | self.local.keys() | self.implied.keys()


Uses = Mapping[Address, Mapping[Use, None]]
"""For everything that was named: who named it and how, each once, in order."""
Implied = Mapping[Kind, Mapping[str, Mention]]
"""Tools and parts that are named where no catalogue of them exists, and where they are first named."""


class Resolver:
    """Gathers the uses and the findings of what is read with it."""

    def __init__(self, names: Names) -> None:
        """Resolve against `names`."""
        self.names = names
        self.uses: dict[Address, dict[Use, None]] = {}
        self.findings: list[Finding] = []
        self.implied: dict[Kind, dict[str, Mention]] = {}

    def report(self, check: str, place: Place, message: str, *because: Because, remedy: str = "") -> None:
        """Note an error."""
        self.findings.append(
            Finding(check=check, severity=Severity.ERROR, place=place, message=message, because=because, remedy=remedy)
        )

    def note(self, address: Address, mention: Mention) -> None:
        """Remember that `mention` names `address`."""
        self.uses.setdefault(address, {})[Use(mention.by, mention.how)] = None

    def shop(self, name: str, kind: Kind, mention: Mention) -> str | None:
        """The id of a shop-wide thing of `kind`, or None where there is none (reported)."""
        declared = self.names.shop[kind].get(name)
        if declared:
            self.note(declared.address, mention)
            return name
        if self._catalogue_is_earned(kind):
            self.implied.setdefault(kind, {}).setdefault(name, mention)
            self.note(Address(kind, name), mention)
            return name
        self.unknown(
            name, kind, mention.place, self.names.shop[kind], f"declare it among the {kind}s, or mend the name"
        )
        return None

    def _catalogue_is_earned(self, kind: Kind) -> bool:
        # A beginner's library has no catalogues yet: tools and parts are then whatever the steps name.
        return kind in (Kind.TOOL, Kind.PART) and not self.names.shop[kind]

    def item(self, name: str, wanted: Collection[Kind], scope: ItemScope, mention: Mention) -> str | None:
        """The id of an item of one of the kinds `wanted` (any where empty), or None (reported)."""
        declared = scope.find(name)
        if declared is None:
            return self._undeclared(name, wanted, scope, mention)
        self.note(declared.address, mention)
        if wanted and declared.address.kind not in wanted:
            kinds = " or ".join(sorted(_a(kind) for kind in wanted))
            self.report(
                "wrong-type",
                mention.place,
                f'"{mention.how}" takes {kinds}, and "{name}" is a {declared.address.kind}.'.replace(
                    " a aid", " an aid"
                ),
                Because(message=f'"{name}" is declared as {_a(declared.address.kind)}', place=declared.place),
                remedy=self._of_kind(name, wanted, scope),
            )
            return None
        return name

    def _undeclared(self, name: str, wanted: Collection[Kind], scope: ItemScope, mention: Mention) -> str | None:
        if scope.implies:
            kind = scope.implied.setdefault(name, next(iter(wanted), Kind.COMPONENT))
            self.note(Address(kind, name, scope.implies), mention)
            return name
        if not scope.broken:
            where = f" of {scope.machine}" if scope.machine else ""
            what = "item" + where
            self.unknown(name, what, mention.place, scope.known(), f"declare it in a file{where}, or mend the name")
        return None

    def _of_kind(self, name: str, wanted: Collection[Kind], scope: ItemScope) -> str:
        fitting = [known for known in scope.known() if (it := scope.find(known)) and it.address.kind in wanted]
        return offer(name, fitting, "name another item, or use another verb")

    def unknown(self, name: str, what: str, place: Place, known: Collection[str], otherwise: str) -> None:
        """Report a name that leads nowhere, with the nearest ones."""
        self.report(
            "unknown-name",
            place,
            f'"{name}" is named here as {_a(what)}, and nothing has that name.',
            remedy=offer(name, known, otherwise),
        )


def _a(what: str) -> str:
    return f"{'an' if what[0] in 'aeiou' else 'a'} {what}"
