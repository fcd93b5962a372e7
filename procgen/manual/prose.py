"""The author's text as HTML: CommonMark without raw HTML, names in braces turned into links.

Names are put in after the Markdown is read, on its tokens: a title or a figure is text there, whatever characters it
has, and what stands in code stays code.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from urllib.parse import urlsplit

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup

from procgen.library.references import Reference, pieces
from procgen.plan.naming import in_sentence


@dataclass(frozen=True, slots=True)
class Referent:
    """What a name in braces stands for."""

    text: str
    href: str
    """Empty where there is nothing to go to."""
    is_common_noun: bool = False
    """Begins with a small letter inside a sentence."""


Resolve = Callable[[Reference], Referent | None]
"""Tells what a name stands for; None where it is known nowhere."""

_SAFE_SCHEMES = frozenset({"http", "https", "mailto"})


def is_safe_link(url: str) -> bool:
    """Whether a link in a text may be a link: http, https and mailto only. A page of the manual is named in braces."""
    try:
        parts = urlsplit(url.strip())
    except ValueError:
        return False
    return parts.scheme.lower() in _SAFE_SCHEMES and (parts.scheme == "mailto" or bool(parts.netloc))


def _reader() -> MarkdownIt:
    reader = MarkdownIt("commonmark", {"html": False})
    # Pictures are figures, with a file that is checked and an alternative text. A picture from elsewhere would be a
    # request that leaves the folder.
    reader.disable("image")
    reader.validateLink = is_safe_link  # type: ignore[method-assign]
    return reader


_READER = _reader()


def block(text: str, resolve: Resolve) -> Markup:
    """The text as paragraphs, lists and so on."""
    tokens = _READER.parse(text)
    for token in tokens:
        if token.type in ("heading_open", "heading_close"):
            # The page has its own order of headings.
            token.tag = "p"
            if token.nesting == 1:
                token.attrSet("class", "subhead")
        token.children = list(_named(token.children, resolve)) if token.children else token.children
    return _html(tokens)


def line(text: str, resolve: Resolve) -> Markup:
    """The text in one line, without paragraphs."""
    tokens = _READER.parseInline(text)
    for token in tokens:
        token.children = list(_named(token.children or [], resolve))
    return _html(tokens)


def plain(text: str, resolve: Resolve) -> str:
    """The words alone, in one line."""
    words: list[str] = []
    for token in _READER.parse(text):
        if token.type in ("fence", "code_block"):
            words.append(token.content)
        words.extend(_plain_child(child) for child in _named(token.children or [], resolve))
        words.append(" ")
    return " ".join("".join(words).split())


def _plain_child(token: Token) -> str:
    return " " if token.type in ("softbreak", "hardbreak") else token.content


def _html(tokens: list[Token]) -> Markup:
    # Safe: raw HTML is off, the renderer escapes every text and attribute, and links are validated.
    return Markup(_READER.renderer.render(tokens, _READER.options, {}).strip())  # noqa: S704 - argued above


def _named(children: list[Token], resolve: Resolve) -> Iterator[Token]:
    depth = 0
    before = ""
    for token in children:
        if token.type == "link_open":
            depth += 1
            token.attrSet("rel", "external noreferrer")
        elif token.type == "link_close":
            depth -= 1
        if token.type == "text":
            for piece in pieces(token.content):
                yield from _piece(piece, resolve, in_link=depth > 0, starts=_starts_sentence(before))
                before = piece if isinstance(piece, str) else piece.name
        else:
            yield token
            before = token.content or before


def _starts_sentence(before: str) -> bool:
    return not before.strip() or before.rstrip().endswith((".", "!", "?", ":"))


def _cased(referent: Referent, *, starts: bool) -> str:
    """The title as it stands there: "the coolant pump", but "No. 1 marks"."""
    return in_sentence(referent.text) if referent.is_common_noun and not starts else referent.text


def _piece(piece: str | Reference, resolve: Resolve, *, in_link: bool, starts: bool) -> Iterator[Token]:
    if isinstance(piece, str):
        yield _text(piece)
        return
    referent = resolve(piece)
    if referent is None:
        yield Token("unknown_open", "span", 1, attrs={"class": "unknown"})
        yield _text("{" + piece.name + (f".{piece.value}" if piece.value else "") + "}")
        yield Token("unknown_close", "span", -1)
    elif referent.href and not in_link:
        yield Token("link_open", "a", 1, attrs={"href": referent.href})
        yield _text(_cased(referent, starts=starts))
        yield Token("link_close", "a", -1)
    else:
        yield _text(_cased(referent, starts=starts))


def _text(content: str) -> Token:
    return Token("text", "", 0, content=content)
