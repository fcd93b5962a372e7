"""A procedure as wide as they come: many steps, options and inspections, tangled over a dozen components."""

OPTIONS = 8
INSPECTIONS = 12


def machine(components: int = 12) -> str:
    """A row of components, each behind the one before it, in groups of four."""
    lines = ["machine: wide", "components:"]
    for number in range(components):
        front = f", behind: [c{number - 1}]" if number % 4 else ""
        vital = "true" if number % 5 == 0 else "false"
        lines.append(f"  c{number}: {{held-by: [b{number}], lines: [h{number}], vital: {vital}{front}}}")
    lines += ["fasteners:", *(f"  b{n}: {{torque: 22 N·m}}" for n in range(components))]
    lines += ["lines:", *(f"  h{n}: {{kind: hose}}" for n in range(components))]
    lines += ["checks:", "  looked-at: {of: [c0, c5, c10]}"]
    lines += ["conditions:", "  marked: {lost-by: turn c0}"]
    lines += ["rules:", "  - {never: turn c0, while: c3 off, unless: marked}"]
    return "\n".join(lines) + "\n"


def procedure(options: int = OPTIONS, inspections: int = INSPECTIONS) -> str:
    """Groups that are opened and closed under options, with inspections that take things off where they fail."""
    lines = ["procedure: wide", "machine: wide", "options:"]
    lines += [f"  o{number}: {{ask: Number {number}?}}" for number in range(options)]
    lines += ["steps:"]
    for number in range(inspections):
        component, option = f"c{number % 12}", f"o{number % options}"
        lines += [
            f"  - {{open: {component}, when: {option}}}",
            f"  - open: {component}",
            f"  - inspect: {component}",
            "    accept: Good.",
            "    reject:",
            f"      - remove: {component}",
            f"      - clean: {component}",
            f"      - fit: {component}",
            f"  - {{mark: {component}, sets: marked, when: not {option}}}",
            "  - {turn: c0, when: o0 or not o1}",
            "  - check: looked-at",
            f"  - close: {component}",
            f"  - {{close: {component}, when: {option}}}",
        ]
    return "\n".join(lines) + "\n"
