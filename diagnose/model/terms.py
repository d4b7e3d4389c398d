"""The words that a family of plants is described with: its stages, media, sizes, traits and needs."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.frozen import frozen

__all__ = ["PlantTerms"]


@frozen
class PlantTerms:
    """Everything of knowledge/terms.yaml, each list in the order of the file.

    ``plants`` says what plants the rule base is about. The unit of a need is in its name; every group has every need
    but those of ``needs_if_known``.
    """

    plants: str
    stages: tuple[str, ...]
    media: tuple[str, ...]
    sizes: tuple[str, ...]
    traits: tuple[str, ...]
    needs: tuple[str, ...]
    needs_if_known: tuple[str, ...] = ()

    @property
    def by_kind(self) -> Mapping[str, tuple[str, ...]]:
        """The lists by the kind of thing that rules name with their words."""
        return {"stage": self.stages, "medium": self.media, "size": self.sizes, "trait": self.traits,
                "need": self.needs, "need if known": self.needs_if_known}
