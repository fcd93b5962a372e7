"""Lines of text in pieces, each with its style: what reports for a terminal are made of."""

import io


class Line:
    """A line of text in pieces, each with its style."""

    def __init__(self, *pieces: tuple[str, str]) -> None:
        """Make a line of (text, style) pieces."""
        self.pieces = pieces

    @property
    def plain(self) -> str:
        """The line without its styles."""
        return "".join(text for text, _ in self.pieces).rstrip()


def printed(lines: list[Line], *, colour: bool, width: int) -> str:
    """The lines as text; with `colour` it carries terminal colours. width: of the terminal, in characters."""
    if not colour:
        return "".join(f"{line.plain}\n" for line in lines)
    from rich.console import Console  # noqa: PLC0415 - rich costs 40 ms, and plain text needs none of it
    from rich.text import Text  # noqa: PLC0415

    stream = io.StringIO()
    console = Console(file=stream, force_terminal=True, width=max(width, 40), highlight=False, soft_wrap=True)
    for line in lines:
        console.print(Text.assemble(*line.pieces), end="\n")
    return stream.getvalue()
