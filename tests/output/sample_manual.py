"""A small manual that holds every kind of block and every kind of page, for the tests of both writers.

The vehicle is invented. Codes have their generic meaning (SAE J2012).
"""

from __future__ import annotations

from authorkit.manual.blocks import (
    Answer,
    Block,
    BulletList,
    CautionBlock,
    Code,
    CodeBlock,
    Emphasis,
    FactList,
    Figure,
    Heading,
    IndexMark,
    Inline,
    Inlines,
    LineBreak,
    Link,
    Manual,
    Page,
    Paragraph,
    Quote,
    StepBlock,
    Strong,
    Table,
    Text,
    WebLink,
    words,
)
from tests.output.sample_pictures import circuit_svg, formula, photograph

SYSTEMS = ("Engine", "High voltage")
ENGINE, HIGH_VOLTAGE = SYSTEMS
LOW, HIGH, ISOLATION = "P0117", "P0118", "P0AA6"
TITLES = {
    LOW: "Engine coolant temperature sensor 1 circuit low",
    HIGH: "Engine coolant temperature sensor 1 circuit high",
    ISOLATION: "Hybrid battery voltage system isolation fault",
}


def sample_manual() -> Manual:
    """Title, contents, front, three chapters in two systems, list of codes, indexes."""
    return Manual(
        title="Veldrun Parcel Diagnostic Manual",
        subtitle="Trouble codes of the hybrid delivery van, Series A and Series B",
        language="en-US",
        date="2026-11-25",
        publisher="Parcel Training Workshop",
        identity=line(
            "Edition for Series A and Series B",
            LineBreak(),
            Strong(words("Revision 2")),
            ", replaces revision 1 of March 2026",
        ),
        pages=(
            Page("title", "Veldrun Parcel Diagnostic Manual", "title"),
            Page("contents", "Contents", "contents"),
            Page("front", "How to use this manual", "front", _front(), source="chapters/front.ipynb"),
            chapter(LOW, ENGINE, _low()),
            chapter(HIGH, ENGINE, (*_high_facts(), *_high_tables(), *_high_steps())),
            chapter(ISOLATION, HIGH_VOLTAGE, (*_isolation_facts(), *_isolation_steps())),
            Page("codes", "List of codes", "codes", (_codes(),)),
            Page("index", "Indexes", "index"),
        ),
        systems=SYSTEMS,
        warnings=(
            "The Veldrun Parcel does not exist. Every name and value in this manual is invented: "
            "do not use it on a vehicle.",
            "Work on high voltage is for people who are trained and authorized for it.",
        ),
    )


def chapter(code: str, system: str, blocks: tuple[Block, ...]) -> Page:
    return Page(code, TITLES[code], "chapter", blocks, mark=code, system=system, source=f"chapters/{code}.ipynb")


def line(*parts: str | Inline) -> Inlines:
    return tuple(Text(part) if isinstance(part, str) else part for part in parts)


def para(*parts: str | Inline, role: str = "") -> Paragraph:
    return Paragraph(line(*parts), role)


def bullets(*items: Paragraph | tuple[Block, ...], ordered: bool = False) -> BulletList:
    return BulletList(tuple(item if isinstance(item, tuple) else (item,) for item in items), ordered)


def _front() -> tuple[Block, ...]:
    nested = bullets(
        para("A reading inside a window: go on where it says."),
        para("A reading outside every window: repeat the measurement."),
    )
    return (
        para("Each chapter leads from one trouble code to the part, wire or connection at fault.", role="lead"),
        Heading(2, "Reading a chapter", "front-reading"),
        para(
            *("A code such as ", Code("P0118"), " begins a chapter. Its band says ", Strong(words("who stores it"))),
            *(", and ", Emphasis(words("when it sets")), " follows. Cavities are written as ", Code("M1-A.23")),
            *(", wires as ", Code("K131 BU/WH"), ". See ", Link(HIGH, words(HIGH), page=True), "."),
        ),
        bullets(
            para("Do the steps in their order."),
            (para("Compare each reading with the window beside the answer."), nested),
        ),
        bullets(para("Key off."), para("Unplug the connector."), para("Measure."), ordered=True),
        Quote((para("A reading you did not write down is a reading you did not take."),)),
        Heading(2, "The divider"),
        para(
            *("The module reads the voltage across the sensor: ", formula(), ", with the pull-up as "),
            *(Emphasis(words("R1")), ".", LineBreak(), "A worked example follows."),
        ),
        CodeBlock(
            "U = 5.00 V\n"
            "R1 = 2490 ohm    # pull-up in M1\n"
            "R2 = 2050 ohm    # B5 at 25 degrees\n"
            "reading = U * R2 / (R1 + R2)   # 2.26 V"
        ),
        para(
            "The unit names follow ",
            WebLink("https://www.bipm.org/en/publications/si-brochure", words("the SI brochure")),
            ".",
        ),
        para("Values without a source line are shop rules of the workshop that made this manual.", role="note"),
    )


def _low() -> tuple[Block, ...]:
    return (
        IndexMark("code", LOW, TITLES[LOW]),
        facts(LOW, "M1 Engine control module", "On at the second trip"),
        Heading(2, "What it means"),
        para(
            "The signal of the coolant temperature sensor is below what any coolant temperature can give. "
            "The usual cause is a signal wire that touches ground."
        ),
        Heading(2, "Procedure", f"{LOW}-section-procedure"),
        step(
            *(LOW, "1", "Key off. Unplug B5. Key on."),
            measure="Voltmeter: M1-A.23 (ECT SIG) to G1 (Left strut tower). State: key on.",
            question="What does the meter read?",
            answers={"4.9 V to 5.1 V": "2", "Below 0.3 V": "3"},
        ),
        verdict(LOW, "2", "B5 Coolant temperature sensor", "Replace B5."),
        verdict(LOW, "3", "wire K131 (BU/WH)", "Repair the wire where it chafes at the intake bracket."),
    )


def _high_facts() -> tuple[Block, ...]:
    return (
        IndexMark("code", HIGH, TITLES[HIGH]),
        facts(HIGH, "M1 Engine control module", "On at the second trip"),
        para("The module sees a voltage that only an open circuit gives.", role="lead"),
        Heading(2, "When it sets", f"{HIGH}-section-sets"),
        bullets(
            para("M1 reads ECT above 4.85 V for 2 s, with key on."),
            para("It does not set together with ", Link(LOW, words(LOW), page=True), "."),
        ),
        CautionBlock(
            "WARNING",
            "The cooling fan can start at any time, also with the key off.",
            "It can take off fingers.",
            ("Unplug the fan before you reach into its shroud.",),
            f"{HIGH}-caution-fan",
        ),
        CautionBlock(
            "CAUTION",
            "Coolant is hot and under pressure.",
            "It can scald you.",
            ("Let the engine cool down below 50 °C.", "Open the cap slowly, with a cloth over it."),
        ),
        Heading(2, "Circuit", f"{HIGH}-section-circuit"),
        IndexMark("component", "Coolant temperature sensor B5"),
        IndexMark("ground", "G1", "Left strut tower"),
        IndexMark("circuit", "K131"),
        IndexMark("circuit", "K200"),
        Figure(
            "Circuit of the coolant temperature sensor",
            circuit_svg(160, 62),
            "svg",
            "Module M1 feeds sensor B5 over wire K131; wire K200 returns to the module.",
            *(160, 62),
            f"{HIGH}-figure-circuit",
            number="Figure 1",
        ),
    )


def _high_tables() -> tuple[Block, ...]:
    cavities = (
        line("M1-A.23"), line("ECT SIG"), line("K131 BU/WH 0.5 mm²"), line("Signal of the coolant temperature sensor"),
        line("M1-A.41"), line("SNSR RTN"), line("K200 BN 0.5 mm²"), line("Sensor return, inside M1 to G1"),
        line("B5.1"), line("SIG"), line("K131 BU/WH 0.5 mm²"), line("Signal"),
        line("B5.2"), line("GND"), line("K200 BN 0.5 mm²"),
        line("Return; see ", Link("codes", words("the list of codes"), page=True)),
    )  # fmt: skip
    return (
        Heading(2, "Connector cavities"),
        IndexMark("connector", "M1-A", "cavity 23"),
        IndexMark("connector", "M1-A", "cavity 41"),
        IndexMark("connector", "B5", "cavity 1"),
        Table(
            "Cavities of the circuit",
            ("Cavity", "Circuit", "Wire", "Function"),
            tuple(cavities[start : start + 4] for start in range(0, len(cavities), 4)),
            f"{HIGH}-table-cavities",
            number="Table 1",
        ),
        Heading(2, "Readings"),
        Table(
            "Readings of the sensor over temperature, key off, B5 unplugged",
            ("Temperature", "Resistance", "Voltage at M1-A.23"),
            readings(),
            f"{HIGH}-table-readings",
            ("left", "right", "right"),
            (1, 1, 1),
            number="Table 2",
        ),
    )


def _high_steps() -> tuple[Block, ...]:
    asked = "What does the meter read?"
    return (
        Heading(2, "Procedure", f"{HIGH}-section-procedure"),
        Heading(3, "Before you start"),
        FactList(
            (
                ("Conditions", words("Engine cold, battery above 12.4 V")),
                ("Tools", words("Voltmeter, jumper wire")),
                ("Parts and supplies", words("none")),
                ("Who may do it", words("Technician")),
                ("Time", words("0.5 h")),
            ),
            f"{HIGH}-section-before-start",
        ),
        Heading(3, "Steps"),
        CautionBlock(
            "NOTICE",
            "A test probe that is pushed into a cavity widens it.",
            "The connection fails later.",
            ("Use a probe of the size of the terminal.",),
        ),
        step(
            *(HIGH, "1", "Key off. Unplug B5. Key on."),
            measure="Voltmeter: B5.1 (SIG) to G1 (Left strut tower). State: key on, B5 unplugged.",
            question=asked,
            answers={"4.9 V to 5.1 V": "2", "Below 0.3 V": "4", "Any other reading": "5"},
            cautions=(("WARNING", "The fan can start: unplug it."),),
        ),
        step(
            *(HIGH, "2", "Join B5.1 and B5.2 of the harness with a jumper wire."),
            measure="Voltmeter: M1-A.23 (ECT SIG) to G1 (Left strut tower). State: key on, jumper from B5.1 to B5.2.",
            question=asked,
            answers={"0 V to 0.1 V": "3", "Any other reading": "4"},
        ),
        verdict(HIGH, "3", "B5 Coolant temperature sensor", "Replace B5. Fill up coolant. Clear the code."),
        verdict(HIGH, "4", "wire K200 (BN)", "Repair the wire between X12 and B5."),
        step(
            *(HIGH, "5", "Look at the seal and the terminals of X12."),
            question="Is there water or green corrosion in X12?",
            answers={"Yes": "6", "No; then the other chapter of this circuit may help": "6"},
        ),
        verdict(HIGH, "6", "In-line connector X12", "Replace both halves of X12 and both terminals."),
        Heading(2, "Photographs"),
        Figure(
            "Where X12 sits, seen from above",
            *(photograph(48, 32), "png", "A grey box beside a dark hose.", 120, 80, f"{HIGH}-figure-place"),
            number="Figure 2",
        ),
    )


def _isolation_facts() -> tuple[Block, ...]:
    causes = (
        (
            "Water in M9-H",
            "The seal of the inverter's connector faces the road and suffers with each opening.",
            "often",
        ),
        ("Cable H1 chafed", "It passes the frame in a clamp without a sleeve on vans up to Series A.", "sometimes"),
        ("M7 wrong", "Its measuring resistors age in heat.", "seldom"),
    )
    return (
        IndexMark("code", ISOLATION, TITLES[ISOLATION]),
        facts(ISOLATION, "M7 Battery control module", "High-voltage warning on at once"),
        Heading(2, "What it means", f"{ISOLATION}-section-meaning"),
        para("The resistance between the high-voltage circuit and the body is too small."),
        Heading(2, "When it sets", f"{ISOLATION}-section-sets"),
        bullets(
            para("M7 reads an isolation below 180 kΩ for 10 s."),
            para("It may come with ", Link("listed-P0128", words("P0128"), page=True), "."),
        ),
        Heading(2, "Possible causes", f"{ISOLATION}-section-causes"),
        Table(
            "Where the isolation is lost, the likeliest first",
            ("Cause", "Why", "Chance"),
            tuple(tuple(line(cell) for cell in row) for row in causes),
            f"{ISOLATION}-table-causes",
            number="Table 3",
        ),
        Heading(2, "Circuit", f"{ISOLATION}-section-circuit"),
        IndexMark("component", "Traction battery G10"),
        IndexMark("ground", "G1", "Left strut tower"),
        Figure(
            "High-voltage circuit from the battery to the inverter",
            *(circuit_svg(230, 118), "svg", "Battery G10 feeds inverter M9 over contactors K1 and K2."),
            *(230, 118, f"{ISOLATION}-figure-circuit"),
            landscape=True,
            number="Figure 3",
        ),
    )


def _isolation_steps() -> tuple[Block, ...]:
    return (
        Heading(2, "Procedure", f"{ISOLATION}-section-procedure"),
        CautionBlock(
            "DANGER",
            "The high-voltage circuit can hold 360 V for minutes after switching off.",
            "Touching it will kill you.",
            (
                "Open service disconnect S10 and lock it.",
                "Wait 5 min, then prove the circuit dead with a meter of CAT III 1000 V.",
                "Wear gloves of class 0.",
            ),
            f"{ISOLATION}-caution-high-voltage",
        ),
        step(
            *(ISOLATION, "1", "Open service disconnect S10. Wait 5 min. Prove the circuit dead."),
            measure="Insulation tester at 500 V: M9-H.1 (HV+) to G1 (Left strut tower). State: S10 open.",
            question="What does the tester read?",
            answers={"Above 180 kΩ": "2", "180 kΩ or less": "3"},
            cautions=(("DANGER", "360 V: wear gloves of class 0, use a meter of CAT III 1000 V."),),
        ),
        verdict(ISOLATION, "2", "M7 Battery control module", "Replace M7."),
        verdict(ISOLATION, "3", "cable H1 (OG)", "Replace the cable; it is not repaired."),
    )


def _codes() -> Table:
    rows = [(line(Link(code, words(code), page=True)), line(title), line("M1")) for code, title in TITLES.items()]
    rows.append((line("P0128"), line("Coolant thermostat, listed only"), line("M1")))
    columns = ("Code", "Meaning", "Stored by")
    anchors = ("", "", "", "listed-P0128")
    return Table("All codes", columns, tuple(rows), "table-codes", number="Table 4", row_anchors=anchors)


def facts(code: str, module: str, lamp: str) -> FactList:
    return FactList(
        (
            ("Series", words("Series A, Series B")),
            ("Stored by", words(module)),
            ("Kind of code", words("Controlled by ISO and SAE: the same meaning on all makes.")),
            ("Warning lamp", words(lamp)),
            ("This page", words("Revision 2, 2026-11-25, verified: on the vehicle")),
        ),
        f"{code}-identity",
    )


def step(
    code: str,
    number: str,
    do: str,
    *,
    question: str,
    answers: dict[str, str],
    measure: str = "",
    cautions: tuple[tuple[str, str], ...] = (),
) -> StepBlock:
    return StepBlock(
        number,
        f"{code}-step-{number}",
        words(do),
        cautions,
        words(measure) if measure else (),
        words(question),
        tuple(Answer(words(condition), goto, f"{code}-step-{goto}") for condition, goto in answers.items()),
    )


def verdict(code: str, number: str, fault: str, repair: str) -> StepBlock:
    return StepBlock(number, f"{code}-step-{number}", (), verdict=words(fault), repair=words(repair))


def readings() -> tuple[tuple[Inlines, ...], ...]:
    """Resistance (kΩ) and voltage (V) of an NTC, beta 3400 K, 2.05 kΩ at 25 °C, under 2.49 kΩ at 5 V; 60 rows."""
    rows = []
    for celsius in range(-40, 140, 3):
        kilohm = 2.05 * 2.718281828 ** (3400 * (1 / (celsius + 273.15) - 1 / 298.15))
        rows.append((line(f"{celsius} °C"), line(f"{kilohm:.2f} kΩ"), line(f"{5 * kilohm / (kilohm + 2.49):.2f} V")))
    return tuple(rows)
