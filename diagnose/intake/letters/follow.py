"""Follows a letter from plant to plant."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.intake.letters.plants import PlantKey, PlantTable
from diagnose.intake.letters.tries import all_found
from diagnose.intake.letters.view import View
from diagnose.intake.letters.words import group_of

__all__ = ["PlantFollower"]

_OTHER_REACH = 4
_CLOSE_REACH = 3


class PlantFollower:
    """Follows a letter from plant to plant. A group named for the first time is that of the plant asked about."""

    def __init__(self, table: PlantTable, joiners: frozenset[str]) -> None:
        self._table = table
        self._joiners = joiners
        self._current = PlantKey()
        self._main = PlantKey()
        self._aside = self._returned = False

    @property
    def main(self) -> PlantKey:
        """The plant that the letter began with."""
        return self._main

    @property
    def returned(self) -> bool:
        """Whether the letter sets the plant asked about against another one ("mine is not")."""
        return self._returned

    def follow(self, view: View) -> list[PlantKey]:
        """The plant that each word of a sentence is about."""
        table, count = self._table, len(view.words)
        named = dict(self._named(view))
        lasting = [self._start(view, found.start) for found in all_found(table.lasting, view.stems)]
        first = 0 if self._aside and view.words[0] in table.carries else min(lasting, default=count)
        self._aside = first < count
        back = {self._start(view, found.start) for found in all_found(table.own, view.stems)}
        self._returned = self._returned or bool(back)
        keys: list[PlantKey] = []
        for at in range(count):
            if at in back and self._current.beside:
                self._current = self._main
            if at in named:
                self._turn_to(*named[at])
            keys.append(self._current)
        asides = [self._start(view, found.start) for found in all_found(table.aside, view.stems)]
        for start in asides + ([first] if self._aside else []):
            end = count if start == first and self._aside else self._end(view, start)
            keys[start:end] = [PlantKey(key.group, True) for key in keys[start:end]]
        for start in self._strangers(view):
            end = self._end(view, start)
            keys[start:end] = [PlantKey(beside=True, stranger=True)] * (end - start)
        return keys

    def _strangers(self, view: View) -> Iterator[int]:
        """Where statements about plants of another kind begin, without those that only tell where the own one is."""
        for found in all_found(self._table.strangers, view.stems):
            if self._table.close.isdisjoint(view.words[max(0, found.start - _CLOSE_REACH) : found.start]):
                yield self._start(view, found.start)

    def _named(self, view: View) -> Iterator[tuple[int, tuple[str, bool]]]:
        """Where a group is named that is the only one of its clause, with whether it is called another plant."""
        others = [hit.end for hit in all_found(self._table.other, view.stems)]
        by_clause: dict[int, list[tuple[int, str]]] = {}
        for at, sense in enumerate(view.senses):
            names = [name for concept in sense.concepts if (name := group_of(concept))] if sense else []
            group = min(names, default="")
            if group:
                by_clause.setdefault(view.clauses[at], []).append((at, group))
        for clause, found in by_clause.items():
            if len({group for _, group in found}) == 1:
                at, group = found[0]
                other = any(0 <= at - end < _OTHER_REACH and view.clauses[end - 1] == clause for end in others)
                yield self._start(view, at), (group, other)

    def _start(self, view: View, at: int) -> int:
        """The place where the statement around a word begins: after "and" or at the start of its clause."""
        while at and view.clauses[at - 1] == view.clauses[at] and view.words[at - 1] not in self._joiners:
            at -= 1
        return at

    def _end(self, view: View, at: int) -> int:
        end = at + 1
        while end < len(view.words) and view.clauses[end] == view.clauses[at]:
            end += 1
        return end

    def _turn_to(self, group: str, other: bool) -> None:
        if other and group == self._current.group:
            return
        if other:
            self._current = PlantKey(group, True)
        elif not self._main.group and not self._current.beside:
            self._main = self._current = PlantKey(group)
        else:
            self._current = PlantKey(group)
