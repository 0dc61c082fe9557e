"""Many faults in few words, on the demo circuits and on faults written out."""

from __future__ import annotations

from pathlib import Path

import pytest

from authorkit.circuit.fault_words import fault_words, thing_words
from authorkit.circuit.faults import Fault, find_fault
from authorkit.circuit.readings import faults_in
from authorkit.facts.read_book import read_book


@pytest.fixture(scope="module")
def faults():
    """The faults of a demo chapter on series A."""
    book, _ = read_book(Path(__file__).parents[2])
    return lambda code: faults_in(book, book.chapter(code), "A")


def _named(faults, *ids):
    found = [find_fault(faults, each) for each in ids]
    assert all(found)
    return found


def test_nothing_is_told_of_no_fault():
    assert fault_words(()) == ""


def test_things_with_the_same_faults_stand_together(faults):
    every = faults("P0118")
    assert fault_words(every, every) == (
        "K131, Z141, Z101, Z140 with contacts: open, 100 Ω added, short to ground, short to battery; "
        "bridged B5.1–2; swapped B5.1–2; "
        "ground G1: no contact; B5 thermistor, M1 pull-up resistor: open, shorted, twice or half its resistance; "
        "M1 ground inside the module: open"
    )


def test_the_end_of_an_open_wire_is_named_only_where_another_end_is_not_meant(faults):
    every = faults("P0118")
    one = _named(every, "open-K131-X12.4-M1-A.23", "open-K131-X12.4-B5.1")
    assert fault_words(one, every) == "K131: open at X12.4"
    assert fault_words(one) == "K131: open"
    all_ends = [fault for fault in every if fault.kind == "open" and fault.target.startswith("wire:K131")]
    assert fault_words(all_ends, every) == "K131: open"


def test_fuses_feeds_relays_and_motors_say_what_they_do(faults):
    every = faults("P0480")
    ids = ("blown-FB1-fuse1", "lost-IGN", "stalled-FN1-motor", "stuck-RL1-contact", "internal-M1-low-side")
    some = _named(every, *ids)
    assert fault_words(some, every) == (
        "fuse F5: blown; feed IGN: dead; FN1 motor: blocked; RL1 relay contact: stays at work; "
        "M1 low-side driver: never switches on"
    )


def test_wires_shorted_to_each_other_are_named_with_both(faults):
    every = faults("C0031")
    assert fault_words(_named(every, "short-C311-C312", "bridge-X5.1-X5.2")) == "bridged C311–C312, X5.1–2"


def test_a_sentence_of_another_form_is_kept_whole():
    odd = Fault("odd", "Rust holds the lever.", "device", "X9:lever", at="stuck", blames=("X9",))
    assert fault_words([odd]) == "X9: rust holds the lever"


@pytest.mark.parametrize("code", ["P0118", "P0480", "P2138", "P0A78", "P0AA6", "U0110", "C0031", "B1A20", "P0500"])
def test_no_fault_of_the_demo_is_lost_and_each_accused_thing_is_named(faults, code):
    every = faults(code)
    words = fault_words(every, every)
    for fault in every:
        # The contacts of a wire that are faulty like the wire itself stand with it.
        owners = {fault.accused.partition(".")[0], *(fault.blames if fault.target.startswith("contact:") else ())}
        assert any(owner in words for owner in owners), fault.id
        assert thing_words(fault).endswith((fault.accused, *fault.blames)), fault.id


@pytest.mark.parametrize(
    ("identity", "heading"),
    [
        ("open-K131-M1-A.23-X12.4", "Wire K131"),
        ("contact-open-X12.4", "Contact X12.4"),
        ("bridge-B5.1-B5.2", "Connector B5"),
        ("lost-G1", "Ground G1"),
        ("open-B5-thermistor", "B5"),
    ],
)
def test_a_list_of_faults_has_a_heading_for_each_thing(faults, identity, heading):
    (fault,) = _named(faults("P0118"), identity)
    assert thing_words(fault) == heading
