"""What a page is: a path and its bytes, which are made when somebody asks for them."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial


@dataclass(frozen=True, slots=True)
class Page:
    """One file of the manual."""

    path: str
    """Relative to the manual's folder, with forward slashes; no two differ only in capitals."""
    content: bytes | str | Callable[[], bytes | str]
    """Text is written as UTF-8 with line feeds."""
    made_from: str = ""
    """A name for all that the content is made from (see basis.py); empty where nobody keeps account."""

    @property
    def data(self) -> bytes:
        """The bytes of the file."""
        content = self.content() if callable(self.content) else self.content
        return content if isinstance(content, bytes) else content.encode("utf-8")


def made_together(paths: Iterable[str], make: Callable[[], Iterable[Page]], made_from: str) -> Iterator[Page]:
    """Pages that are made in one go, when the first of them is asked for; each is given out once and then let go.

    paths: those of the pages that `make` gives.
    """
    waiting: dict[str, bytes] = {}

    def take(path: str) -> bytes:
        if path not in waiting:
            waiting.update((page.path, page.data) for page in make())
        return waiting.pop(path)

    for path in paths:
        yield Page(path, partial(take, path), made_from)
