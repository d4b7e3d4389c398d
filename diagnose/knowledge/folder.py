"""Finds, reads and checks the rule base: a folder of YAML files, beside the package or packed inside it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import field
from pathlib import Path
from typing import TypeVar

from diagnose.frozen import frozen
from diagnose.knowledge import entries, words
from diagnose.knowledge.causes import read_cause
from diagnose.knowledge.circles import note_circles
from diagnose.knowledge.form import Form
from diagnose.knowledge.media import read_water
from diagnose.knowledge.outlook import read_outlook
from diagnose.knowledge.reading import read_rule_file
from diagnose.knowledge.season import read_season
from diagnose.knowledge.terms import TERMS_FILE, read_terms
from diagnose.marked_yaml import Items, Pairs
from diagnose.model.knowledge import KnowledgeBase
from diagnose.model.terms import PlantTerms
from diagnose.problems import InputError, Problem, Where
from diagnose.raw_files import files_under

__all__ = ["files_of", "load"]

T = TypeVar("T")


def files_of(folder: Path) -> list[Path]:
    """Every YAML file of the folder, in a stable order. Raises InputError where a folder in it cannot be read."""
    paths, problems = files_under(folder)
    if problems:
        raise InputError(problems)
    return [path for path in paths if path.suffix == ".yaml"]


@frozen
class _Raw:
    """Parsed files by the part of the folder they belong to, and those that could not be read."""

    parts: dict[str, list[Pairs]] = field(default_factory=dict)
    broken: list[Path] = field(default_factory=list)

    def lists(self, part: str, key: str) -> Iterable[Pairs]:
        for root in self.parts.get(part, []):
            found = root.get(key)
            if isinstance(found, Items):
                yield from (node for node in found if isinstance(node, Pairs))


def load(folder: Path) -> KnowledgeBase:
    """The rule base of a folder. Raises InputError with every mistake found, each with file, line and column."""
    if not (folder / "scales.yaml").is_file():
        raise InputError.one(Where(str(folder)), "no-knowledge", "There is no rule base in this folder.",
                             "A rule base has a file scales.yaml at its top.")
    raw, problems = _parse(folder)
    terms = _terms(folder, raw, problems)
    form = Form({**_ids(raw), **terms.by_kind}, problems, _unsure(raw))
    base = _build(form, raw, terms)
    note_circles(form, base.conditions, base.signs)
    if form.problems:
        raise InputError(form.problems)
    return base


def _parse(folder: Path) -> tuple[_Raw, list[Problem]]:
    raw = _Raw()
    problems: list[Problem] = []
    for path in files_of(folder):
        relative = path.relative_to(folder)
        shown = str(Path(folder.name) / relative)
        try:
            root = read_rule_file(path, shown)
            if not isinstance(root, Pairs):
                raise InputError.one(Where(shown, 1), "not-a-mapping", "This file holds no key: value lines.")
            raw.parts.setdefault(_part(relative), []).append(root)
        except InputError as error:
            problems.extend(error.problems)
            raw.broken.append(relative)
    return raw, problems


def _terms(folder: Path, raw: _Raw, problems: list[Problem]) -> PlantTerms:
    """The terms, without which nothing else can be read. Raises InputError."""
    if "terms" not in raw.parts:
        if Path(TERMS_FILE) not in raw.broken:
            problems.append(Problem(Where(f"{folder.name}/{TERMS_FILE}"), "missing-file",
                                    "The words that plants are described with are missing."))
        raise InputError(problems)
    try:
        return read_terms(Form({}), raw.parts["terms"][0])
    except InputError as error:
        raise InputError([*problems, *error.problems]) from error


def _part(relative: Path) -> str:
    return relative.parts[0].removesuffix(".yaml")


def _unsure(raw: _Raw) -> set[str]:
    """The kinds of things some of whose ids could not be read: a file is broken or its list is not there."""
    parts = {_part(path) for path in raw.broken}
    parts |= {part for part in words.FILE_KEYS if any(part not in root for root in raw.parts.get(part, []))}
    return {part.removesuffix("s") for part in parts & words.FILE_KEYS.keys()}


def _ids(raw: _Raw) -> dict[str, set[str]]:
    """The ids of each kind, read before anything refers to them, and the unit of each measure."""
    def named(nodes: Iterable[Pairs], key: str) -> set[str]:
        return {str(node[key]) for node in nodes if key in node}

    ids = {
        "cause": named(raw.parts.get("causes", []), "cause"),
        "group": named(raw.parts.get("groups", []), "group"),
        "sign": named(raw.lists("signs", "signs"), "sign"),
        "condition": named(raw.lists("conditions", "conditions"), "condition"),
        "measure": named(raw.lists("measures", "measures"), "measure"),
        "habit": named(raw.lists("habits", "habits"), "habit"),
        "source": named(raw.lists("sources", "sources"), "source"),
        "caution": named(raw.lists("cautions", "cautions"), "caution"),
    }
    for node in raw.lists("measures", "measures"):
        if "measure" in node and "unit" in node:
            ids[f"unit of {node['measure']}"] = {str(node["unit"])}
    for path in raw.broken:
        if _part(path) in ("causes", "groups"):  # files named after what they describe
            ids[_part(path).removesuffix("s")].add(path.stem)
    windowed = [node for node in raw.lists("measures", "measures") if node.get("windowed") == "yes"]
    ids["windowed measure"] = named(windowed, "measure")
    return ids


def _build(form: Form, raw: _Raw, terms: PlantTerms) -> KnowledgeBase:
    if "scales" not in raw.parts:  # it could not be read, and nothing else can be without it
        raise InputError(form.problems)
    scales = entries.read_scales(form, raw.parts["scales"][0])
    for part, (needed, optional) in words.FILE_KEYS.items():
        for root in raw.parts.get(part, []):
            form.keys(root, needed, optional, f"A file of {part}")
    causes = _by_id(form, [read_cause(form, root, scales) for root in raw.parts.get("causes", [])])
    return KnowledgeBase(
        causes=causes,
        signs=_by_id(form, _all(form, raw, "signs", "signs", lambda f, p: entries.read_sign(f, p, scales))),
        questions=_by_id(form, _all(form, raw, "signs", "questions", entries.read_question)),
        conditions=_by_id(form, _all(form, raw, "conditions", "conditions", entries.read_condition)),
        groups=_by_id(form, [entries.read_group(form, root) for root in raw.parts.get("groups", [])]),
        measures=_by_id(form, _all(form, raw, "measures", "measures", entries.read_measure)),
        habits=_by_id(form, _all(form, raw, "habits", "habits", entries.read_habit)),
        sources=_by_id(form, _all(form, raw, "sources", "sources", entries.read_source)),
        cautions=_by_id(form, _all(form, raw, "cautions", "cautions", entries.read_caution)),
        scales=scales,
        terms=terms,
        water=next((read_water(form, root) for root in raw.parts.get("media", [])), None),
        outlook=next((read_outlook(form, root, scales, causes) for root in raw.parts.get("outlook", [])), None),
        season=next((read_season(form, root) for root in raw.parts.get("season", [])), ()),
    )


def _all(form: Form, raw: _Raw, part: str, key: str, read: Callable[[Form, Pairs], T]) -> list[T]:
    return [entry for root in raw.parts.get(part, []) for entry in entries.read_list(form, root, key, read)]


def _by_id(form: Form, found: list[T]) -> dict[str, T]:
    result: dict[str, T] = {}
    for entry in found:
        name = str(getattr(entry, "id"))  # noqa: B009 - entries of several types share this name
        where = getattr(entry, "where", None) or getattr(entry, "claim").where  # noqa: B009
        if name and name in result:
            form.wrong(where, "same-id-twice", f'"{name}" is described twice.', "Keep one.")
        result[name] = entry
    return dict(sorted(result.items()))
