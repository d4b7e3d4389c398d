"""What the rule base says about the desk itself: order of cases, outbreaks, the club's own record, wording."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.frozen import frozen

__all__ = ["ClubRules", "DeskRules", "OrderRules", "OutbreakRules", "PastedRules", "SimilarRules", "Wording"]


@frozen
class OrderRules:
    """What waiting costs. ``hurts`` gives for ids of causes and habits why people or pets could come to harm."""

    spreads_times: float
    hurts_times: float
    unread_cost: float
    state_share: Mapping[str, float]
    hurts: Mapping[str, str]


@frozen
class OutbreakRules:
    """When cases are called an outbreak: windows in days, least number of cases, and the largest p-value after
    dividing by the number of tests. ``book_cases`` is how many cases the book's frequency counts for."""

    kinds: tuple[str, ...]
    window_days: int
    history_days: int
    least_cases: int
    most_chance: float
    book_cases: float


@frozen
class ClubRules:
    """How the club's own outcomes move the frequencies: the book counts for ``book_cases`` cases; nothing is
    switched on with fewer than ``least_cases`` outcomes."""

    book_cases: float
    least_cases: int


@frozen
class SimilarRules:
    """Which earlier cases are shown: at least this alike (0 to 1), at most so many; ``same_group`` adds for kin."""

    least_alike: float
    most_shown: int
    same_group: float


@frozen
class DeskRules:
    """Everything of knowledge/triage.yaml."""

    order: OrderRules
    outbreak: OutbreakRules
    club: ClubRules
    similar: SimilarRules


@frozen
class PastedRules:
    """Words by which a pasted letter is split and its personal parts are found; all in small letters."""

    separators: tuple[str, ...]
    headers: tuple[str, ...]
    closings: tuple[str, ...]
    salutations: tuple[str, ...]
    introductions: tuple[str, ...]
    streets: tuple[str, ...]
    not_names: tuple[str, ...]
    titles: tuple[str, ...]
    relations: tuple[str, ...]


@frozen
class Wording:
    """Texts by their ids, each perhaps with {places} to fill."""

    texts: Mapping[str, str]

    def say(self, key: str, **values: object) -> str:
        """The text with its places filled. Raises KeyError for an unknown text or place."""
        return self.texts[key].format_map({name: str(value) for name, value in values.items()})
