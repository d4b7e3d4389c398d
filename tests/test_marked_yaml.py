"""YAML that stays text and knows its place: what is kept, what is refused, and that nothing else ever happens."""

from __future__ import annotations

import copy
import pickle
from collections.abc import Callable
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose import marked_yaml
from diagnose.marked_yaml import Items, Node, Pairs, Text, parse_marked, read_marked, where_of
from diagnose.problems import InputError, Problem, Where


def parsed(text: str) -> Node | None:
    """The marked content of text in a file called a.yaml."""
    return parse_marked(text, "a.yaml")


def report(text: str) -> list[str]:
    """The problems of text, one line each."""
    with pytest.raises(InputError) as caught:
        parsed(text)
    return [str(problem) for problem in caught.value.problems]


@pytest.mark.parametrize("scalar", ["no", "yes", "on", "1:30", "1.10", "0x1F", "1e5", "2026-03-02", "null", "~", ".nan",
                                    "007", "+1", "=", "<<"])
def test_every_scalar_stays_what_was_typed(scalar: str) -> None:
    """The ordinary loaders make truth values, numbers, sixties, dates and nothings of these."""
    found = parsed(f"key: {scalar}\n")
    assert found == {"key": scalar}
    assert isinstance(found, Pairs)
    assert type(found["key"]) is Text


def test_quotes_and_folds_follow_yaml() -> None:
    """Quoted, folded and literal scalars are read as YAML says; an empty value is empty text."""
    text = "a: 'it''s'\nb: \"x\\ty\\u00e9\"\nc: >\n  one\n  two\nd: |\n  one\n  two\ne:\n"
    assert parsed(text) == {"a": "it's", "b": "x\tyé", "c": "one two\n", "d": "one\ntwo\n", "e": ""}


def test_the_empty_tag_is_no_tag() -> None:
    """A lone exclamation mark only says that the value is text, which it is anyway."""
    assert parsed("a: ! 12\n") == {"a": "12"}


def test_every_value_and_key_knows_its_place() -> None:
    """Lines and columns count from 1, in block and in flow style, behind accents too."""
    found = parsed("é: [a, {b: c}]\nlist:\n  - one\n  -   two: 2\n")
    assert isinstance(found, Pairs)
    inner, block = found["é"], found["list"]
    assert isinstance(inner, Items)
    assert isinstance(block, Items)
    assert (found.where, found.place("list"), inner.where) == (
        Where("a.yaml", 1, 1), Where("a.yaml", 2, 1), Where("a.yaml", 1, 4))
    assert [where_of(item, Where("?")) for item in inner] == [Where("a.yaml", 1, 5), Where("a.yaml", 1, 8)]
    assert where_of(block[0], Where("?")) == Where("a.yaml", 3, 5)
    assert isinstance(block[1], Pairs)
    assert block[1].place("two") == Where("a.yaml", 4, 7)
    assert where_of(block[1]["two"], Where("?")) == Where("a.yaml", 4, 12)


def test_a_key_that_is_not_there_has_the_place_of_its_mapping() -> None:
    """So that a missing part can be reported somewhere."""
    found = parsed("\n  a: b\n")
    assert isinstance(found, Pairs)
    assert found.place("c") == Where("a.yaml", 2, 3)
    assert where_of("plain text", Where("b.yaml", 9)) == Where("b.yaml", 9)


def test_keys_keep_the_order_typed() -> None:
    """What stands first comes first."""
    assert list(parsed("z: 1\na: 2\nm: 3\n") or {}) == ["z", "a", "m"]


@pytest.mark.parametrize("text", ["", "\n\n", "# only a note\n", "---\n", "''\n", "--- # note\n...\n"])
def test_an_empty_file_is_nothing(text: str) -> None:
    """Nothing is not an empty list and not an empty mapping."""
    assert parsed(text) is None


def test_doubled_keys_are_all_reported() -> None:
    """Each second writing names the line of the first; other levels may use the same key."""
    assert report("a: 1\nb: {a: 2, a: 3}\na:\n  - x\n") == [
        'a.yaml:2:11: "a" is written twice here. The first is on line 2. Keep one. [same-key-twice]',
        'a.yaml:3:1: "a" is written twice here. The first is on line 1. Keep one. [same-key-twice]']


@pytest.mark.parametrize(("text", "line"), [
    ("a: &x b\n", "a.yaml:1:4: An anchor (&) stands here. Write values out where needed. [anchor]"),
    ("- &x [b]\n", "a.yaml:1:3: An anchor (&) stands here. Write values out where needed. [anchor]"),
    ("a: *x\n", "a.yaml:1:4: An alias (*) stands here. Write the value out. [alias]"),
    ("a: !!int 3\n", 'a.yaml:1:4: A tag "tag:yaml.org,2002:int" stands here. Write plain values. [tag]'),
    ("a: !own {b: c}\n", 'a.yaml:1:4: A tag "!own" stands here. Write plain values. [tag]'),
    ("a: b\n---\nc: d\n", "a.yaml:2:1: A second document starts here. Keep one a file. [several-documents]"),
    ("a: b\n\tc: d\n", "a.yaml:2:1: A tab stands here. Use blanks. [tab]"),
    ("ä: b # x\ty\n", "a.yaml:1:9: A tab stands here. Use blanks. [tab]"),
    ("[a]: b\n", "a.yaml:1:1: A key must be plain text. [key-not-text]"),
    ("? {a: b}\n: c\n", "a.yaml:1:3: A key must be plain text. [key-not-text]"),
    ("é: é\né: \x07\né: é\n", "a.yaml:2:4: This holds a character YAML does not allow. [not-yaml]"),
    ("a: \ud800\n", "a.yaml:1:4: This holds a character YAML does not allow. [not-yaml]"),
    ("a: \x00", "a.yaml:1:4: This holds a character YAML does not allow. [not-yaml]"),
])
def test_what_yaml_allows_and_a_rule_base_does_not(text: str, line: str) -> None:
    """One clear line with the place, for each thing refused."""
    assert report(text) == [line]


@pytest.mark.parametrize(("text", "place"), [
    ("a: [b\n", "a.yaml:2:1"), ("a: b: c\n", "a.yaml:1:5"), ("a: 'b\n", "a.yaml:2:1"), ("- a\nb: c\n", "a.yaml:2:1"),
    ("a: @b\n", "a.yaml:1:4"), ("%YAML 9\n---\na\n", "a.yaml:1"), ("a: \"\\q\"\n", "a.yaml:1:5"),
])
def test_broken_yaml_is_reported_where_it_breaks(text: str, place: str) -> None:
    """The words may differ from parser to parser, the place does not."""
    (line,) = report(text)
    assert line.startswith(place)
    assert line.endswith("[not-yaml]")


def test_forty_levels_are_read_and_forty_one_refused() -> None:
    """Deep files are refused early, so that nothing ever runs out of stack."""
    assert parsed("[" * 40 + "]" * 40) is not None
    assert report("[" * 41 + "]" * 41) == ["a.yaml:1:41: Values are nested more than 40 deep here. [too-deep]"]
    for opening in ("[", "{a: ", "- ", "? ", "[{a: "):
        assert report(opening * 100_000)


def test_files_are_read_as_utf8(tmp_path: Path) -> None:
    """With or without a byte order mark; another encoding is refused with its line."""
    path = tmp_path / "a.yaml"
    path.write_bytes("\ufeffname: Knöterich\r\nnext: x\r\n".encode())
    found = read_marked(path, "a.yaml")
    assert found == {"name": "Knöterich", "next": "x"}
    assert isinstance(found, Pairs)
    assert found.place("next") == Where("a.yaml", 2, 1)
    path.write_bytes(b"name: x\nnext: Kn\xf6terich\n")
    with pytest.raises(InputError, match=r"a\.yaml:2: This file is not UTF-8 text"):
        read_marked(path, "a.yaml")


def test_files_that_cannot_be_read_are_reported_by_name(tmp_path: Path) -> None:
    """Not there, a folder, or too large."""
    with pytest.raises(InputError, match=r"gone\.yaml: This file cannot be read: No such file"):
        read_marked(tmp_path / "gone.yaml")
    with pytest.raises(InputError, match="cannot be read"):
        read_marked(tmp_path)
    large = tmp_path / "large.yaml"
    large.write_bytes(b"#" * (marked_yaml.MOST_BYTES + 1))
    with pytest.raises(InputError, match="larger than 6,000,000 bytes"):
        read_marked(large)


def test_marked_values_can_be_copied_and_kept() -> None:
    """Pickled or copied, values keep their places."""
    found = parsed("a: [b, {c: d}]\n")
    for again in (pickle.loads(pickle.dumps(found)), copy.deepcopy(found)):
        assert again == found
        assert isinstance(again, Pairs)
        assert again.place("a") == Where("a.yaml", 1, 1)
        items = again["a"]
        assert isinstance(items, Items)
        assert where_of(items[0], Where("?")) == Where("a.yaml", 1, 5)


PIECES = st.sampled_from([
    "a", "b: ", "- ", "? ", "[", "]", "{", "}", ", ", ": ", "\n", "\n  ", "#", "&x ", "*x", "!t ", "!!str ", "|\n",
    ">-\n", "'", '"', "\\", "\\U00110000", "\\xFF", "---\n", "...\n", "%YAML 1.1\n", "%TAG ! x\n", "<<", "\t", "\r",
    "\x85", "\u2028", "\ufeff", "\x00", "é", "\U0001f331", "@", "`"])
ANYTHING = st.one_of(st.text(max_size=60), st.lists(PIECES, max_size=25).map("".join),
                     st.text(st.characters(), max_size=20))


def value_or_problems(read: Callable[[], Node | None]) -> Node | tuple[Problem, ...] | None:
    """The value, or the problems reported instead; anything else raised fails the test."""
    try:
        return read()
    except InputError as error:
        assert error.problems  # noqa: PT017 - an error must come with a problem
        return error.problems


def check(text: str) -> None:
    """A value of the three kinds or nothing, or problems that each name a line."""
    found = value_or_problems(lambda: parsed(text))
    if isinstance(found, tuple):
        lines = sum(text.count(end) for end in "\n\r\x85\u2028\u2029") + 1
        assert all(problem.where.file == "a.yaml" and problem.code and problem.words for problem in found)
        assert all(0 <= problem.where.line <= lines + 1 for problem in found)
    else:
        assert found is None or isinstance(found, Text | Items | Pairs)


@settings(max_examples=1500, deadline=None)
@given(ANYTHING)
def test_any_text_gives_a_value_or_an_input_error(text: str) -> None:
    """Nothing else is ever raised, and every problem names a line of the file (or the one after its end)."""
    check(text)


@settings(max_examples=400, deadline=None)
@given(ANYTHING)
def test_any_text_gives_a_value_or_an_input_error_without_the_compiled_parser(text: str) -> None:
    """The same with the parser written in Python, for a build of the YAML library without its compiled part."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(marked_yaml, "_LOADER", yaml.SafeLoader)
        check(text)


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=60))
def test_any_bytes_give_a_value_or_an_input_error(content: bytes) -> None:
    """Files of any content can be looked at."""
    path = Path("a.yaml")  # never opened: the content below stands in for it
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Path, "stat", lambda self: type("Stat", (), {"st_size": len(content)})())
        patch.setattr(Path, "read_bytes", lambda self: content)
        found = value_or_problems(lambda: read_marked(path, "a.yaml"))
    assert found is None or isinstance(found, Text | Items | Pairs | tuple)


VALUES = st.recursive(st.text(st.characters(categories=["L", "N", "P", "S", "Zs"]), max_size=12),
                      lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(
                          st.text(st.characters(categories=["L", "N"]), min_size=1, max_size=6), inner, max_size=4)),
                      max_leaves=12)


@settings(max_examples=150, deadline=None)
@given(st.one_of(st.lists(VALUES, max_size=4), st.dictionaries(st.text("abc é", min_size=1, max_size=4), VALUES)))
def test_what_is_written_comes_back(value: object) -> None:
    """Any tree of texts, written out by the YAML library and read here, is the same tree."""
    for style in (None, '"'):
        text = yaml.dump(value, allow_unicode=True, default_style=style, sort_keys=False, Dumper=yaml.SafeDumper)
        if style:
            text = text.replace("!!str ", "")
        assert parsed(text) == value
