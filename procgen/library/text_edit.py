"""Small changes to lines of text, and where what follows them was written before."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from procgen.library.yaml_tree import Spot


@dataclass(frozen=True, slots=True)
class Edit:
    """Puts `new` in place of the characters `start` to `end` of a line."""

    line: int
    """From 0."""
    start: int
    """From 0; the first character that goes."""
    end: int
    """From 0; the first character that stays."""
    new: str

    def on(self, text: str) -> str:
        """The line with this change made."""
        return text[: self.start] + self.new + text[self.end :]

    def before(self, spot: Spot) -> Spot:
        """Where what stands at `spot` now was written before; what is new stood where the change begins."""
        line, column = spot
        if line != self.line + 1 or column <= self.start + 1:
            return spot
        grown = len(self.new) - (self.end - self.start)
        return (line, max(self.start + 1, column - grown))


def edited(lines: Sequence[str], edits: Iterable[Edit]) -> list[str]:
    """The lines with all changes made, one after the other."""
    changed = list(lines)
    for edit in edits:
        changed[edit.line] = edit.on(changed[edit.line])
    return changed


def written_at(spot: Spot, edits: Sequence[Edit]) -> Spot:
    """Where the author wrote what stands at `spot` after all of `edits`."""
    for edit in reversed(edits):
        spot = edit.before(spot)
    return spot
