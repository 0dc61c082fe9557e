"""Codes that come together, against plain set algebra."""

from __future__ import annotations

from authorkit.circuit.view import circuit_of
from authorkit.diagnosis.together import Effect, effects_of, explanations, patterns, shared_faults

EFFECTS = [
    Effect("lost-G1", (), "Ground G1 is lost.", "G1", "A", code, sets)
    for code, sets in (("P1", "sets"), ("P2", "sets"), ("P3", "may set"))
] + [Effect("open-K1", (), "K1 is open.", "K1", "A", "P1", "sets")]


def test_faults_are_grouped_by_the_codes_that_they_set():
    (pattern,) = patterns(shared_faults(EFFECTS))
    assert pattern.codes == ("P1", "P2")
    assert [fault.fault for fault in pattern.faults] == ["lost-G1"]


def test_the_best_explanation_leaves_out_least_and_adds_least():
    both = explanations(shared_faults(EFFECTS), ["P1", "P2"])
    assert [each.fault.fault for each in both] == ["lost-G1", "open-K1"]
    assert both[1].leaves == ("P2",)
    one = explanations(shared_faults(EFFECTS), ["P1"])
    assert [each.fault.fault for each in one] == ["open-K1", "lost-G1"]
    assert one[1].besides == ("P2",)


def test_devices_of_one_name_at_other_points_are_other_things():
    effects = [
        Effect("shorted-M1-pull-up", (point,), "Shorted.", "M1", "A", code, "sets")
        for point, code in (("M1-A.1", "P1"), ("M1-A.2", "P2"))
    ]
    assert patterns(shared_faults(effects)) == ()


def test_a_shared_return_sets_both_codes_of_the_demo(book, proof_of):
    effects = [
        effect
        for code in ("P0118", "P0532")
        for effect in effects_of(proof_of(code, "A").study, circuit_of(book, book.chapter(code), "A"))
    ]
    best = explanations(shared_faults(effects), ["P0118", "P0532"])[0]
    assert best.leaves == ()
    assert {
        each.fault.thing for each in explanations(shared_faults(effects), ["P0118", "P0532"]) if not each.leaves
    } >= {"Z140"}
