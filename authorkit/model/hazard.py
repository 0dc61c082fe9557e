"""Hazards that a part can bring with it, and what the page must say about each.

The levels follow ANSI Z535.6: the signal word says how grave the harm may be, and a message names the hazard, the
consequence and how to avoid it. The sentences are our own.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Hazard:
    """One hazard. `short` is the line that each step touching it repeats."""

    id: str
    word: str
    hazard: str
    consequence: str
    avoid: tuple[str, ...]
    short: str


HIGH_VOLTAGE = Hazard(
    "high voltage",
    "DANGER",
    "This circuit carries voltage of class B (above 60 V d.c. or 30 V a.c. r.m.s.).",
    "Touching it will kill or cause serious burns.",
    (
        "Only a person qualified for high-voltage work, and licensed where the law asks for it, may carry out this "
        "procedure.",
        "Wear insulating gloves of sufficient class with leather protectors, and eye protection. "
        "Check them before use.",
        "Switch off, secure the key, open the service disconnect and lock it against closing.",
        "Wait the time that the vehicle maker states.",
        "Prove the meter on a known source, test for absence of voltage between the poles and from each pole to "
        "chassis, then prove the meter again.",
        "If any voltage remains, stop. Keep the gloves on and follow the vehicle maker's procedure.",
    ),
    "High voltage. Qualified persons only, gloves on, absence of voltage proven.",
)

HAZARDS: dict[str, Hazard] = {
    hazard.id: hazard
    for hazard in (
        HIGH_VOLTAGE,
        Hazard(
            "moving fan",
            "WARNING",
            "The fan can start at any time, also with the key off.",
            "It can cut or break fingers and catch hair or clothing.",
            (
                "Keep hands, hair, leads and tools clear of the blades.",
                "Unplug the fan before you reach into the shroud.",
            ),
            "The fan can start without warning. Keep clear of the blades.",
        ),
        Hazard(
            "hot coolant",
            "WARNING",
            "The cooling system is under pressure and hot.",
            "Escaping coolant or steam can cause serious burns.",
            ("Let the system cool down before you open it.", "Wear gloves and eye protection."),
            "Hot coolant under pressure. Do not open the system while it is hot.",
        ),
        Hazard(
            "airbag",
            "DANGER",
            "A test current through a restraint circuit can fire an airbag or a belt tensioner.",
            "An unexpected deployment will kill or injure anyone in its way.",
            (
                "Do not connect an ohmmeter or a test lamp to a restraint circuit.",
                "Disconnect the 12 V battery and wait the time that the vehicle maker states.",
            ),
            "Restraint circuit. No ohmmeter and no test lamp.",
        ),
        Hazard(
            "moving vehicle",
            "WARNING",
            "The vehicle can move while the drive is enabled.",
            "A person in its way can be crushed.",
            ("Apply the parking brake and chock the wheels.", "Keep everybody out of the path of the vehicle."),
            "The vehicle can move. Parking brake on, wheels chocked.",
        ),
        Hazard(
            "hot surface",
            "CAUTION",
            "Parts near this circuit stay hot after the engine stops.",
            "Contact can burn the skin.",
            ("Let the parts cool down or wear gloves.",),
            "Hot surfaces nearby.",
        ),
        Hazard(
            "fuel vapour",
            "WARNING",
            "Fuel vapour can escape when the fuel system is opened.",
            "A spark can ignite it and cause serious burns.",
            (
                "Keep flames and sparks away and ventilate the bay.",
                "Connect and disconnect test leads with the key off.",
            ),
            "Fuel vapour. No flames, no sparks.",
        ),
    )
}
