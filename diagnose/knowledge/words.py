"""The format of the rule base in one table: keys of each kind of entry, and the closed lists of words.

The words that a family of plants is described with are knowledge themselves (terms.yaml); here are those of any plant.
Reader, skeletons, messages and documentation all go by what stands here.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from diagnose.model.result import CauseKind, Effort, Grade, Urgency

__all__ = [
    "ADVICE_KEYS", "ATOM_KINDS", "CAUSE_KEYS", "CAUSE_KINDS", "CONDITION_KEYS", "DRY_OUT", "EFFORTS", "EVENTS",
    "EXAMPLE_KEYS", "FILE_KEYS", "FOLDER_OF_KIND", "GROUP_KEYS", "HEMISPHERES", "LOGGED_EVENTS", "NEED_UNITS",
    "PLACES", "PLANT_KEYS", "QUESTION_KEYS", "SCALE_LIMITS", "SCALE_WORDS", "SEASONS", "SHIFT_KEYS", "SHOWS_KEYS",
    "SIGN_KEYS", "SOURCE_KINDS", "TERM_KINDS", "UNIT_WORDS", "URGENCIES",
]

SEASONS: Final = ("spring", "summer", "autumn", "winter")
PLACES: Final = ("indoors", "outdoors", "greenhouse")
HEMISPHERES: Final = ("north", "south")
LOGGED_EVENTS: Final = ("arrive", "water", "flush", "refill", "feed", "soak", "repot", "move", "treat", "cut", "weigh",
                        "stage", "seen")
EVENTS: Final = (*LOGGED_EVENTS, "outdoors_start", "brought_in", "pruned_roots", "travel")
DRY_OUT: Final = ("never", "slightly", "between", "fully")
CAUSE_KINDS: Final[tuple[CauseKind, ...]] = ("care", "climate", "nutrition", "pest", "disease", "handling", "normal")
FOLDER_OF_KIND: Final[Mapping[CauseKind, str]] = {  # where the skeleton of a cause goes; it may be moved
    "care": "water", "climate": "climate", "nutrition": "nutrition", "pest": "pests", "disease": "disease",
    "handling": "handling", "normal": "normal",
}
URGENCIES: Final[tuple[Urgency, ...]] = ("today", "this week", "soon", "none")
GRADES: Final[tuple[Grade, ...]] = ("very likely", "likely", "possible", "unlikely")
EFFORTS: Final[tuple[Effort, ...]] = ("look", "touch", "lift", "unpot", "cut")
TERM_KINDS: Final = ("stage", "medium", "size", "trait")  # kinds of tests whose words stand in terms.yaml
ATOM_KINDS: Final = ("sign", "stage", "group", "trait", "medium", "size", "season", "place", "reservoir",
                     "condition", "habit", "suspected")

# kinds of sources, and the rank of what rests on them, strongest first
SOURCE_KINDS: Final[Mapping[str, str]] = {
    "extension": "published authority", "handbook": "published authority", "paper": "published authority",
    "garden": "published authority", "society": "published authority", "regulator": "published authority",
    "vet": "published authority", "trade": "trade", "q_and_a": "question and answer",
}
# how a unit is written after a figure that is filled into advice, and the unit of each need by a part of its name
UNIT_WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    "%": ("%", "percent"), "C": ("°C", "C"), "ppm N": ("ppm",), "count": ("times", "feeds"), "lux": ("lux",),
}
NEED_UNITS: Final[Mapping[str, str]] = {
    "_c": "C", "_pct": "%", "_lux": "lux", "_days": "days", "_ppm_n": "ppm N", "_weeks": "weeks", "_months": "months",
}

PLANT_KEYS: Final = ("group", "stage", "medium", "size", "season", "place", "reservoir")

# the constants of scales.yaml with their limits: shares, bits, questions, and figures of their own
CONSTANT_LIMITS: Final[Mapping[str, tuple[float, float]]] = {
    "misread": (0, 0.99), "misread_unsure": (0, 0.99), "asked_about": (0, 1), "complaint": (0, 0.99),
    "implied_share": (0, 1), "damping_from": (1, 100), "damping_power": (0, 2), "companion_from": (0, 1),
    "least_listed": (0, 1), "decided_from": (0, 1), "decided_lead": (0, 1000), "nothing_fits_from": (0, 1),
    "misfit_from": (-10, 10), "misfit_expected": (0, 1), "misfit_unaccounted": (0, 10),
    "misfit_spread_bits": (0.01, 100), "misfit_weight": (0, 10), "worth_asking_bits": (0, 10),
    "most_questions": (1, 100), "most_asked_back": (0, 100), "stop_from": (0, 1), "told_effort": (0.1, 100),
    "kind_first_bits": (0, 10), "destructive_from": (0, 1), "misanswered": (0, 0.99),
}
# the scales of scales.yaml, each with the words that the program itself goes by, and the limits of their numbers
SCALE_WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    "how_often": (), "how_much_decibans": ("strongly", "rules out"), "how_common": (), "background": (),
    "urgency": URGENCIES, "effort": EFFORTS, "grade": GRADES,
    "constants": tuple(CONSTANT_LIMITS),
}
SCALE_LIMITS: Final[Mapping[str, tuple[float, float]]] = {
    "how_often": (0.0001, 0.9999), "how_common": (0.0001, 0.9999), "background": (0.0001, 0.9999), "effort": (0.1, 100),
    "how_much_decibans": (0, 100), "urgency": (0, 1000), "grade": (0, 1),
}
# files that hold lists: the keys at their top, needed and optional
FILE_KEYS: Final[Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]]] = {
    "signs": (("part", "signs"), ("questions",)), "conditions": (("conditions",), ()), "measures": (("measures",), ()),
    "habits": (("habits",), ()), "sources": (("sources",), ()), "cautions": (("cautions",), ()),
}
CAUSE_KEYS: Final = ("cause", "name", "also_called", "kind", "story", "how_common", "urgency", "spreads",
                     "look_alikes", "shows", "favoured_by", "spoken_against_by", "ruled_out_by", "settle", "advice",
                     "recovers", "look_again_days", "cautions", "examples")
SHOWS_KEYS: Final = (("sign", "how_often", "why", "from"), ("when",))
SHIFT_KEYS: Final = (("when", "how_much", "why", "from"), ())
ADVICE_KEYS: Final = (("from",), ("do", "do_not", "otherwise", "when"))
EXAMPLE_KEYS: Final = ((), ("wins", "loses_to", "signs", "absent", "plant", "conditions"))
SIGN_KEYS: Final = (("sign", "name", "meaning", "background", "words"), ("implies", "not_words", "words_alone",
                                                                               "passing", "yields_to"))
QUESTION_KEYS: Final = (("question", "ask", "effort", "answers"), ("how", "several"))
CONDITION_KEYS: Final = (("condition", "name", "why", "from"), ("any", "when"))
GROUP_KEYS: Final = (("group", "name", "traits", "needs", "dry_out", "rest", "rest_season", "bloom_season", "names"),
                     ("note",))
