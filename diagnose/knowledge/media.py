"""Reads knowledge/media.yaml: the water that media hold, how far groups let them dry, and how pots lose water."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields
from typing import Final

from diagnose.knowledge import words
from diagnose.knowledge.entries import read_list
from diagnose.knowledge.form import Form
from diagnose.marked_yaml import Pairs
from diagnose.model.water import LossRules, MediumWater, WaterRules

__all__ = ["read_water"]

_LIMITS: Final = {  # what a number of the loss may be; all others lie between 0 and 1
    "usual_pot_ml": (10, 100_000), "moderate_kpa": (0.1, 5), "straight_to_kpa": (0.1, 10), "recent_days": (1, 90),
    "prior_spread": (0.01, 3), "stated_spreads": (0.5, 4), "scale_noise_g": (0.01, 1000),
}


def read_water(form: Form, root: Pairs) -> WaterRules:
    """The water rules of the file. Mistakes are noted on the form."""
    form.keys(root, ("media", "usual_medium", "may_use", "stage_share", "loss"), (), "media.yaml")
    cited: set[str] = set()
    media = {each.medium: each for each in read_list(form, root, "media", _medium)}
    for medium in form.ids["medium"]:
        if medium not in media and "media" in root:
            form.wrong(root.place("media"), "missing-key", f'Nothing is said of the medium "{medium}".')
    may_use = _numbers(form, root, "may_use", words.DRY_OUT, (), cited)
    stages = _numbers(form, root, "stage_share", (), form.ids["stage"], cited)
    loss = _numbers(form, root, "loss", tuple(field.name for field in fields(LossRules)), (), cited)
    cited |= {source for each in media.values() for source in each.sources}
    usual = form.choice(root, "usual_medium", form.ids["medium"], "")
    return WaterRules(media, usual, may_use, stages, LossRules(**loss), tuple(sorted(cited)))


def _medium(form: Form, pairs: Pairs) -> MediumWater:
    form.keys(pairs, ("medium", "holds_share", "keeps_share", "from"), (), "A medium")
    medium = form.choice(pairs, "medium", form.ids["medium"], "")
    found = MediumWater(medium, form.number(pairs, "holds_share", 0.01, 1, 0.3),
                        form.number(pairs, "keeps_share", 0, 1, 0), form.sources(pairs), pairs.where)
    if found.usable_share <= 0:
        form.wrong(pairs.where, "out-of-range", f'"{medium}" keeps more water than it holds.')
    return found


def _numbers(form: Form, root: Pairs, key: str, needed: Iterable[str], optional: Iterable[str], cited: set[str]
             ) -> dict[str, float]:
    """Numbers by name, each with its sources; a stand-in for each needed one that is not there."""
    needed = tuple(needed)
    block = form.block(root, key)
    form.keys(block, needed, optional, f'"{key}"')
    found = dict.fromkeys(needed, 1.0)
    for name, node in block.items():
        entry = form.pairs(node, block.where, name)
        form.keys(entry, ("value", "from"), (), f'"{name}"')
        low, high = _LIMITS.get(name, (0, 1))
        if name in found or name in optional:
            found[name] = form.number(entry, "value", low, high, low or 1.0)
        cited.update(form.sources(entry))
    return found
