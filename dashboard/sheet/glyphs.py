"""Text as the fonts of the page can draw it; what they cannot is replaced and counted (layer: sheet)."""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from functools import cache
from pathlib import Path

FONTS = Path(__file__).parent / "fonts"
FAMILIES = ("Source Sans Pro", "Noto Sans Arabic", "Noto Sans Hebrew", "Droid Sans Fallback")
STAND_IN = "☐"
_BLANKS = re.compile(r"\s+")
_TURNS = re.compile("[\u061c\u200b\u200e\u200f\u202a-\u202e\u2060-\u2064\u2066-\u2069\ufeff]")
"""Signs without a shape that turn or hide what follows them."""
_DRESSING = re.compile("[\ufe00-\ufe0f\U0001f3fb-\U0001f3ff\U000e0100-\U000e01ef]|\u200d")
"""Signs that only dress the one before: a family of five is one stand-in, not five and four joiners."""


@cache
def _ranges() -> tuple[tuple[int, ...], tuple[int, ...]]:
    """First and last code points of the ranges that can be drawn."""
    lines = (FONTS / "covered.txt").read_text(encoding="ascii").split()
    ends = [tuple(int(end, 16) for end in line.split("-")) for line in lines]
    return tuple(one[0] for one in ends), tuple(one[-1] for one in ends)


def is_covered(sign: str) -> bool:
    """Whether one of the fonts has a shape for this sign."""
    firsts, lasts = _ranges()
    at = bisect_right(firsts, ord(sign)) - 1
    return at >= 0 and ord(sign) <= lasts[at]


class Drawable:
    """Makes texts drawable and counts the signs that had to be replaced.

    Attributes
    ----------
    n_replaced : int
        Signs replaced or taken out so far.
    """

    def __init__(self) -> None:
        self.n_replaced = 0

    def text(self, text: str) -> str:
        """The text on one line, in composed form, with a stand-in for each sign that no font has.

        Parameters
        ----------
        text : str
            Anything somebody can have typed.
        """
        return self._drawn(_BLANKS.sub(" ", text).strip())

    def drawing(self, svg: str) -> str:
        """The same for the text in a drawing; its markup is plain ASCII and stays as it is."""
        return self._drawn(svg)

    def _drawn(self, text: str) -> str:
        composed = unicodedata.normalize("NFC", text)
        straight = _TURNS.sub("", composed)
        self.n_replaced += len(composed) - len(straight)
        plain = _DRESSING.sub("", straight)
        unknown = {sign for sign in set(plain) if sign not in "\n\t" and not is_covered(sign)}
        for sign in unknown:
            self.n_replaced += plain.count(sign)
            plain = plain.replace(sign, STAND_IN)
        return plain
