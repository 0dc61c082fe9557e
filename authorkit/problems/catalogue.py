"""THE table of rule ids: every finding that any room can report stands here once.

The ids are stable: they appear in the author's `accept:` lists. Each has a page of explanation in `explanations/ID.md`
(what, why, example, how to fix), which `authorkit explain ID` prints. A rule of the room `checks` has a module of the
same name there; the others are reported by the room named in `by`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Severity = Literal["error", "warning", "note"]


@dataclass(frozen=True)
class Rule:
    """One row: the id, how grave, the group it is listed under, and the room that reports it."""

    id: str
    severity: Severity
    group: str
    by: str


def _rules(group: str, by: str, **severities: Severity) -> dict[str, Rule]:
    return {
        rule: Rule(rule, severity, group, by)
        for rule, severity in ((name.replace("_", "-"), severity) for name, severity in severities.items())
    }


RULES: dict[str, Rule] = {
    # Reading: reported while a notebook becomes facts.
    **_rules(
        "reading",
        "facts",
        file_missing="error",
        notebook_damaged="error",
        notebook_too_large="error",
        encoding_wrong="error",
        facts_cell_missing="error",
        facts_cell_repeated="error",
        yaml_syntax="error",
        yaml_alias="error",
        yaml_too_deep="error",
        key_repeated="error",
        key_unknown="error",
        key_missing="error",
        value_empty="error",
        value_malformed="error",
        quantity_malformed="error",
        code_malformed="error",
        colour_unknown="error",
        wire_malformed="error",
        point_malformed="error",
        device_malformed="error",
        state_unknown="error",
        call_unknown="error",
        call_mismatch="error",
        shared_procedure_wrong="error",
        control_character="error",
        prose_section_unknown="warning",
    ),
    # Codes.
    **_rules(
        "codes",
        "checks",
        code_reserved="error",
        code_range_contradicts="error",
        code_title_contradicts="error",
        failure_type_unknown="warning",
        failure_type_contradicts="error",
        code_twice="error",
        chapter_unreferenced="warning",
        related_code_unknown="error",
        set_condition_missing="error",
        watch_unknown="error",
    ),
    # Names: references from facts to facts.
    **_rules(
        "names",
        "checks",
        module_unknown="error",
        system_unknown="error",
        series_unknown="error",
        part_unknown="error",
        tool_unknown="error",
        name_used_twice="error",
        part_two_names="error",
        network_member_unknown="error",
        spec_point_unknown="error",
        suspect_unknown="warning",
    ),
    # Wiring: the whole book is one harness.
    **_rules(
        "wiring",
        "checks",
        cavity_not_in_connector="error",
        cavity_two_signals="error",
        cavity_two_wires="error",
        cavity_without_signal="error",
        cavity_without_wire="warning",
        connector_two_layouts="error",
        connector_without_layout="warning",
        wire_two_colours="error",
        wire_two_sizes="error",
        wire_far_end_differs="error",
        wire_ends_nowhere="error",
        wire_both_ends_same="error",
        wire_length_differs="warning",
        in_line_colour_change="error",
        in_line_one_side="error",
        splice_one_leg="error",
        ground_not_reached="error",
        ground_two_locations="error",
        feed_without_fuse="error",
        fuse_too_large="error",
        part_without_wire="error",
        device_contradicts="error",
    ),
    # High voltage and other hazards.
    **_rules(
        "safety",
        "checks",
        high_voltage_undeclared="error",
        high_voltage_waiting_unsourced="error",
        high_voltage_unproven="error",
        high_voltage_meter="error",
        high_voltage_colour="warning",
        caution_wording="warning",
        caution_step_unknown="error",
        restraint_ohms="error",
    ),
    # Procedure.
    **_rules(
        "procedure",
        "checks",
        procedure_missing="error",
        procedure_length="note",
        step_goto_unknown="error",
        step_unreachable="error",
        step_without_answer="error",
        step_window_overlap="error",
        verdict_unknown="error",
        before_start_missing="error",
        after_repair_missing="error",
        revision_missing="warning",
    ),
    # Language of steps, repairs and cautions.
    **_rules(
        "language",
        "checks",
        sentence_long="warning",
        instruction_two_in_one="warning",
        instruction_not_imperative="warning",
        warning_after_action="warning",
        word_vague="note",
    ),
    # The procedure put to the proof: every fault walked through it.
    **_rules(
        "proof",
        "checks",
        verdict_wrong="error",
        verdict_doubtful="warning",
        window_straddled="warning",
        reading_without_answer="error",
        fault_unfound="warning",
        answer_unknown="note",
        suspects_undivided="warning",
        verdict_idle="warning",
        step_divides_nothing="warning",
        suspect_unaccused="warning",
        state_not_made="warning",
        point_hidden="error",
        ohms_live="error",
        ohms_may_be_live="warning",
    ),
    # Prose and references.
    **_rules(
        "prose",
        "checks",
        reference_kind_unknown="error",
        reference_dangling="error",
        link_dangling="error",
        anchor_twice="error",
        figure_missing="error",
        figure_unused="warning",
        path_unknown="error",
        capture_missing="error",
        prose_contradicts_cavity="error",
        prose_contradicts_name="error",
        prose_voltage_differs="warning",
        prose_unsafe="error",
        term_avoided="warning",
        abbreviation_unexplained="note",
        todo_left="warning",
    ),
    # Readings: what the author says against what the circuit gives; waveforms that can be drawn and captures that fit.
    **_rules(
        "readings",
        "checks",
        circuit_not_solved="error",
        device_not_computed="warning",
        reading_contradicts_circuit="error",
        reading_too_tight="warning",
        reading_hides_fault="warning",
        reading_tells_nothing="warning",
        reading_floats="warning",
        fuse_does_not_blow="warning",
        healthy_sets_code="error",
        code_never_sets="warning",
        suspect_cannot_set="warning",
        waveform_malformed="error",
        waveform_implausible="warning",
        capture_malformed="error",
        capture_outside_limits="error",
    ),
    # Notebooks as files.
    **_rules("notebooks", "checks", notebook_untidy="note"),
    # Accepted findings.
    **_rules("acceptance", "checks", acceptance_unused="warning", acceptance_unknown="error"),
    # Building.
    **_rules(
        "building",
        "drawing",
        drawing_incomplete="error",
        drawing_too_large="error",
    ),
    **_rules("building", "output", page_refused="error"),
    **_rules("building", "manual", cell_not_run="warning"),
    **_rules("building", "desk", cell_failed="error"),
}
