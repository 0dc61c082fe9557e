"""Procedures put to the proof on the demo: ways, verdicts, minutes."""

from __future__ import annotations

from dataclasses import replace

import networkx as nx
import pytest

from authorkit.diagnosis.proof import prove
from authorkit.diagnosis.report import end_rows, rows_of_walks, tally, undivided
from authorkit.diagnosis.walk import RIGHT, WRONG


@pytest.mark.parametrize("series", ["A", "B"])
@pytest.mark.parametrize("code", ["P0118", "P0443", "P0480", "P0571"])
def test_the_demo_procedures_end_right_with_every_fault(proof_of, code, series):
    counted = tally(proof_of(code, series))
    assert counted.faults > 10
    assert counted.proven == counted.faults


def test_an_open_wire_takes_the_way_that_a_technician_would(proof_of):
    proof = proof_of("P0118", "A")
    walk = next(walk for walk in proof.walks if walk.fault.id == "open-K131-M1-A.23-X12.4")
    (ending,) = walk.endings
    assert [step for step, _ in ending.path] == ["1", "2", "3", "6", "10"]
    assert ending.outcome == RIGHT
    # Scan 1, key .25, look 1, B5 3 min to reach, and so on: at least the access times of B5 (3 min) and M1-A.
    assert ending.minutes > 3 + 1 + 1


def test_a_verdict_that_accuses_another_wire_is_wrong(book, proof_of):
    proof = proof_of("P0118", "A")
    chapter = proof.chapter
    steps = tuple(
        replace(step, verdict=("Z141",), either=False) if step.number == "10" else step for step in chapter.steps
    )
    worse = prove(book, replace(chapter, steps=steps), proof.study)
    wrong = {walk.fault.accused for walk in worse.walks if any(each.outcome == WRONG for each in walk.endings)}
    assert "K131" in wrong
    assert tally(worse).proven < tally(proof).proven


def test_every_way_follows_the_answers_of_the_steps(proof_of):
    proof = proof_of("P0480", "B")
    net = nx.DiGraph((number, branch.goto) for number, step in proof.steps.items() for branch in step.branches)
    first = next(iter(proof.steps))
    for walk in proof.walks:
        for ending in walk.endings:
            way = [step for step, _ in ending.path]
            assert way[0] == first
            assert nx.is_path(net, way)
            assert way[-1] in nx.descendants(net, first)


def test_the_rows_hold_every_fault_and_say_what_stays_together(proof_of):
    proof = proof_of("P0118", "A")
    assert sum(row.count for row in end_rows(proof)) >= len(proof.walks)
    assert {left.step for left in undivided(proof)} == {"12", "13", "14"}
    rows = rows_of_walks(proof)
    assert {row["fault"] for row in rows} == {walk.fault.id for walk in proof.walks}
    assert all(end["right"] for row in rows for end in row["endings"])
