"""When to stop and see a clinician, in plain words; nothing here is scored (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence

ANYWHERE = (
    "Sharp, catching or giving-way pain, a joint that locks or cannot bear weight, a deformity or a real blow.",
    "A joint that swells, or is hot and red; fever or feeling unwell with the pain.",
    "Pain at night that no position eases; pain out of all proportion.",
    "New numbness, pins and needles or weakness.",
    "Unexplained weight loss, a lump that grows, or a history of cancer with new pain that does not let up.",
)
BY_REGION: dict[str, tuple[str, ...]] = {
    "low back": (
        "Numbness of the seat, new trouble with bladder, bowel or sex, signs in both legs or growing weakness:"
        " an emergency, today.",
    ),
    "neck": (
        "Dizziness, double vision, drop attacks, trouble speaking or swallowing, unsteady walking, clumsy hands, or"
        " a sudden severe headache.",
    ),
    "arm": (
        "Sudden loss of lifting the arm, a pop with a bruise, a visible deformity.",
        "Chest pressure, breathlessness, sweating, or arm, jaw or shoulder pain that comes with effort: an emergency.",
    ),
    "knee or ankle": (
        "A locked knee, swelling within two hours, a pop with giving way, or fewer than four steps possible.",
    ),
    "lower leg": (
        "One calf or leg that is swollen and warm, above all after travel, surgery or rest; with breathlessness an"
        " emergency.",
        "A tense, painful shin with numbness.",
    ),
    "hip or groin": (
        "Pain on bearing weight together with pain at night; in the young a limp with hip or knee pain.",
    ),
}
GROUP_OF = {
    "low back": ("low back",),
    "pelvis": ("low back", "hip or groin"),
    "neck": ("neck",),
    "head or jaw": ("neck", "arm"),
    "upper back": ("neck", "arm"),
    "ribs": ("arm",),
    "shoulder": ("arm",),
    "upper arm": ("arm",),
    "elbow": ("arm",),
    "wrist": ("arm",),
    "hand": ("arm",),
    "hip": ("hip or groin",),
    "groin": ("hip or groin",),
    "thigh": ("hip or groin", "lower leg"),
    "knee": ("knee or ankle", "lower leg"),
    "lower leg": ("lower leg",),
    "ankle": ("knee or ankle", "lower leg"),
    "foot": ("knee or ankle", "lower leg"),
}
"""Region of sites.csv to the signs that go with it."""
DEFER = (
    "These are common signs, not a complete list, and nothing here scores them. A clinician's limits and local rules"
    " come before anything on this page."
)
DURING_A_SESSION = (
    "Sharp, catching or giving-way pain: stop that exercise for today.",
    "One painful set: stop it, wait one to three minutes; only if it is back to where it was, one set lighter, shorter"
    " or slower. No set just to test it again.",
    "A second painful set: leave that movement for today and train elsewhere.",
    "Ask next morning, and log it: a step up waits for that.",
)
"""Common practice."""


def stop_signs(region: str | None) -> Sequence[str]:
    """Signs for anywhere, then those of the client's main region."""
    groups = GROUP_OF.get(region or "", ())
    return (*ANYWHERE, *(sign for group in groups for sign in BY_REGION[group]))
