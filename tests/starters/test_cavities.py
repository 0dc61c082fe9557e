"""The body of a connector as facts: read back, it is the same connector."""

from __future__ import annotations

from dataclasses import replace

from authorkit.facts.read_book import read_book
from authorkit.model.wiring import Connector
from authorkit.problems import Place
from authorkit.starters.cavities import body_text
from tests.facts.conftest import write_manual

BODY = Connector(
    "X7",
    "",
    Place("x"),
    rows=(("1", "", "2"), ("3", "4", "5")),
    view="terminal side",
    shape="round",
    colour="OG",
    location="Behind the seat: left",
    key="top",
    lock="bottom",
    large=("1", "4"),
    sealed=True,
    back_probe=False,
)


def test_a_body_reads_back_as_the_same_connector(tmp_path):
    folder = write_manual(tmp_path, {"vehicle": f"connectors: {{X7: {body_text(BODY)}}}\n"})
    book, _ = read_book(folder)
    (found,) = book.vehicle.wiring.connectors
    assert replace(found, place=BODY.place) == BODY
