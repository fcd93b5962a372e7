"""A short name for the content of a procedure, so that an outdated print is recognised.

It changes with every word, figure or name on the page that a reader works by, and with nothing else: not with the look,
not with where the files lie.
"""

import hashlib
import re

_SHORT = 8


def fingerprint(*texts: str) -> str:
    """Eight letters and digits in two groups, easy to compare by eye and by ear."""
    joined = "\n".join(re.sub(r"\s+", " ", text) for text in texts)
    name = hashlib.sha256(joined.encode("utf-8", "surrogatepass")).digest()
    # Without 0, 1, I, L, O and U: nothing that is read or heard for something else.
    letters = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
    number = int.from_bytes(name[:8], "big")
    digits: list[str] = []
    for _ in range(_SHORT):
        number, rest = divmod(number, len(letters))
        digits.append(letters[rest])
    return f"{''.join(digits[:4])}-{''.join(digits[4:])}"
