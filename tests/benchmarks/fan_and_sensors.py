"""A chapter of the size that a page is meant to have: a fan, two sensors, a lamp; 26 cavities, diodes, a relay."""

from __future__ import annotations

import json
from pathlib import Path

from authorkit.facts.read_book import read_book
from authorkit.model.book import Book

VEHICLE = """
vehicle: {name: Veldrun Parcel, description: hybrid delivery van, invented: This vehicle does not exist.}
modules:
  M1:
    name: Engine control module
    connectors: {M1-A: {"1": B+ IN, "2": GND}}
    inside: [{module-ground: M1-A.2}, {module-supply: M1-A.1, draws: 0.4 A}]
parts:
  FB1:
    name: Fuse box
    kind: fuse box
    connectors: {FB1-C: {"1": F1 OUT, "2": F2 OUT, "3": F3 OUT}}
    inside:
      - {fuse: [B+, FB1-C.1], id: F1, rating: 30 A}
      - {fuse: [IGN, FB1-C.2], id: F2, rating: 10 A}
      - {fuse: [B+, FB1-C.3], id: F3, rating: 15 A}
connectors:
  M1-A: {rows: ["1-5", "6-10"]}
  FB1-C: {rows: ["1-3"]}
  RL1: {rows: ["30 87", "85 86"]}
  FN1: {rows: ["1 2"]}
  B5: {rows: ["1 2"]}
  B6: {rows: ["1-3"]}
  L1: {rows: ["1-3"]}
  X1: {rows: ["1-3"], in-line: yes}
feeds: {B+: {name: Battery positive, live: always}, IGN: {name: Ignition feed, live: key on}}
grounds: {G1: Left strut tower, G2: Radiator support}
"""

CHAPTER = """
code: P0480
title: Fan 1 control circuit
set-by: M1
system: Engine management
sets-when:
  - {watch: M1.FANFB, below: 2 V, during: {key: on, M1.FAN: off}}
  - {watch: M1.ECT, above: 4.85 V, during: {key: on}}
circuit:
  parts:
    M1:
      connectors:
        M1-A: {"3": FAN CTRL, "4": ECT SIG, "5": SNSR RTN, "6": 5 V, "7": APP SIG, "8": LAMP CTRL}
      inside:
        - {low-side: M1-A.3, command: FAN, r: 0.3 Ω}
        - {read: M1-A.3, as: FANFB}
        - {pull-up: M1-A.4, to: 5 V, r: 2.49 kΩ ± 1 %}
        - {clamp: M1-A.4, to: 5 V}
        - {read: M1-A.4, as: ECT}
        - {module-ground: M1-A.5, through: M1-A.2}
        - {reference: M1-A.6, volts: 5 V ± 1 %, limit: 50 mA}
        - {pull-down: M1-A.7, r: 220 kΩ ± 5 %}
        - {clamp: M1-A.7, to: 5 V}
        - {read: M1-A.7, as: APP}
        - {low-side: M1-A.8, command: LAMP, r: 0.3 Ω}
    RL1:
      name: Fan relay
      kind: relay
      connectors: {RL1: {"30": FEED, "87": OUT, "85": CTRL, "86": SUPPLY}}
      inside:
        - {coil: [RL1.86, RL1.85], r: 85 Ω ± 10 %, pull-in: 7 V, drop-out: 2 V, clamp: diode}
        - {contact: [RL1.30, RL1.87]}
    FN1:
      name: Radiator fan
      connectors: {FN1: {"1": PLUS, "2": MINUS}}
      inside: [{motor: [FN1.1, FN1.2], r: 0.35 Ω, running: 14 A}]
    B5:
      name: Coolant temperature sensor
      connectors: {B5: {"1": SIG, "2": GND}}
      inside: [{thermistor: [B5.1, B5.2], r25: 2.05 kΩ ± 2 %, beta: 3400 K}]
    B6:
      name: Pedal sensor
      connectors: {B6: {"1": 5 V, "2": SIG, "3": GND}}
      inside: [{potentiometer: [B6.1, B6.2, B6.3], r: 4 kΩ ± 20 %, travel: 10 % to 90 %}]
    L1:
      name: Warning lamp
      connectors: {L1: {"1": SUPPLY, "2": CTRL, "3": TEST}}
      inside:
        - {resistor: [L1.1, n1], r: 470 Ω ± 5 %}
        - {led: [n1, L1.2], drop: 2 V}
        - {lamp: [L1.3, L1.2], volts: 12 V, watts: 5 W}
  wires:
    - [FB1-C.1, E1 RD 4 mm2 1 m, RL1.30]
    - [RL1.87, E2 RD/BK 4 mm2 1.2 m, X1.1, E2 RD/BK 4 mm2 0.4 m, FN1.1]
    - [FN1.2, E3 BN 4 mm2 0.5 m, G2]
    - [FB1-C.2, E4 GN 0.5 mm2 1 m, S1, E5 GN 0.5 mm2 0.5 m, RL1.86]
    - [S1, E6 GN 0.5 mm2 1 m, L1.1]
    - [S1, E10 GN 0.5 mm2 1 m, L1.3]
    - [RL1.85, E7 BU 0.5 mm2 1.5 m, M1-A.3]
    - [L1.2, E8 BU/WH 0.5 mm2 1.5 m, M1-A.8]
    - [FB1-C.3, E9 RD/WH 2.5 mm2 1 m, M1-A.1]
    - [M1-A.2, Z1 BN 2.5 mm2 0.6 m, G1]
    - [M1-A.4, K1 GY 0.5 mm2 1.8 m, X1.2, K1 GY 0.5 mm2 0.6 m, B5.1]
    - [M1-A.5, Z2 BN/WH 0.5 mm2 1 m, S2, Z3 BN/WH 0.5 mm2 1 m, X1.3, Z3 BN/WH 0.5 mm2 1 m, B5.2]
    - [S2, Z4 BN/WH 0.5 mm2 1 m, B6.3]
    - [M1-A.6, K2 YE 0.5 mm2 2 m, B6.1]
    - [M1-A.7, K3 WH 0.5 mm2 2 m, B6.2]
  splices: {S1: Behind the fuse box, S2: At the bulkhead}
states:
  idle: {key: on, M1.FAN: off, M1.LAMP: off, B5: 20 °C, B6: 20 %}
  fan: {key: on, M1.FAN: on, M1.LAMP: on, B5: 95 °C, B6: 20 %}
  unplugged: {key: on, M1.FAN: on, M1.LAMP: off, unplug: [RL1, B5], B6: 80 %}
  off: {key: off, B5: 20 °C, B6: 20 %}
"""


def fan_and_sensors(folder: Path) -> Book:
    """Write the two notebooks below a folder and read them."""
    (folder / "chapters").mkdir(parents=True)
    (folder / "build").mkdir()
    (folder / "build" / "manual.yaml").write_text("title: Benchmark\n", encoding="utf-8")
    for name, facts in (("vehicle", VEHICLE), ("P0480", CHAPTER)):
        cell = {
            "cell_type": "code",
            "execution_count": None,
            "id": "facts",
            "metadata": {},
            "outputs": [],
            "source": f"%%facts\n{facts.strip()}",
        }
        text = json.dumps({"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5})
        (folder / "chapters" / f"{name}.ipynb").write_text(text, encoding="utf-8")
    book, problems = read_book(folder)
    if book is None or problems:
        raise SystemExit("\n".join(str(problem) for problem in problems))
    return book
