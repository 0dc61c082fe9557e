"""A network lists a member that is no module of the vehicle."""

from __future__ import annotations

from collections.abc import Iterator

from authorkit.checks.names.module_unknown import module_names, no_module
from authorkit.checks.nearest import listed, nearest
from authorkit.checks.subject import Subject
from authorkit.problems import Problem

RULE = "network-member-unknown"


def check(subject: Subject) -> Iterator[Problem]:
    """One finding for each such member."""
    modules = module_names(subject)
    for wiring in subject.book.wirings:
        for network in wiring.networks:
            for member in network.members:
                if member not in modules:
                    yield Problem(
                        RULE,
                        f"The network {network.id} has the member '{member}', {no_module(member, subject)}.",
                        network.place,
                        found=member,
                        expected=listed(modules),
                        suggestion=nearest(member, modules, f"Add '{member}' to the modules, or take it off the bus."),
                    )
