"""Pasted text: names parted, doubles found, unseen signs gone."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.orders.text import clean, doubled, names_of, one_line


@pytest.mark.parametrize(
    "text",
    ["Elske, Ivo, Tilda K.", "Elske\nIvo\nTilda K.\n", "1. Elske\n2. Ivo\n3. Tilda K.",
     "Elske;Ivo;\tTilda K.", "- Elske\r\n- Ivo\r\n- Tilda K.",
     " Elske ,, Ivo , \n Tilda   K. "],)  # fmt: skip
def test_a_pasted_list_is_parted_into_names(text):
    assert names_of(text) == ("Elske", "Ivo", "Tilda K.")


def test_names_keep_hyphens_apostrophes_and_other_scripts():
    assert names_of("Anne-Marie, O’Neill, Łukasz, 李") == ("Anne-Marie", "O’Neill", "Łukasz", "李")


def test_doubled_names_are_found_whatever_their_case():
    assert doubled(("Ines", "Bryn", "ines", "Bryn", "Bryn")) == ["ines", "Bryn"]


def test_unseen_signs_go_and_line_breaks_stay():
    assert clean("a\x00b\ud800\u202ec\r\nd") == "abc\nd"
    assert one_line(" a \n b ") == "a b"


@given(st.text())
def test_cleaned_text_can_be_stored_and_shown(text):
    clean(text).encode("utf-8")
    assert "\x00" not in clean(text)
    assert clean(clean(text)) == clean(text)
