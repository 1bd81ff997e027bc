"""Makes text of a log safe to stand in Markdown, where it could load pictures or change the page (layer: wording)."""

from __future__ import annotations

import re


def esc(text: object) -> str:
    """Text as it reads, with every sign that Markdown could act on written as an entity.

    Parameters
    ----------
    text : object
        Anything a client, a coach or a file can have written; turned to text first.

    Returns
    -------
    str
        The same characters on the screen; letters, digits and blanks are left alone.

    Examples
    --------
    >>> esc("a*b")
    'a&#42;b'
    """
    return re.sub(r"[^\w\s]|_", lambda sign: f"&#{ord(sign[0])};", str(text)).strip()
