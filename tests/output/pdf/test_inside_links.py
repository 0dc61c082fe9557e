"""Addresses of places in the manual: any name and any words come back."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from authorkit.output.pdf.inside_links import InsideLink, address_of, link_of

TEXT = st.text(st.characters(exclude_categories=["Cs"]))


@given(TEXT, TEXT)
def test_an_address_in_ascii_names_its_target_and_its_words(target: str, words: str) -> None:
    address = address_of(target, words)
    assert address.isascii()
    assert link_of(address) == InsideLink(target, words)


def test_an_address_of_the_web_names_no_place() -> None:
    assert link_of("https://a.example/manual-place:P0118?x") is None
