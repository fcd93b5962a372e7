"""What a finished page is: a path and its bytes."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Page:
    """One file of the manual."""

    path: str
    """Relative to the manual's folder, with forward slashes; no two differ only in capitals."""
    content: bytes | str
    """Text is written as UTF-8 with line feeds."""

    @property
    def data(self) -> bytes:
        """The bytes of the file."""
        return self.content if isinstance(self.content, bytes) else self.content.encode("utf-8")
