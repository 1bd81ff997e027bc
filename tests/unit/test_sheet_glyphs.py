"""What the shipped fonts can draw is known, and everything else is replaced and counted."""

from __future__ import annotations

import pytest
from fontTools.ttLib import TTFont

from dashboard.sheet.glyphs import FAMILIES, FONTS, STAND_IN, Drawable, is_covered

DRAWN = {
    "markup": "#pagebreak() $x$ *a* _b_ <c> @d `e` \\ = f",
    "script": "</script><img src=x>",
    "accents": "Größe, naïve, Łódź, Ångström, őű, ț",
    "Greek": "Καλημέρα",
    "Cyrillic": "Приседание",
    "Arabic": "تمرين الركبة",
    "Hebrew": "כפיפת ברך",
    "Chinese": "深蹲左膝",
    "Japanese": "スクワット",
}
REPLACED = {
    "emoji": ("good 😀 day", f"good {STAND_IN} day", 1),
    "emoji of many parts": ("👨‍👩‍👧", STAND_IN * 3, 3),
    "control": ("a\x07b\x00c", f"a{STAND_IN}b{STAND_IN}c", 2),
    "a script without a font": ("스쿼트", STAND_IN * 3, 3),
    "turning": ("abc\u202edef", "abcdef", 1),
}


def covered_by(files: list[str]) -> list[int]:
    """Code points that the fonts have shapes for; of Latin fonts those that every weight has."""
    own = [set(TTFont(FONTS / name).getBestCmap()) for name in files]
    return sorted(set.intersection(*own))


def drawable_points() -> list[int]:
    names = sorted(path.name for path in FONTS.glob("*.ttf"))
    latin = [name for name in names if name.startswith("SourceSansPro")]
    found = set(covered_by(latin))
    for name in sorted(set(names) - set(latin)):
        found |= set(covered_by([name]))
    return sorted(point for point in found if point >= 0x20)


def as_ranges(points: list[int]) -> str:
    lines: list[str] = []
    first = last = points[0]
    for point in [*points[1:], -1]:
        if point == last + 1:
            last = point
            continue
        lines.append(f"{first:x}" if first == last else f"{first:x}-{last:x}")
        first = last = point
    return "\n".join(lines) + "\n"


def test_the_list_is_what_the_fonts_have() -> None:
    assert (FONTS / "covered.txt").read_text(encoding="ascii") == as_ranges(drawable_points())


def test_every_family_is_shipped_under_its_name() -> None:
    names = {TTFont(path)["name"].getBestFamilyName() for path in FONTS.glob("*.ttf")}
    assert names == set(FAMILIES)


@pytest.mark.parametrize("text", DRAWN.values(), ids=DRAWN.keys())
def test_text_stays(text: str) -> None:
    drawable = Drawable()
    assert drawable.text(text) == text
    assert drawable.n_replaced == 0


@pytest.mark.parametrize(("text", "drawn", "n"), REPLACED.values(), ids=REPLACED.keys())
def test_what_no_font_has_is_replaced_and_counted(text: str, drawn: str, n: int) -> None:
    drawable = Drawable()
    assert drawable.text(text) == drawn
    assert drawable.n_replaced == n


def test_lines_become_one_and_letters_are_composed() -> None:
    assert Drawable().text(" a\r\n\tb e\u0301 ") == "a b é"


def test_the_stand_in_itself_can_be_drawn() -> None:
    assert is_covered(STAND_IN)
    assert not is_covered("😀")


if __name__ == "__main__":
    (FONTS / "covered.txt").write_text(as_ranges(drawable_points()), encoding="ascii")
