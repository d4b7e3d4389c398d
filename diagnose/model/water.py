"""What the rule base says about water in pots: how much media hold, how far they may dry, how fast pots lose it."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.frozen import frozen
from diagnose.problems import Where

__all__ = ["GroupWater", "LossRules", "MediumWater", "WaterRules"]


@frozen
class MediumWater:
    """Water of a medium, as shares of its volume: ``holds_share`` drained, ``keeps_share`` out of the roots' reach."""

    medium: str
    holds_share: float
    keeps_share: float
    sources: tuple[str, ...]
    where: Where

    @property
    def usable_share(self) -> float:
        """What roots can draw on between drained and bone-dry (the total available water of FAO-56, equation 82)."""
        return self.holds_share - self.keeps_share


@frozen
class LossRules:
    """How pots lose water, and how far what growers log can be trusted.

    ``usual_pot_ml`` and ``moderate_kpa``: the pot and the drying power of the air for which a group's usual gap is
    meant. ``size_power``: the loss grows with the volume to this power. ``light_share``: by how much of itself the loss
    changes where the day's light is double the usual. ``straight_to_kpa``: above it the loss is no longer known to be
    proportional. ``still_wet_share``: used up to this share of its water a pot counts as not drained. ``recent_days``:
    what comes next is reckoned from these. Spreads are standard deviations of natural logarithms (``prior_spread``,
    ``capacity_spread``, ``poured_spread``) or shares of the amount or of the capacity (``amount_noise``,
    ``level_noise``); ``scale_noise_g`` is that of a weighing in grams. ``sure_if_learned`` and ``sure_if_usual`` say
    how certain measures are that rest on a learned and on the usual rate. What is said to lie between two figures lies
    within ``stated_spreads`` standard deviations.
    """

    usual_pot_ml: float
    moderate_kpa: float
    size_power: float
    light_share: float
    straight_to_kpa: float
    still_wet_share: float
    recent_days: float
    prior_spread: float
    capacity_spread: float
    poured_spread: float
    amount_noise: float
    level_noise: float
    scale_noise_g: float
    sure_if_learned: float
    sure_if_usual: float
    stated_spreads: float


@frozen
class WaterRules:
    """Everything of knowledge/media.yaml: media by id, the one for which the groups' usual gaps are meant, the share of
    its water that a pot may use up by how far a group lets it dry out, the share of its usual loss that a plant shows
    in a stage (1 where none is given), and the rules of loss. ``sources`` are all that the file cites."""

    media: Mapping[str, MediumWater]
    usual_medium: str
    may_use: Mapping[str, float]
    stage_share: Mapping[str, float]
    loss: LossRules
    sources: tuple[str, ...] = ()

    def for_group(self, dry_out: str) -> GroupWater:
        """The rules for a group that lets the medium dry so far. Raises KeyError for an unknown word."""
        return GroupWater(self, self.may_use[dry_out])


@frozen
class GroupWater:
    """The rules for a plant of one group: ``may_use_share`` of the usable water may go before it must be watered."""

    rules: WaterRules
    may_use_share: float
