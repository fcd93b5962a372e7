"""A page as the watch serves it: with the strip, and with leave to ask for news. The file itself is never changed."""

import html
import re

OWN = "/-watch/"
"""Where the server keeps what is its own; no page of a manual has such a path."""
SCRIPT = f"{OWN}strip.js"
STYLE = f"{OWN}strip.css"
NEWS = f"{OWN}news"

_POLICY = re.compile(rb'(<meta http-equiv="Content-Security-Policy" content="[^"]*)"')
_END_OF_HEAD = b"</head>"


def with_strip(page: bytes, build: int) -> bytes:
    """The page with the strip's script. build: the latest at the time when the page was read.

    A page forbids every connection; here it may connect to the server it came from, and its policy is the same for the
    rest: scripts and styles from there are allowed to it anyway.
    """
    page = _POLICY.sub(_loosened, page, count=1)
    script = f'<script src="{SCRIPT}" data-build="{build}" data-style="{STYLE}" data-news="{NEWS}" defer></script>'
    before, end, after = page.partition(_END_OF_HEAD)
    return before + script.encode() + b"\n" + end + after


def _loosened(policy: re.Match[bytes]) -> bytes:
    return policy[0] if b"connect-src" in policy[1] else policy[1] + b"; connect-src 'self'\""


def missing_page(path: str, build: int) -> bytes:
    """What is shown for a page that is not in the manual; it follows the builds too, for the page may come."""
    policy = "default-src 'none'; style-src 'self'; script-src 'self'"
    page = (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<title>No such page</title>\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        f"</head>\n<body>\n<h1>No such page</h1>\n<p>The manual has no <code>{html.escape(path)}</code> now. "
        'As soon as it has, it is shown here.</p>\n<p><a href="/">To the front page</a></p>\n</body>\n</html>\n'
    )
    return with_strip(page.encode("utf-8"), build)
