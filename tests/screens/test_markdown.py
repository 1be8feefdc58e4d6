"""Makers' texts in Markdown: read as they were typed, wherever they stand."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from markdown_it.token import Token

from screens.markdown import bullets, escaped, heading, paragraph, table
from screens.wording import clean

READER = MarkdownIt("gfm-like", {"linkify": False})
"""CommonMark with tables and struck-out text."""

marks = st.text(
    alphabet=st.one_of(
        st.sampled_from("\\`*_{}[]<>()#+-.!|~&$^=:;/\"'1 9 a\t"), st.characters(codec="utf-8")
    ),
    max_size=40,
)
texts = st.one_of(
    marks,
    st.sampled_from(
        [
            "# a heading", "1. first", "2) second", "- list", "+ list", "* list", "> said", "---",
            "***", "===", "```", "~~~ code", "| a | b |", "[x](y)", "![x](y)", "<b>bold</b>",
            "&amp;", "a  b", "__init__", "http://example.org", "www.example.org", "<!-- gone -->",
            ":tada:",
            "3 | 4 hooks", "ends in #", "1\\. x", "\\", "    code", "~~no~~", "[ ] to do", "[^1]",
        ]
    ),
)  # fmt: skip


def words(tokens: list[Token]) -> str:
    """The plain text of an inline token; anything but text is a mistake."""
    (inline,) = [token for token in tokens if token.type == "inline"]
    found = []
    for child in inline.children or []:
        assert child.type in ("text", "text_special"), child
        found.append(child.content)
    return "".join(found)


def types(tokens: list[Token]) -> list[str]:
    return [token.type for token in tokens]


def same(one: str, other: str) -> bool:
    """Alike but for how many blanks part two words, which no reader of Markdown shows."""
    return one.split() == other.split()


@given(texts)
@example("1.")
@example("2) a")
@example("-")
@example("=")
def test_a_heading_says_what_was_typed(text: str) -> None:
    """No text ends a heading early, or is anything but text in it."""
    if not clean(text):
        return
    tokens = READER.parse(heading(2, escaped(text)))
    assert types(tokens) == ["heading_open", "inline", "heading_close"]
    assert same(words(tokens), clean(text))


@given(texts)
def test_an_item_says_what_was_typed(text: str) -> None:
    """A list stays one list of one item, whatever its text begins with."""
    if not clean(text):
        return
    tokens = READER.parse(bullets([escaped(text)]))
    assert types(tokens) == [
        "bullet_list_open", "list_item_open", "paragraph_open", "inline", "paragraph_close",
        "list_item_close", "bullet_list_close",
    ]  # fmt: skip
    assert same(words(tokens), clean(text))


@given(texts)
def test_a_paragraph_says_what_was_typed(text: str) -> None:
    """Alone on a line, too."""
    if not clean(text):
        return
    tokens = READER.parse(escaped(text))
    assert types(tokens) == ["paragraph_open", "inline", "paragraph_close"]
    assert same(words(tokens), clean(text))


@given(st.lists(st.tuples(texts, texts, texts), min_size=1, max_size=5))
def test_a_table_keeps_its_columns(rows: list[tuple[str, str, str]]) -> None:
    """Each cell has its text and no row one more or less."""
    written = table(("a", "b", "c"), [[escaped(cell) for cell in row] for row in rows], (1,))
    tokens = READER.parse(written)
    assert types(tokens)[0] == "table_open"
    assert types(tokens)[-1] == "table_close"
    cells = [token for token in tokens if token.type == "inline"][3:]
    assert len(cells) == 3 * len(rows)
    for cell, text in zip(cells, (text for row in rows for text in row), strict=True):
        assert all(child.type in ("text", "text_special") for child in cell.children or [])
        assert same("".join(child.content for child in cell.children or []), clean(text))


@given(st.lists(texts, min_size=1, max_size=4))
def test_a_note_of_several_lines_keeps_them(lines: list[str]) -> None:
    """Each line of a note is a line of its item; none begins something else."""
    wanted = [clean(line) for text in lines for line in text.splitlines() if clean(line)]
    if not wanted:
        return
    tokens = READER.parse(bullets([f"x: {paragraph(chr(10).join(lines))}"]))
    assert types(tokens).count("paragraph_open") == 1
    (inline,) = [token for token in tokens if token.type == "inline"]
    found = [[""]]
    for child in inline.children or []:
        if child.type == "hardbreak":
            found.append([""])
        else:
            assert child.type in ("text", "text_special")
            found[-1].append(child.content)
    told = ["".join(parts) for parts in found]
    assert told[0].startswith("x: ")
    told[0] = told[0][3:]
    assert [one.split() for one in told] == [one.split() for one in wanted]


@pytest.mark.parametrize(
    "text", ["www.example.org", "http://example.org/a", "mailto:a@example.org"]
)
def test_what_looks_like_a_link_stays_text(text: str) -> None:
    """Its point or colon is escaped, so that no reader makes it one."""
    assert escaped(text) != text
    tokens = READER.parse(escaped(text))
    assert words(tokens) == text
