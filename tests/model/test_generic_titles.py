from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from authorkit.model.generic_titles import GENERIC_TITLES, TITLE_TRUST, contradicts
from authorkit.model.trouble_code import TroubleCode

# Texts as printed in public code lists (two that look independent, except where TITLE_TRUST says otherwise),
# in their own wording: ours must agree with all of them.
PUBLISHED = {
    "P0100": "Mass or Volume Air Flow Circuit",
    "P0102": "Mass or Volume Air Flow Circuit Low Input",
    "P0117": "Engine Coolant Temperature Circuit Low",
    "P0118": "Engine Coolant Temperature Circuit High",
    "P0122": "Throttle/Pedal Position Sensor/Switch 'A' Circuit Low",
    "P0128": "Coolant Thermostat (Coolant Temperature Below Thermostat Regulating Temperature)",
    "P0143": "O2 Sensor Circuit Low Voltage (Bank 1 Sensor 3)",
    "P0171": "System Too Lean (Bank 1)",
    "P0172": "System Too Rich (Bank 1)",
    "P0201": "Injector Circuit/Open - Cylinder 1",
    "P0300": "Random/Multiple Cylinder Misfire Detected",
    "P0335": "Crankshaft Position Sensor 'A' Circuit",
    "P0340": "Camshaft Position Sensor 'A' Circuit",
    "P0351": "Ignition Coil 'A' Primary/Secondary Circuit",
    "P0420": "Catalyst System Efficiency Below Threshold",
    "P0442": "Evaporative Emission System Leak Detected (small leak)",
    "P0455": "Evaporative Emission System Leak Detected (large leak)",
    "P0480": "Fan 1 Control Circuit",
    "P0500": "Vehicle Speed Sensor 'A'",
    "P0533": "A/C Refrigerant Pressure Sensor 'A' Circuit High",
    "P0562": "System Voltage Low",
    "P0601": "Internal Control Module Memory Check Sum Error",
    "P0606": "ECM/PCM Processor",
    "P0620": "Generator Control Circuit",
    "P0641": "Sensor Reference Voltage 'A' Circuit/Open",
    "P0700": "Transmission Control System (MIL Request)",
    "P0A00": "Motor Electronics Coolant Temperature Sensor Circuit",
    "P0A0A": "High Voltage System Inter-Lock Circuit",
    "P0A0D": "High Voltage System Interlock Circuit High",
    "P0A3F": 'Drive Motor "A" Position Sensor Circuit',
    "P0A80": "Replace Hybrid Battery Pack",
    "P0AA1": "Hybrid Battery Positive Contactor Circuit Stuck Closed",
    "P0AA6": "Hybrid Battery Voltage System Isolation Fault",
    "P2135": "Throttle/Pedal Position Sensor/Switch 'A' / 'B' Voltage Correlation",
    "P2138": "Throttle/Pedal Position Sensor/Switch 'D' / 'E' Voltage Correlation",
    "C0031": "Left Front Wheel Speed Sensor",
    "B0001": "Driver Frontal Stage 1 Deployment Control",
    "U0073": "Control Module Communication Bus Off",
    "U0100": "Lost Communication With ECM/PCM A",
    "U0110": "Lost Communication With Drive Motor Control Module",
    "U0111": "Lost Communication With Battery Energy Control Module 'A'",
    "U0121": "Lost Communication With Anti-Lock Brake System (ABS) Control Module",
    "U0140": "Lost Communication With Body Control Module",
    "U0155": "Lost Communication With Instrument Panel Cluster (IPC) Control Module",
    "U0401": "Invalid Data Received From ECM/PCM",
    "U0415": "Invalid Data Received From Anti-Lock Brake System Control Module",
    "P3400": "Cylinder Deactivation System",
}


def test_every_title_belongs_to_a_code_that_the_standard_controls():
    assert all(TroubleCode(code).owner == "iso-sae" for code in GENERIC_TITLES)


def test_every_title_says_how_well_it_was_checked():
    assert list(TITLE_TRUST) == list(GENERIC_TITLES)
    assert set(TITLE_TRUST.values()) == {"two sources", "one source", "memory"}
    assert TITLE_TRUST["P0118"] == "two sources"
    assert TITLE_TRUST["C0034"] == "memory"


@pytest.mark.parametrize(("code", "title"), PUBLISHED.items())
def test_a_published_text_agrees_with_ours(code, title):
    assert code in GENERIC_TITLES
    assert contradicts(code, title) is None


@pytest.mark.parametrize("change", [str, str.upper, str.lower])
def test_a_title_agrees_with_its_own_code_in_any_case(change):
    assert [code for code, title in GENERIC_TITLES.items() if contradicts(code, change(title))] == []


def test_no_title_passes_for_another_code():
    passed = [
        (code, other)
        for code, own in GENERIC_TITLES.items()
        for other, title in GENERIC_TITLES.items()
        if title != own and contradicts(code, title) is None
    ]
    assert passed == []


def test_a_list_shifted_by_one_row_is_noticed_in_every_row():
    # The fault of one well-known public list: each code has the text of the code before.
    rows = list(GENERIC_TITLES.items())
    for (_, before), (code, own) in pairwise(rows):
        assert contradicts(code, before) == own


@pytest.mark.parametrize(
    ("code", "title"),
    [
        ("P0118", "Engine coolant temperature sensor 1 circuit high"),
        ("P0118", "ECT sensor circuit high input"),
        ("P0118", "ENGINE COOLANT TEMPERATURE (ECT) CIRCUIT HIGH"),
        ("P0118", "Coolant temperature sensor: short to battery"),
        ("P0117", "Coolant temperature sensor circuit short to ground"),
        ("P0113", "IAT sensor 1 circuit high"),
        ("P0100", "Mass airflow circuit"),
        ("P0122", "Throttle position sensor 'A' circuit low"),
        ("P0122", "throttle position sensor a circuit low"),
        ("P0131", "HO2S bank 1 sensor 1 low voltage"),
        ("P0131", "O2 sensor B1S1 circuit low voltage"),
        ("P0171", "Mixture too lean"),
        ("P0201", "Cylinder 1 injector circuit"),
        ("P0201", "Injector 1 circuit open"),
        ("P0300", "Random misfire on several cylinders"),
        ("P0335", "Crankshaft position sensor A circuit malfunction"),
        ("P0401", "EGR flow too low"),
        ("P0420", "Catalytic converter efficiency below threshold, bank 1"),
        ("P0443", "Canister purge valve control circuit"),
        ("P0455", "EVAP large leak"),
        ("P0480", "Cooling fan 1 control circuit"),
        ("P0562", "12 V system voltage low"),
        ("P0571", "Stop lamp switch circuit"),
        ("P0603", "Internal control module KAM error"),
        ("P0620", "Alternator control circuit"),
        ("P0641", "5 V sensor reference A circuit open"),
        ("P0A0D", "HVIL circuit high"),
        ("P0A3F", "Drive motor position sensor (resolver) circuit"),
        ("P0A7E", "High-voltage battery temperature too high"),
        ("P0A94", "DC/DC converter"),
        ("P0AA1", "Hybrid battery positive contactor welded"),
        ("P0AA6", "Hybrid/EV battery voltage system isolation fault"),
        ("P0AA6", "High-voltage battery insulation fault"),
        ("P2138", "Accelerator pedal position sensor D/E voltage correlation"),
        ("C0031", "Wheel speed sensor front left"),
        ("U0100", "Lost communication with engine control module"),
        ("U0111", "No communication with BECM"),
        ("U0121", "Lost communication with ABS module"),
    ],
)
def test_another_wording_agrees(code, title):
    assert contradicts(code, title) is None


@pytest.mark.parametrize(
    ("code", "title"),
    [
        ("P0118", "Engine coolant temperature circuit low"),
        ("P0118", "Engine coolant temperature sensor 1 circuit"),
        ("P0118", "Engine coolant temperature sensor 2 circuit high"),
        ("P0118", "Engine oil temperature sensor circuit high"),
        ("P0118", "Engine coolant pressure sensor circuit high"),
        ("P0118", "Replace hybrid battery pack"),
        ("P0122", "Throttle position sensor B circuit low"),
        ("P0122", "throttle position sensor b circuit low"),
        ("P0131", "O2 sensor circuit low (bank 1, sensor 2)"),
        ("P0171", "System too rich"),
        ("P0171", "System too lean (bank 2)"),
        ("P0301", "Cylinder 2 misfire"),
        ("P0335", "Camshaft position sensor A circuit"),
        ("P0335", "Crankshaft position sensor circuit low"),
        ("P0445", "Purge valve circuit open"),
        ("P0456", "EVAP small leak"),
        ("P0480", "Fan 2 control circuit"),
        ("P0500", "Cooling fan power/ground"),
        ("P0562", "System voltage"),
        ("P0627", "Fuel pump A control circuit low"),
        ("P0688", "ECM power relay control circuit"),
        ("P0A0D", "High voltage system interlock circuit intermittent"),
        ("P0A3F", "Drive motor B position sensor circuit"),
        ("P0A78", "Generator inverter performance"),
        ("P0AA1", "Hybrid battery positive contactor stuck open"),
        ("P0AA1", "Hybrid battery negative contactor stuck closed"),
        ("C0031", "Right front wheel speed sensor"),
        ("C0031", "Left rear wheel speed sensor"),
        ("U0100", "Lost communication with TCM"),
        ("U0401", "Lost communication with ECM"),
    ],
)
def test_a_title_that_means_something_else_gets_the_standard_one_back(code, title):
    assert contradicts(code, title) == GENERIC_TITLES[code]


def test_a_failure_type_lets_the_title_say_how_the_circuit_failed():
    title = "Engine coolant temperature sensor 1 circuit: voltage above threshold"
    assert contradicts("P0115", title) == GENERIC_TITLES["P0115"]
    assert contradicts("P0115-17", title) is None
    assert contradicts("P0117-17", title) == GENERIC_TITLES["P0117"]


@pytest.mark.parametrize("code", ["P1118", "P0FFF", "not a code", ""])
def test_nothing_is_said_about_a_code_without_a_standard_title(code):
    assert contradicts(code, "Engine coolant temperature sensor 1 circuit low") is None


@given(st.sampled_from(sorted(GENERIC_TITLES)), st.text(max_size=60))
def test_any_text_can_be_compared(code, title):
    assert contradicts(code, title) in (None, GENERIC_TITLES[code])
