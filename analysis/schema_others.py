"""The columns of the optional files beside sets.csv (layer: schema)."""

from __future__ import annotations

from analysis.schema_terms import (
    CLIENT,
    LOAD_BASIS,
    SESSION,
    UNIT,
    Table,
    choice,
    day,
    note,
    number,
    score,
    text,
    whole,
    yes_no,
)

REGIONS: tuple[str, ...] = (
    "ankle",
    "elbow",
    "foot",
    "groin",
    "hand",
    "head or jaw",
    "hip",
    "knee",
    "low back",
    "lower leg",
    "neck",
    "pelvis",
    "ribs",
    "shoulder",
    "thigh",
    "upper arm",
    "upper back",
    "wrist",
    "other",
)

_EXERCISE = text("exercise", "Name of the exercise, spelled as in sets.csv.", required=True)
_ORDER = whole("order", "Place in the order, from 1.", 1, 1000, required=True)

CLIENTS = Table(
    name="clients",
    meaning="One row is one client and how their log is read.",
    key=("client",),
    sort=("client",),
    columns=(
        CLIENT,
        choice("unit", "Unit the client's loads are shown in.", "kg", "lb"),
        whole("pain_level", "Pain that counts for this client; blank is 2.", 1, 5, unit="0-10"),
        score("limit_during", "Highest pain agreed on during a set."),
        score("limit_after", "Highest pain agreed on after a session."),
        score("limit_next_morning", "Highest pain agreed on next morning."),
        number("bodyweight_kg", "Bodyweight.", 20, 400, unit="kg"),
        day("started", "First day with this coach."),
        note("goal", "What the client wants to do again."),
        choice(
            "irritability",
            "How easily the joint is stirred up and how long it takes to settle.",
            "low",
            "moderate",
            "high",
        ),
        yes_no("consent", "Whether the client agreed to these records being kept."),
        note("note", "Anything else about the client."),
    ),
)

SITES = Table(
    name="sites",
    meaning="One row is one painful place of a client.",
    key=("client", "site"),
    sort=("client", "site"),
    columns=(
        CLIENT,
        text("site", "Name of the place, such as 'front of knee'.", required=True),
        choice("region", "Part of the body.", *REGIONS, required=True),
        choice("side", "Side of the body that hurts.", "left", "right", "both", "midline"),
        yes_no("main", "Whether the pain columns of sets.csv are about this place; one per client."),
    ),
)

PAINS = Table(
    name="pains",
    meaning="One row is the pain of a further site during one set.",
    key=("client", "date", "session", "set", "site", "side"),
    sort=("client", "date", "session", "set", "site", "side"),
    columns=(
        CLIENT,
        day("date", "Day of the session.", required=True),
        SESSION,
        whole("set", "Number of the set in that session.", 1, 500, required=True),
        text("site", "Name of the place, spelled as in sites.csv.", required=True),
        choice("side", "Side of the body that was asked.", "left", "right", "midline", required=True),
        score("pain", "Worst joint pain there during the set.", required=True),
    ),
)

SESSIONS = Table(
    name="sessions",
    meaning="One row is one session.",
    key=("client", "date", "session"),
    sort=("client", "date", "session"),
    columns=(
        CLIENT,
        day("date", "Day of the session.", required=True),
        SESSION,
        score("pain_on_arrival", "Joint pain of the main site on arrival."),
        score("pain_after", "Joint pain of the main site right after the session."),
        number("minutes", "Length of the session.", 0, 1440, unit="min"),
        number("session_rpe", "Effort of the whole session.", 0, 10, unit="0-10"),
        note("note", "Anything else about the session."),
    ),
)

DAYS = Table(
    name="days",
    meaning="One row is one day of a client, for one site where several are followed.",
    key=("client", "date", "site"),
    sort=("client", "date", "site"),
    columns=(
        CLIENT,
        day("date", "The day.", required=True),
        text("site", "Name of the place; blank is the main site."),
        score("pain_morning", "Joint pain on getting up."),
        score("pain_worst", "Worst joint pain of the day."),
        yes_no("night_pain", "Whether pain woke the client that night."),
        choice("swelling", "Swelling seen or felt.", "none", "slight", "clear"),
        number("stiffness_min", "Minutes of stiffness in the morning.", 0, 1440, unit="min"),
        score("muscle_soreness", "Soreness of muscles from earlier training, which is not joint pain."),
        yes_no("painkiller", "Whether a painkiller was taken that day."),
        text("activity", "Unusual activity of the day, such as a long descent.", max_length=200),
        note("note", "Anything else about the day."),
    ),
)

TASKS = Table(
    name="tasks",
    meaning="One row is how hard one everyday task was on one day.",
    key=("client", "date", "task"),
    sort=("client", "date", "task"),
    columns=(
        CLIENT,
        day("date", "The day.", required=True),
        text("task", "The client's own task, such as 'carry shopping upstairs'.", required=True),
        score("difficulty", "How hard it was, 10 is not possible.", required=True),
    ),
)

EVENTS = Table(
    name="events",
    meaning="One row is something that happened and may have mattered.",
    sort=("client", "date", "event"),
    columns=(
        CLIENT,
        day("date", "Day it happened or began.", required=True),
        choice(
            "event",
            "Kind of event.",
            "away",
            "flare",
            "illness",
            "injection",
            "clinician",
            "other",
            required=True,
        ),
        note("note", "Anything else about it."),
    ),
)

EXERCISES = Table(
    name="exercises",
    meaning="One row is one exercise and what it is for.",
    key=("exercise",),
    sort=("exercise",),
    columns=(
        _EXERCISE,
        choice("aim", "What it trains.", "mobility", "stability", "power", "strength", "endurance"),
        number("load_step", "Smallest step of the equipment.", 0.01, 100, unit="kg or lb"),
        UNIT,
        LOAD_BASIS,
    ),
)

VARIANTS = Table(
    name="variants",
    meaning="One row is one variant of an exercise, the easiest first.",
    key=("exercise", "variant"),
    sort=("exercise", "order"),
    columns=(
        _EXERCISE,
        _ORDER,
        text("variant", "Name of the variant, spelled as in sets.csv.", required=True),
    ),
)

RANGES = Table(
    name="ranges",
    meaning="One row is one named stop of an exercise, the shortest range first.",
    key=("exercise", "range_stop"),
    sort=("exercise", "order"),
    columns=(
        _EXERCISE,
        _ORDER,
        text("range_stop", "Name of the stop, spelled as in sets.csv.", required=True),
        number("rom_pct", "Range of motion at that stop, percent of the full range.", 0, 150, unit="%"),
    ),
)

LIMITS = Table(
    name="limits",
    meaning="One row is one limit that every proposal keeps to.",
    sort=("client", "exercise", "from"),
    columns=(
        CLIENT,
        text("exercise", "Name of the exercise; blank is every exercise."),
        number("max_load", "Heaviest load allowed.", 0, 1000, unit="kg or lb"),
        UNIT,
        text("max_range_stop", "Furthest stop allowed, spelled as in ranges.csv."),
        yes_no("leave_out", "Whether the exercise is left out altogether."),
        day("from", "First day of the limit; blank is from the start."),
        day("until", "Last day of the limit; blank is until further notice."),
        text("by", "Who set the limit, such as 'physiotherapist'."),
    ),
)

OTHER_TABLES: tuple[Table, ...] = (
    CLIENTS,
    SITES,
    PAINS,
    SESSIONS,
    DAYS,
    TASKS,
    EVENTS,
    EXERCISES,
    VARIANTS,
    RANGES,
    LIMITS,
)
