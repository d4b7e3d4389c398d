"""Logical formulas over symbols, and their normal form.

A symbol is a text that is true in a case or not. A rule fires when its formula is true. The engine only joins
true symbols, so negation is written as a symbol of its own (``absent``) and every formula becomes a minimal
disjunction of conjunctions of symbols.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from itertools import product

from diagnose.frozen import frozen

__all__ = ["And", "Formula", "Not", "Or", "Symbol", "absent", "conjunctions", "holds", "symbols_of"]

ABSENT_MARK = "~"
MOST_CONJUNCTIONS = 512


@frozen
class Symbol:
    """True when the named symbol is among the facts."""

    name: str


@frozen
class Not:
    """True when the part is not true; unknown counts as not true."""

    part: Formula


@frozen
class And:
    """True when every part is; an empty And is true."""

    parts: tuple[Formula, ...]


@frozen
class Or:
    """True when at least one part is; an empty Or is false."""

    parts: tuple[Formula, ...]


Formula = Symbol | Not | And | Or


def absent(name: str) -> str:
    """The symbol that states that the named symbol is not among the facts."""
    return name[1:] if name.startswith(ABSENT_MARK) else ABSENT_MARK + name


def holds(formula: Formula, true: Collection[str]) -> bool:
    """Whether the formula is true where exactly the given symbols are true (the plain reading, used as reference)."""
    match formula:
        case Symbol(name):
            return name in true
        case Not(part):
            return not holds(part, true)
        case And(parts):
            return all(holds(part, true) for part in parts)
        case Or(parts):
            return any(holds(part, true) for part in parts)


def symbols_of(formula: Formula) -> set[str]:
    """Every symbol the formula mentions, negated or not."""
    match formula:
        case Symbol(name):
            return {name}
        case Not(part):
            return symbols_of(part)
        case And(parts) | Or(parts):
            return set().union(*(symbols_of(part) for part in parts))


def conjunctions(formula: Formula) -> tuple[frozenset[str], ...]:
    """The minimal conjunctions whose disjunction is the formula, negated symbols marked, in a stable order.

    Raises ValueError where there would be more than 512 of them.
    """
    found = _minimal(_expand(formula, negated=False))
    if len(found) > MOST_CONJUNCTIONS:
        raise ValueError(f"a formula needs more than {MOST_CONJUNCTIONS} conjunctions")
    return tuple(sorted(found, key=lambda symbols: (len(symbols), sorted(symbols))))


def _expand(formula: Formula, *, negated: bool) -> set[frozenset[str]]:
    match formula:
        case Symbol(name):
            return {frozenset([absent(name) if negated else name])}
        case Not(part):
            return _expand(part, negated=not negated)
        case And(parts) | Or(parts):
            expanded = [_expand(part, negated=negated) for part in parts]
            if isinstance(formula, And) == negated:
                return set().union(*expanded)
            return _cross(expanded)


def _cross(sides: Iterable[set[frozenset[str]]]) -> set[frozenset[str]]:
    result: set[frozenset[str]] = {frozenset()}
    for side in sides:
        joined = (left | right for left, right in product(result, side))
        result = _minimal(symbols for symbols in joined if not any(absent(name) in symbols for name in symbols))
        if len(result) > MOST_CONJUNCTIONS:
            raise ValueError(f"a formula needs more than {MOST_CONJUNCTIONS} conjunctions")
    return result


def _minimal(found: Iterable[frozenset[str]]) -> set[frozenset[str]]:
    kept: set[frozenset[str]] = set()
    for symbols in sorted(set(found), key=len):
        if not any(smaller <= symbols for smaller in kept):
            kept.add(symbols)
    return kept
