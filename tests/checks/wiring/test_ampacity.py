"""How large a fuse may be for a wire, against a public table and the area of the American gauges."""

from __future__ import annotations

import pytest

from authorkit.checks.wiring.ampacity import largest_fuse, least_size
from authorkit.problems.explain import explanation
from authorkit.units import parse_quantity

# Ratings of blade fuses, and of bolted ones above 80 A, in A (ISO 8820-3 and -5; from memory).
FUSES = (2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80, 100, 125, 150, 175, 200, 225, 250, 300, 350)

# mm² and A: a parts dealer's public table of cable and fuse sizes, column for thin-wall cable (seen in November 2026).
DEALER = {0.5: 10, 1: 15, 1.5: 20, 2: 25, 3: 30, 4: 40, 6: 50, 8: 60, 10: 70}


def area(text: str) -> float:
    return largest_fuse(parse_quantity(text))


@pytest.mark.parametrize(("size", "amperes"), DEALER.items())
def test_the_limit_is_a_public_tables_fuse_or_one_step_more(size: float, amperes: int) -> None:
    step = FUSES.index(amperes)
    assert area(f"{size} mm2") in FUSES[step : step + 2]


# Areas by ASTM B258: d = 0.127 mm · 92^((36 − n)/39); 20 AWG 0.518, 18 AWG 0.823, 14 AWG 2.08, 10 AWG 5.26 mm².
@pytest.mark.parametrize(
    ("gauge", "metric"),
    [("22 AWG", "0.22 mm2"), ("20 AWG", "0.5 mm2"), ("18 AWG", "0.75 mm2"), ("14 AWG", "1.5 mm2"), ("10 AWG", "4 mm2")],
)
def test_a_gauge_counts_as_the_metric_row_below_its_area(gauge: str, metric: str) -> None:
    assert area(gauge) == area(metric)


def test_a_wire_thinner_than_every_row_may_have_no_fuse_of_a_vehicle() -> None:
    assert area("0.08 mm2") == 0.0


def test_the_least_size_is_the_first_row_that_is_enough() -> None:
    assert least_size(7.5) == 0.35
    assert least_size(8.0) == 0.5
    assert least_size(1000.0) is None
    assert all(area(f"{least_size(fuse)} mm2") >= fuse for fuse in FUSES)


def test_every_limit_is_a_fuse_that_can_be_bought_and_grows_with_the_size() -> None:
    sizes = [size for fuse in FUSES if (size := least_size(fuse)) is not None]
    limits = [area(f"{size} mm2") for size in dict.fromkeys(sizes)]
    assert limits == sorted(set(limits))
    assert set(limits) <= set(FUSES)


def test_the_explanation_prints_the_same_table() -> None:
    rows = [line.split("|")[2:-1] for line in explanation("fuse-too-large").splitlines() if line.startswith("| ")]
    sizes, _, fuses = ([cell.strip() for cell in row] for row in rows)
    assert [area(f"{size} mm2") for size in sizes] == [float(fuse) for fuse in fuses]
    assert sizes[-1] == f"{least_size(350):g}"
