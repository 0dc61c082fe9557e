"""The command `readings`, and its numbers recomputed in ngspice from the netlist that `netlist` prints."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

import pytest

from authorkit.commands import CLEAN, COULD_NOT_RUN, main

ROOT = str(Path(__file__).parents[2])
KEYS = [
    "code",
    "series",
    "state",
    "fault",
    "instrument",
    "at",
    "to",
    "unit",
    "nominal",
    "low",
    "high",
    "basis",
    "status",
]


def printed(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main([*arguments, "--manual", ROOT]) == CLEAN
    return capsys.readouterr().out


def test_json_has_the_keys_that_other_programs_rely_on(capsys: pytest.CaptureFixture[str]) -> None:
    rows = json.loads(printed(capsys, "readings", "P0118", "--series", "A", "--state", "cold", "--json"))
    assert all(list(row) == KEYS for row in rows)
    assert {row["fault"] for row in rows} == {None}
    assert {row["state"] for row in rows} == {"cold"}


@pytest.mark.parametrize(
    ("code", "state", "fault"),
    [
        ("P0118", "cold", None),
        ("P0118", "hot", "short-to-battery-K131-X12.4-B5.1"),
        ("P0480", "on", None),
        ("P2138", "pressed", "lost-G1"),
    ],
)
def test_readings_can_be_recomputed_from_the_netlist(
    capsys: pytest.CaptureFixture[str], code: str, state: str, fault: str | None
) -> None:
    chosen = ["--series", "A", "--state", state, *(["--fault", fault] if fault else [])]
    rows = json.loads(printed(capsys, "readings", code, *chosen, "--json"))
    text = printed(capsys, "netlist", code, *chosen)
    nodes = dict(re.findall(r"^\* point (\S+) = (\S+)$", text, re.MULTILINE))
    compared = 0
    for row in rows:
        if row["unit"] != "V" or row["nominal"] is None:
            continue
        a, b = nodes[row["at"]], nodes[row["to"]]
        deck = text.replace(".op\n", f"Rmeter {a} {b} 1e7\n.options reltol=1e-6 vntol=1e-9 gmin=1e-15\n.control\nop\n"
                            f"set numdgt=12\nlet shown=v({a})-v({b})\nprint shown\n.endc\n")  # fmt: skip
        run = subprocess.run(["ngspice", "-b"], input=deck, capture_output=True, text=True, check=False)
        (shown,) = re.findall(r"^shown = (\S+)$", run.stdout, re.MULTILINE)
        assert float(shown) == pytest.approx(row["nominal"], abs=1e-4)
        compared += 1
    assert compared > 4


def test_table_for_people_names_the_state_and_the_limits(capsys: pytest.CaptureFixture[str]) -> None:
    text = printed(capsys, "readings", "P0480", "--series", "A", "--state", "on")
    assert "Series A, on" in text
    assert re.search(r"amps +FN1.1 +13.3\sA +\(12.\d\sA to 13.\d\sA; guaranteed\)", text)


def test_table_tells_whether_the_code_sets_and_where_instruments_differ(capsys: pytest.CaptureFixture[str]) -> None:
    fault = "contact-resistance-FB1-C.3"
    text = printed(capsys, "readings", "P0443", "--series", "A", "--state", "unplugged", "--fault", fault)
    assert re.search(r"M1.PURGEFB below 2\sV, key on, M1.EVAP off: does not set \(12.57\sV\)", text)
    assert re.search(r"Y1.1 to G1: voltmeter 12.6\sV, low-impedance meter 12.19\sV, test lamp 0.808\sV. About", text)
    opened = printed(
        capsys, "readings", "P0443", "--series", "A", "--state", "unplugged", "--fault", "contact-open-Y1.1"
    )
    assert re.search(r"M1.PURGEFB below 2\sV, key on, M1.EVAP off: \w", opened)


def test_all_faults_follow_the_sound_circuit(capsys: pytest.CaptureFixture[str]) -> None:
    rows = json.loads(
        printed(capsys, "readings", "P0118", "--series", "B", "--state", "cold", "--fault", "all", "--json")
    )
    faults = list(dict.fromkeys(row["fault"] for row in rows))
    assert faults[0] is None
    assert len(faults) > 30


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["P0119"], "there is no chapter 'P0119'; did you mean 'P0118'?"),
        (["P0118", "--series", "C"], "there is no series 'C'"),
        (["P0118", "--state", "colt"], "there is no state 'colt'; did you mean 'cold'?"),
        (["P0118", "--fault", "open-K131"], "there is no fault 'open-K131'; did you mean 'open-"),
    ],
)
def test_unknown_name_is_told_with_the_nearest_one(
    capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    assert main(["readings", *arguments, "--manual", ROOT]) == COULD_NOT_RUN
    assert said in capsys.readouterr().err
