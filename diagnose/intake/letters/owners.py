"""Which part of the plant a word of a sentence speaks of: "yellow" in "roots good, but the lower leaves are yellow"."""

from __future__ import annotations

from diagnose.intake.letters.lexicon import PartTable
from diagnose.intake.letters.scopes import ScopeTable
from diagnose.intake.letters.view import View

__all__ = ["Owners"]

_ATTRIBUTE_REACH = 3
_RELATION_REACH = 5
_OBJECT_REACH = 4
_GROUP_REACH = 4
_PRONOUN_REACH = 6
_OPENING = 2
_ENDS_OF_PAST = "ed"


class Owners:
    """Finds the parts a word belongs to: the noun it stands before, the object of its preposition, its subject."""

    def __init__(self, view: View, scopes: ScopeTable, parts: PartTable) -> None:
        self._view = view
        self._scopes = scopes
        self._parts = parts
        self._groups = self._grouped()
        self._found: dict[int, frozenset[int]] = {}

    def of(self, at: int, besides: frozenset[int] = frozenset()) -> frozenset[int]:
        """The places of the part words that a word belongs to; empty if the sentence names none.

        Where these are all in ``besides`` (the words of the phrase itself), it is the subject that counts.
        """
        if not self._view.heads:
            return frozenset()
        if at not in self._found:
            self._found[at] = self._search(at)
        found = self._found[at]
        return self._subject(at) - besides if found and found <= besides else found

    def is_pronoun(self, at: int) -> bool:
        """Whether the subject of a word is a pronoun for something named before ("they went dry on the stalk"), not a
        word that points to the noun behind it ("these spots")."""
        view = self._view
        if view.heads and view.heads[0] < at:
            return False
        return any(view.clauses[other] == view.clauses[at] and self._stands_alone(other)
                   for other in range(max(0, at - _PRONOUN_REACH), at))

    def _stands_alone(self, at: int) -> bool:
        word, following = self._view.words[at], self._view.words[at + 1]
        return word in self._parts.personal or (
            word in self._parts.pronouns and self._view.is_plain(at + 1) and following not in self._parts.pointed)

    def is_foreign(self, at: int) -> bool:
        """Whether a word is told of something that is no plant: "a hole in the screen"."""
        view, scopes = self._view, self._scopes
        for other in range(at + 1, min(at + 1 + _RELATION_REACH, len(view.words))):
            if view.clauses[other] != view.clauses[at] or view.sentence.gaps[other] or view.senses[other]:
                return False
            if view.words[other] in scopes.grounds:
                noun = [word for word in range(other + 1, min(other + 3, len(view.words)))
                        if view.clauses[word] == view.clauses[at] and not view.sentence.gaps[word]]
                return bool(noun) and view.words[noun[0]] in scopes.articles and len(noun) > 1 and (
                    view.is_plain(noun[1]) and view.words[noun[1]].isalpha())
        return False

    def _grouped(self) -> dict[int, frozenset[int]]:
        """Part words that are listed together ("leaves, stems and buds") own things together."""
        groups: list[list[int]] = []
        for head in self._view.heads:
            if groups and self._listed(groups[-1][-1], head):
                groups[-1].append(head)
            else:
                groups.append([head])
        return {head: frozenset(group) for group in groups for head in group}

    def _listed(self, first: int, second: int) -> bool:
        between = range(self._view.unit_ends[first], second)
        if second - first > _GROUP_REACH or self._view.halves[first] != self._view.halves[second]:
            return False
        words = self._view.words
        joined = any(self._view.sentence.gaps[at] for at in (*between, second))
        joined = joined or any(words[at] in self._scopes.joiners for at in between)
        light = all(words[at] in self._scopes.light for at in between)
        return joined and light and not self._new_statement(first, second)

    def _new_statement(self, first: int, second: int) -> bool:
        """Whether the second is told of by itself: "with a purple lip and the leaves are green"."""
        words, after = self._view.words, self._view.unit_ends[second]
        told = after < len(words) and words[after] in self._scopes.copulas
        named = any(words[at] in self._scopes.articles for at in range(first + 1, second))
        related = any(word in self._scopes.relations for word in words[max(0, first - 3) : first])
        between = range(self._view.unit_ends[first], second)
        if any(words[at] in self._scopes.joiners for at in between):
            return told and named and related
        return (told or self._has_one_word_behind(after)) and (named or related)

    def _has_one_word_behind(self, after: int) -> bool:
        """Whether one word follows up to the next separation: "petals smooth"."""
        gaps, count = self._view.sentence.gaps, len(self._view.words)
        return after < count and not gaps[after] and (after + 1 == count or bool(gaps[after + 1]))

    def _search(self, at: int) -> frozenset[int]:
        if at in self._groups:
            return self._groups[at]
        noun = self._noun_after(at)
        if noun >= 0:
            return self._groups[noun]
        if self.is_pronoun(at):
            return self._direct_object(at) or self._named_last(at)
        if self._of_plant(at):
            return self._object(at)
        return self._object(at) | self._subject(at) or self._nearest_after(at)

    def _noun_after(self, at: int) -> int:
        """The part word that directly follows, as in "black tip" or "soft, yellow leaves"."""
        view = self._view
        for other in range(at + 1, min(at + 1 + _ATTRIBUTE_REACH, len(view.words))):
            if view.sentence.gaps[other] or view.words[other] in self._scopes.divides:
                return -1
            if view.words[other] in self._scopes.articles and view.words[other - 1] in self._scopes.starters:
                return -1
            if other in self._groups:
                return other
        return -1

    def _object(self, at: int) -> frozenset[int]:
        """The part named after a preposition: "spots on the leaf"."""
        view, relation = self._view, -1
        for other in range(at + 1, min(at + 1 + _RELATION_REACH, len(view.words))):
            if view.clauses[other] != view.clauses[at] or view.sentence.gaps[other]:
                break
            if view.words[other] in self._scopes.relations:
                relation = other
                break
        if relation < 0:
            return frozenset()
        stop = min(relation + 1 + _OBJECT_REACH, len(view.words))
        stop = next((other for other in range(relation + 1, stop) if self._opens_clause(other)), stop)
        head = next((other for other in range(relation, stop) if other in self._groups), -1)
        return self._groups[head] if head >= 0 and view.halves[head] == view.halves[at] else frozenset()

    def _opens_clause(self, at: int) -> bool:
        """Whether a comma and an article or a part begin a new statement: "fade to cream, the leaves are green", "fell
        from the end, leaves soft"."""
        return bool(self._view.sentence.gaps[at]) and (
            self._view.words[at] in self._scopes.articles or at in self._groups)

    def _direct_object(self, at: int) -> frozenset[int]:
        """The part that "it" does something to: "it has lost nearly all of its roots"."""
        view = self._view
        for other in range(at + 1, min(at + 2 + _RELATION_REACH, len(view.words))):
            if view.clauses[other] != view.clauses[at] or view.words[other] in self._scopes.grounds:
                break
            if other in self._groups:
                return self._groups[other]
        return frozenset()

    def _named_last(self, at: int) -> frozenset[int]:
        """The part that a pronoun is explained by at the end: "they are brown and squishy, the roots"."""
        view = self._view
        head = view.heads[-1]
        first = head
        while first > at and not view.sentence.gaps[first]:
            first -= 1
        apart = first > at and head - first <= _ATTRIBUTE_REACH and view.unit_ends[head] == len(view.words)
        named = apart and view.words[first] in self._scopes.articles
        return self._groups[head] if named and self._scopes.copulas.isdisjoint(view.words[first:]) else frozenset()

    def _resumed(self, at: int) -> frozenset[int]:
        """The part a sentence began with, if its verb comes only behind an aside: "the roots, once the moss was off,
        were black". A part named in the aside has a verb of its own there."""
        view, scopes, (first, _) = self._view, self._scopes, self._view.clause_of(at)
        gaps, copulas = view.sentence.gaps, scopes.copulas
        heads = [head for head in view.heads if head < at]
        if not (first and gaps[first] and view.words[first] in copulas and heads and heads[-1] < first):
            return frozenset()
        aside = next(other for other in range(1, first + 1) if gaps[other])
        opening = view.words[:aside]
        waits = heads[0] < aside <= heads[-1] and copulas.isdisjoint(opening) and scopes.subjects.isdisjoint(opening)
        begun, ended = view.stretch(heads[-1], heads[-1])
        told = not copulas.isdisjoint(view.words[begun : ended + 1])
        return self._groups[heads[0]] if waits and told and opening[0] not in scopes.relations else frozenset()

    def _subject(self, at: int) -> frozenset[int]:
        view = self._view
        resumed = self._resumed(at)
        if resumed:
            return resumed
        before = [head for head in view.heads if head < at and view.clauses[head] == view.clauses[at]]
        before = before or [head for head in view.heads if head < at and view.halves[head] == view.halves[at]]
        before = before or [head for head in view.heads if head < at]
        if not before:
            return frozenset()
        owners = self._groups[self._meant(at, before)]
        first = min(owners)
        if any(view.words[other] in self._scopes.relations for other in range(max(0, first - 3), first)):
            earlier = [head for head in before if head < first] or [
                head for head in view.heads if head < first and self._goes_on(head, first)]
            if earlier:
                owners |= self._groups[earlier[-1]]
        return owners

    def _goes_on(self, head: int, at: int) -> bool:
        """Whether a place speaks of a part before it: no hard break lies between, or "them" points back."""
        view = self._view
        return view.halves[head] == view.halves[at] or not (
            self._parts.several | self._parts.personal).isdisjoint(view.words[head:at])

    def _of_plant(self, at: int) -> bool:
        """Whether the whole plant is the subject: "leaves are short, and the plant rocks"."""
        view = self._view
        last = max((head for head in view.heads if head < at), default=-1)
        named = [other for other in range(last + 1, at) if view.clauses[other] == view.clauses[at]
                 and view.has_concept(other, self._parts.general)]
        if last < 0 or not named:
            return False
        first = named[0]
        while first and view.words[first - 1] in self._scopes.definite and not view.sentence.gaps[first]:
            first -= 1
        return bool(view.sentence.gaps[first]) or view.words[first - 1] in self._scopes.joiners or (
            view.clauses[first - 1] != view.clauses[first])

    def _meant(self, at: int, before: list[int]) -> int:
        """The part named last, or an earlier one: the one a relative clause hangs on ("the stem that bore the flowers
        withered"), or that agrees in number with the pronoun that the clause begins with ("covered in buds when it
        withered")."""
        view, last = self._view, before[-1]
        earlier = [head for head in view.heads if head < last]
        if earlier and self._hangs_on(earlier[-1], last, at):
            return earlier[-1]
        first, _ = view.clause_of(at)
        opening = view.words[first : min(first + _OPENING, at)]
        if last >= first or not earlier:
            return last
        lone = not self._parts.lone.isdisjoint(opening)
        if lone == (not self._parts.several.isdisjoint(opening)):
            return last
        return next((head for head in (last, *reversed(earlier)) if view.is_plural(head) != lone), last)

    def _hangs_on(self, head: int, last: int, at: int) -> bool:
        """Whether the part named last is in a relative clause about an earlier one, and a verb of that one follows."""
        view, scopes = self._view, self._scopes
        relative, verb = view.unit_ends[head], view.unit_ends[last]
        if relative + 1 >= last or view.words[relative] not in scopes.relatives or verb > at:
            return False
        told = view.words[relative + 1]
        own = any(told in words for words in (scopes.copulas, scopes.articles, scopes.subjects)) or (
            relative + 1 in self._groups)
        goes_on = view.words[verb] in scopes.copulas or (verb == at and view.words[at].endswith(_ENDS_OF_PAST))
        return goes_on and not own and scopes.relatives.isdisjoint(view.words[last:at])

    def _nearest_after(self, at: int) -> frozenset[int]:
        view = self._view
        after = next((head for head in view.heads if head > at and view.halves[head] == view.halves[at]), -1)
        opened = any(self._opens_clause(other) for other in range(at + 1, after + 1))
        return self._groups[after] if after >= 0 and not opened else frozenset()
