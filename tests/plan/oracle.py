"""A slow, naive judge of a plan: every assignment on its own, all items together, one step after the other.

It shares nothing with the program but the records and the planned steps. It follows the same rules by its own means:
dictionaries of plain truth values, a counter that jumps, and a list of what has been said already.
"""

from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any

from procgen.library.condition import holds
from procgen.library.items import Aid, Check, Component, Energy, Fastener, Fluid, Line, MachineCondition, Spec
from procgen.library.library import Library
from procgen.library.machine import After, Before, Never
from procgen.library.state import DISTURBS, RESTORES, Act, State, Verb
from procgen.plan.steps import Plan

Finding = tuple[str, str | None, str, object]
"""Fault, key of the step (None: at the end), what it is about, and which rule or need."""

OPPOSITE = {"remove": "fit", "loosen": "tighten", "disconnect": "connect", "drain": "fill", "isolate": "restore"}
OPPOSITE |= {"place": "withdraw"} | {back: verb for verb, back in OPPOSITE.items()} | {"withdraw": "place"}

ON_FASTENED = (Verb.REMOVE, Verb.FIT, Verb.DISCONNECT, Verb.CONNECT)


def judge(plan: Plan, library: Library) -> dict[Finding, list[dict[str, bool | str]]]:
    """Every finding, with all the assignments in which it happens."""
    found: dict[Finding, list[dict[str, bool | str]]] = {}
    for assignment, run in _runs(plan, library):
        for finding in dict.fromkeys(run.findings):
            found.setdefault(finding, []).append(assignment)
    return found


def never_left(plan: Plan, library: Library) -> set[State]:
    """What `leaves` says and no assignment that reaches the end ends with."""
    ends = [run.left for _, run in _runs(plan, library) if run.left is not None]
    return {state for state in plan.procedure.leaves if ends and not any(state in left for left in ends)}


def _runs(plan: Plan, library: Library) -> Iterator[tuple[dict[str, bool | str], "_Run"]]:
    for values in product(*plan.choices.values()):
        assignment = dict(zip(plan.choices, values, strict=True))
        if holds(plan.procedure.only_for, assignment):
            yield assignment, _Run(plan, library, assignment)


def _is(act: Act | None, verb: Verb, item: str) -> bool:
    return act is not None and (act.verb, act.item) == (verb, item)


class _Run:
    def __init__(self, plan: Plan, library: Library, assignment: dict[str, bool | str]) -> None:
        self.plan, self.library, self.env = plan, library, dict(assignment)
        self.items: Mapping[str, Any] = plan.machine.items
        self.findings: list[Finding] = []
        self.state: dict[str, bool] = {state.item: state.disturbed for state in plan.procedure.starts_with}
        self.unchecked: set[str] = set()
        self.used: set[tuple[str, str]] = set()
        self.owed: set[int] = set()
        self.warned: set[str] = set()
        self.said: set[tuple[str, str, bool]] = set()
        self.key: str | None = None
        self.left: set[State] | None = None
        self.leaves = {state.item for state in plan.procedure.leaves if state.disturbed}
        self._read(plan.procedure.notices)
        self._go()

    # Looking things up, each time anew

    def is_(self, item: str, *, own: bool = False) -> bool:
        return self.state.get(item, False) or (not own and any(self.state.get(c, False) for c in self._carriers(item)))

    def _carriers(self, item: str) -> set[str]:
        record, found = self.items.get(item), set[str]()
        for carrier in record.rides_with if isinstance(record, Component) else ():
            if carrier != item:
                found |= {carrier}
                todo = [carrier]
                while todo:
                    for upper in self.items[todo.pop()].rides_with:
                        if upper not in found and upper != item:
                            found.add(upper)
                            todo.append(upper)
        return found

    def _holders(self, fastener: str) -> list[str]:
        return [name for name, item in self.items.items() if fastener in getattr(item, "held_by", ())]

    def _owners(self, line: str) -> list[str]:
        return [name for name, item in self.items.items() if isinstance(item, Component) and line in item.lines]

    def _spots(self, item: str) -> list[tuple[str, list[str]]]:
        record = self.items.get(item)
        if isinstance(record, Spec | Check):
            return [spot for each in record.of for spot in self._spots(each)]
        if isinstance(record, Component | Line | Fluid | Aid):
            return [(item, list(record.behind))]
        if isinstance(record, Fastener):
            holders = self._holders(item)
            there = [(h, [f for f in self.items[h].behind if f not in holders]) for h in holders]
            return [(item, list(record.behind)), *there]
        return []

    def _hidden_by(self, cover: str) -> list[str]:
        kinds = Component | Fastener | Line | Fluid | Aid
        return [n for n, i in self.items.items() if isinstance(i, kinds) and any(cover in f for _, f in self._spots(n))]

    def _heavy(self, item: str) -> bool:
        mass = getattr(self.items[item], "mass", None)
        return mass is not None and float(mass.to("kg").middle) > self.library.manual.one_person_lift_kg

    def _parts(self, item: str) -> set[str]:
        record = self.items.get(item)
        if not isinstance(record, Component | Line):
            return set()
        part = self.library.parts.get(record.part or "")
        return {*record.renew, *([record.part] if part and part.single_use and record.part else [])}

    # Saying things

    def say(self, fault: str, of: str, extra: object = None, about: str = "", value: bool = True) -> None:
        once = (fault, about or of, value)
        if about != "each":
            if once in self.said:
                return
            self.said.add(once)
        self.findings.append((fault, self.key, of, extra))

    def _changed(self, fact: str) -> None:
        self.said = {said for said in self.said if said[1] != fact}

    def _set(self, item: str, value: bool) -> None:
        self.state[item] = value
        self._changed(item)

    def _read(self, notices: tuple[str, ...]) -> None:
        for name in notices:
            self.warned |= self.library.notices[name].kinds if name in self.library.notices else set()

    # Going through it

    def _go(self) -> None:
        counter = 0
        walked: dict[str, dict[str, bool] | None] = {}
        steps = self.plan.steps
        while counter < len(steps):
            planned = steps[counter]
            if not holds(planned.when, self.env):
                walked.setdefault(planned.key, None)
                counter += 1
                continue
            if walked.get(planned.key) is None:
                walked[planned.key] = dict(self.state)
            self._step(counter)
            counter += 1
            if planned.go_back_to:
                target = next(i for i, each in enumerate(steps) if each.key == planned.go_back_to)
                before = walked.get(planned.go_back_to)
                for each in steps[target:counter]:
                    if each.outcome:
                        self.env[each.outcome] = True
                if before is None or holds(planned.when, self.env):
                    self.findings.append(("loop-changes-state", planned.key, "", "ended"))
                    return
                changed = [n for n in {*before, *self.state} if before.get(n, False) != self.state.get(n, False)]
                lasting = Component | Fastener | Line | Fluid | Aid
                bad = [
                    n
                    for n in changed
                    if isinstance(i := self.items.get(n), lasting) or getattr(i, "is_supplied", False)
                ]
                self.findings += [("loop-changes-state", planned.key, name, None) for name in bad]
                if bad:
                    return
                counter = target
        self.key = None
        self._end()

    def _step(self, index: int) -> None:
        planned = self.plan.steps[index]
        step, self.key = planned.step, planned.key
        self._read(step.notices)
        back = {action.item for action in planned.actions if action.verb in RESTORES}
        for part in step.new:
            getting = [name for name in self.items if part in self._parts(name)]
            for name in [n for n in getting if n in back] or getting:
                self.used.discard((name, part))
        for state in (*step.needs, *(a.state for a in planned.assumes if holds(a.when, self.env))):
            self._need(state)
        for action in planned.actions:
            already = self.is_(action.item, own=True) is (action.verb in DISTURBS)
            if action.verb in DISTURBS or action.verb in RESTORES:
                granted = (
                    self.plan.procedure.is_bare and action.verb in RESTORES and not self._apart(index, action.item)
                )
                if already and not granted:
                    self.say("already-so", action.item, about="each")
                if already:
                    continue
            self._guard(action.verb, action.item)
            self._do(action.verb, action.item)
        for condition in step.sets:
            self._set(condition, True)

    def _apart(self, index: int, item: str) -> bool:
        """Whether an earlier step, as they stand, takes an item out of service."""
        return any(
            (action.item == item and action.verb in DISTURBS)
            or (action.verb in ON_FASTENED and item in getattr(self.items.get(action.item), "held_by", ()))
            for planned in self.plan.steps[:index]
            for action in planned.actions
        )

    def _need(self, state: State, fault: str = "needs-unmet", extra: object = None) -> None:
        item, wanted = state.item, state.disturbed
        if self.is_(item) is not wanted:
            self.say(fault, item, extra or state, about="each" if extra else "", value=wanted)

    def _guard(self, verb: Verb, item: str) -> None:
        record = self.items.get(item)
        self._reach(verb, item)
        self._warn(verb, item)
        for line in getattr(record, "lines", ()) if verb is Verb.REMOVE else ():
            if not self.is_(line):
                self.say("line-attached", line)
        if verb in (Verb.REMOVE, Verb.DISCONNECT):
            for fluid in (*getattr(record, "wet_with", ()), *getattr(record, "carries", ())):
                if not self.is_(fluid):
                    self.say("fluid-in", fluid)
            self._seals(item)
        self._weight(verb, item)
        for state in self._needs(verb, item):
            self._need(state)
        self._rules(verb, item)
        if verb in (Verb.REMOVE, Verb.DISCONNECT):
            for fastener in self.items[item].held_by:
                if not self.is_(fastener):
                    self._rules(Verb.LOOSEN, fastener)
        if verb in RESTORES:
            riders = [n for n in self.items if item in self._carriers(n) and not self.is_(n, own=True)]
            for cover in (item, *riders) if verb is Verb.FIT else (item,):
                self._cover(cover, item)
        self._bring_back(verb, item)

    def _reach(self, verb: Verb, item: str) -> None:
        if verb is Verb.RUN:
            return
        for there, fronts in self._spots(item):
            fitting = verb in (Verb.FIT, Verb.CONNECT) and there == item
            on_bench = isinstance(self.items[there], Component) and self.is_(there) and not fitting
            for front in fronts:
                clear = self.is_(front) is not isinstance(self.items.get(front), Aid)
                if not clear and not on_bench:
                    self.say("blocked", front, value=not isinstance(self.items.get(front), Aid))
            for energy in getattr(self.items[there], "exposed_to", ()):
                if not on_bench and not self.is_(energy):
                    self.say("energy-live", energy)
                kind = self._kind(energy)
                if not on_bench and kind and kind not in self.warned:
                    self.say("hazard-unannounced", energy, about=f"warned {kind}")

    def _warn(self, verb: Verb, item: str) -> None:
        if verb in (Verb.ISOLATE, Verb.RELEASE) and self._kind(item) and self._kind(item) not in self.warned:
            self.say("notice-late", item, about=f"warned {self._kind(item)}")
        if verb in (Verb.REMOVE, Verb.DISCONNECT):
            for fastener in self.items[item].held_by:
                for front in self.items[fastener].behind:
                    if not self.is_(front) and not self.is_(fastener):
                        self.say("blocked", front)

    def _kind(self, energy: str) -> str:
        item = self.items.get(energy)
        return item.kind if isinstance(item, Energy) and energy not in self.plan.procedure.implied_items else ""

    def _seals(self, item: str) -> None:
        for part in self._parts(item):
            if (item, part) in self.used and not self.is_(item, own=True):
                self.say("seal-reused", part, about="each")

    def _weight(self, verb: Verb, item: str) -> None:
        def carried(held: str, but: str = "") -> bool:
            aids = [n for n, i in self.items.items() if isinstance(i, Aid) and held in i.supports and n != but]
            return any(self.is_(aid) for aid in aids)

        if verb is Verb.LOOSEN:
            for held in self._holders(item):
                others = [f for f in self.items[held].held_by if f != item]
                hangs = all(self.is_(f) for f in others) and not self.is_(held)
                if isinstance(self.items[held], Component) and hangs and self._heavy(held) and not carried(held):
                    self.say("unsupported", held, value=True)
        elif verb is Verb.WITHDRAW:
            for held in self.items[item].supports:
                fasteners = self.items[held].held_by
                hangs = bool(fasteners) and all(self.is_(f) for f in fasteners) and not self.is_(held)
                if self._heavy(held) and hangs and not carried(held, but=item):
                    self.say("unsupported", held, value=True)
        elif verb is Verb.REMOVE and self._heavy(item) and not carried(item):
            fasteners = self.items[item].held_by
            if not fasteners or not all(self.is_(f) for f in fasteners):
                self.say("unsupported", item, value=True)
        elif verb is Verb.FIT and self._heavy(item) and not carried(item):
            self.say("unsupported", item, value=True)

    def _needs(self, verb: Verb, item: str) -> Iterator[State]:
        record = self.items.get(item)
        if isinstance(record, Component) and verb in (Verb.REMOVE, Verb.FIT):
            change = record.remove if verb is Verb.REMOVE else record.fit
            yield from change.needs if change else ()
        elif (isinstance(record, Aid) and verb is Verb.PLACE) or (isinstance(record, Check) and verb is Verb.CHECK):
            yield from record.needs

    def _rules(self, verb: Verb, item: str) -> None:
        for number, rule in enumerate(self.plan.machine.rules):
            if isinstance(rule, Never) and (rule.act.verb, rule.act.item) == (verb, item):
                armed = all(self.is_(s.item) is s.disturbed for s in rule.while_)
                if armed and not any(self.is_(s.item) is s.disturbed for s in rule.unless):
                    self.say("rule-broken", rule.while_[0].item if rule.while_ else item, number, about="each")
            elif isinstance(rule, Before) and (rule.act.verb, rule.act.item) == (verb, item):
                for state in rule.need:
                    self._need(state, "rule-broken", (number, state))
            elif isinstance(rule, After) and number in self.owed and _is(rule.before, verb, item):
                self.say("rule-broken", rule.must.item, number, about="each")

    def _in_service(self, item: str) -> bool:
        if not self.is_(item, own=True):
            return True
        if isinstance(self.items[item], Fastener):
            holders = self._holders(item)
            return bool(holders) and all(self.is_(holder) for holder in holders)
        return isinstance(self.items[item], Line) and any(self.is_(owner) for owner in self._owners(item))

    def _cover(self, cover: str, fitted: str) -> None:
        for hidden in self._hidden_by(cover):
            if hidden == fitted:
                continue
            if not self._in_service(hidden) and hidden not in self.leaves:
                self.say("covered-early", hidden, value=False)
            self._vital(hidden)

    def _vital(self, item: str) -> None:
        record = self.items[item]
        if isinstance(record, Component) and record.vital and item in self.unchecked and not self.is_(item, own=True):
            self.say("vital-unchecked", item, about=f"unchecked {item}", value=False)

    def _bring_back(self, verb: Verb, item: str) -> None:
        record = self.items.get(item)
        first: list[str] = []
        if verb is Verb.RESTORE:
            first = [n for n, i in self.items.items() if item in getattr(i, "exposed_to", ())]
        elif verb is Verb.FILL:
            first = [
                n for n, i in self.items.items() if item in (*getattr(i, "wet_with", ()), *getattr(i, "carries", ()))
            ]
        for name, energy in self.items.items():
            back = isinstance(energy, Energy) and any((a.verb, a.item) == (verb, item) for a in energy.back_by)
            if back and self.is_(name):
                first += [n for n, i in self.items.items() if name in getattr(i, "exposed_to", ())]
        for each in first:
            if self.is_(each, own=True):
                self.say("restored-early", each, value=False)
        if verb is Verb.TIGHTEN and isinstance(record, Fastener):
            holders = self._holders(item)
            if holders and all(self.is_(holder) for holder in holders):
                self.say("already-so", holders[0], about="each")
        if verb is Verb.CONNECT:
            for owner in self._owners(item):
                if self.is_(owner):
                    self.say("already-so", owner, about="each")

    def _do(self, verb: Verb, item: str) -> None:
        record = self.items.get(item)
        if verb in DISTURBS or verb in RESTORES:
            self._change(verb, item)
        if verb is Verb.CHECK and isinstance(record, Check):
            self._set(item, True)
            for each in record.of:
                self.unchecked.discard(each)
                self._changed(f"unchecked {each}")
        for name, other in self.items.items():
            acts = other.lost_by if isinstance(other, MachineCondition) else getattr(other, "back_by", ())
            if any((act.verb, act.item) == (verb, item) for act in acts):
                self._set(name, False)
        self._demand(verb, item)

    def _change(self, verb: Verb, item: str) -> None:
        record = self.items.get(item)
        self._set(item, verb in DISTURBS)
        fasteners = record.held_by if isinstance(record, Component | Line) else ()
        touched = {item, *self._holders(item)}
        for fastener in fasteners:
            self._set(fastener, True)
            touched |= set(self._holders(fastener))
        for each in touched:
            for name, check in self.items.items():
                if isinstance(check, Check) and each in check.of:
                    self._set(name, False)
            if getattr(self.items.get(each), "vital", False):
                self.unchecked.add(each)
                self._changed(f"unchecked {each}")
        if verb in DISTURBS:
            self.used |= {(item, part) for part in self._parts(item)}

    def _demand(self, verb: Verb, item: str) -> None:
        for number, rule in enumerate(self.plan.machine.rules):
            if isinstance(rule, After):
                if (rule.act.verb, rule.act.item) == (verb, item):
                    self.owed.add(number)
                elif (verb, item) in ((rule.must.verb, rule.must.item), (OPPOSITE.get(rule.act.verb), rule.act.item)):
                    self.owed.discard(number)

    def _end(self) -> None:
        self.left = {state for state in self.plan.procedure.leaves if self.is_(state.item) is state.disturbed}
        for name, item in self.items.items():
            if name in self.leaves:
                continue
            must = isinstance(item, Component | Fastener | Line | Fluid | Aid) or getattr(item, "is_supplied", False)
            if must and not self._in_service(name):
                self.say("left-undone", name, value=False)
            if isinstance(item, Component | Line):
                self._seals(name)
            self._vital(name)
        for number, rule in enumerate(self.plan.machine.rules):
            if isinstance(rule, After) and rule.before is None and number in self.owed:
                self.say("rule-broken", rule.must.item, number, about="each")
