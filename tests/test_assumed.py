"""Every constant of the code that is called assumed has a test just below and just above it, and here stands which.

Those that stand in tables are held by the tests of their room, with grade and source.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from itertools import pairwise

from tests.rooms import ROOT, sources

HELD = {
    "cables.objections.WORTH_SAYING": (
        "cables/test_bounds.py",
        "test_a_reflection_is_told_from_a_twentieth_on",
    ),
    "coaxtell.cli.gauge.COARSEST": (
        "gauging/test_dialogue.py",
        "test_a_tool_that_is_off_by_more_than_two_tenths_is_no_gauge",
    ),
    "models.parts.BEFORE models.parts.WEAK_BEFORE": (
        "gauging/test_bounds.py",
        "test_printed_limits_count_for_four_parts_and_a_weak_number_for_two",
    ),
    "models.parts.APART": (
        "gauging/test_bounds.py",
        "test_a_mean_contradicts_a_range_from_three_standard_errors_on",
    ),
    "models.parts.STRANGE": (
        "gauging/test_parts.py",
        "test_a_reading_is_asked_for_again_from_4_5_deviations",
    ),
    "models.solids.printable.LINE_GROWTH": (
        "exports/test_printable.py",
        "test_the_command_says_whether_the_printed_pair_mates",
    ),
    "models.solids.printable.HOLDS": (
        "exports/test_printable.py",
        "test_too_small_a_scale_is_refused_with_the_scale_that_works",
    ),
    "identifier.misfit.BEYOND": (
        "identifier/test_bounds.py",
        "test_a_reading_more_than_two_spreads_beyond_all_parts_is_wear",
    ),
    "identifier.question.PICTURED": (
        "identifier/test_bounds.py",
        "test_a_look_of_25_s_pays_on_a_photograph_from_one_in_288_on",
    ),
    "identifier.question.MAY_BE": (
        "identifier/test_bounds.py",
        "test_from_one_in_twenty_on_a_port_counts_as_what_must_not_be_touched",
    ),
    "cables.arrival.judging._RIPPLE_DB cables.arrival.judging._JOINT_DB": (
        "cables/test_bounds.py",
        "test_ripple_counts_for_a_tenth_of_a_db_and_joints_for_half_of_that",
    ),
    "cables.arrival.judging._GROWS": (
        "cables/test_bounds.py",
        "test_an_echo_counts_for_half_as_much_again",
    ),
    "cables.arrival.reading._SPREAD": (
        "cables/test_bounds.py",
        "test_an_open_end_covers_two_widths_of_an_echo_and_a_fiftieth_of_its_time",
    ),
    "cables.arrival.reading._NEIGHBOUR": (
        "cables/test_bounds.py",
        "test_neighbours_move_an_echo_by_a_tenth_of_what_the_band_resolves",
    ),
    "cables.mismatch.MOST": (
        "cables/test_bounds.py",
        "test_two_reflections_leave_a_hundredth_at_least",
    ),
    "cables.pieces.LONGEST_PIGTAIL_M": (
        "cables/test_site.py",
        "test_a_pigtail_of_two_metres_is_the_longest",
    ),
    "photo.circle.MARK": (
        "photo/test_bounds.py",
        "test_where_no_ring_stands_out_the_mark_is_off_by_six_in_a_hundred",
    ),
    "photo.width.LEVEL photo.width.UNKNOWN photo.width.TOLD": (
        "photo/test_bounds.py",
        "test_how_high_a_face_stands_and_how_sure_that_is",
    ),
    "models.against.BEFORE": (
        "gauging/test_bounds.py",
        "test_a_pair_that_mated_in_fifteen_draws_of_a_hundred_and_fifty_may_be_gone_against",
    ),
    "photo.width.UNLIKE": (
        "photo/test_bounds.py",
        "test_a_width_counts_as_twice_as_far_off_as_it_was_on_drawn_photographs",
    ),
    "photo.width.NEAREST": (
        "photo/test_bounds.py",
        "test_no_face_is_measured_from_half_way_to_the_camera_on",
    ),
    "quiz.assessment.UNTIL_DAYS": (
        "quiz/test_bounds.py",
        "test_who_has_passed_is_ready_for_fourteen_days",
    ),
    "quiz.everyday.OFTEN": (
        "quiz/test_bounds.py",
        "test_one_port_in_fifty_is_everyday",
    ),
    "quiz.items.cable.SHORT": (
        "quiz/test_bounds.py",
        "test_the_thinner_class_is_asked_about_from_four_tenths_of_its_reach",
    ),
    "quiz.items.look.NEAR": (
        "quiz/test_bounds.py",
        "test_halves_are_look_alikes_up_to_so_much_wider",
    ),
    "quiz.items.mates.NEAR": (
        "quiz/test_bounds.py",
        "test_a_pair_is_asked_about_where_someone_may_try_to_join_it",
    ),
    "quiz.items.mates.SELDOM quiz.items.mates.SELDOM_HARM": (
        "quiz/test_bounds.py",
        "test_a_seldom_twin_is_left_aside_and_a_harmful_one_hardly_ever",
    ),
    "quiz.items.mates.TWIN_WIDTH quiz.items.mates.TWIN_CONTACT": (
        "quiz/test_bounds.py",
        "test_twins_are_as_wide_and_have_contacts_much_as_thick",
    ),
    "quiz.option_sets.WIDEST": (
        "quiz/test_bounds.py",
        "test_halves_up_to_2_2_times_as_wide_are_taken_for_each_other",
    ),
    "quiz.poses.WEAR quiz.poses.DIRT quiz.poses.BLUR": (
        "quiz/test_bounds.py",
        "test_a_part_is_drawn_so_worn_dirty_and_blurred_at_most",
    ),
    "quiz.poses.TILT": (
        "quiz/test_bounds.py",
        "test_a_camera_is_held_ten_degrees_crooked_at_most_and_never_beside_another_half",
    ),
    "quiz.practice.TWICE": (
        "quiz/test_practice.py",
        "test_a_fact_is_trusted_for_twice_the_longest_time_over_which_it_was_right",
    ),
    "quiz.readiness.SLIPS": (
        "quiz/test_bounds.py",
        "test_no_band_has_its_middle_above_98_in_a_hundred",
    ),
    "quiz.tries.WINDOW": (
        "quiz/test_bounds.py",
        "test_a_lost_try_counts_for_ninety_days",
    ),
    "coaxtell.cli.gauge_dialogue.SETTING_UP_S": (
        "gauging/test_dialogue.py",
        "test_the_plan_says_what_twenty_minutes_would_settle",
    ),
    "coaxtell.cli.lifesize.LONGEST_ADDRESS": (
        "drawings/test_lifesize.py",
        "test_an_address_of_120_letters_is_the_longest",
    ),
    "coaxtell.pages.lifesize_page.CODE coaxtell.pages.guide_pdf.CODE": (
        "drawings/test_lifesize.py",
        "test_the_pages_code_is_32_mm_wide_on_sheets_and_28_in_the_guide",
    ),
    "coaxtell.window.screen.BARS": (
        "window/test_start.py",
        "test_a_window_opens_no_larger_than_the_desktop",
    ),
}
"""The file and the test that fails where one of these is moved a little."""


def assumed(text: str) -> Iterator[str]:
    """The constants of a module whose own words call them assumed."""
    body = ast.parse(text).body
    for node, after in pairwise(body):
        if not isinstance(node, ast.Assign | ast.AnnAssign) or not isinstance(after, ast.Expr):
            continue
        said = after.value.value if isinstance(after.value, ast.Constant) else ""
        if re.search(r"\(assumed", str(said)):
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            yield from (one.id for one in ast.walk(target) if isinstance(one, ast.Name))


def test_every_assumed_constant_is_held_by_a_test() -> None:
    found = {f"{module}.{name}" for module, text in sources().items() for name in assumed(text)}
    assert found == {name for names in HELD for name in names.split()}
    for names, (file, test) in HELD.items():
        assert f"def {test}(" in (ROOT / "tests" / file).read_text(encoding="utf-8"), names


def test_an_assumed_constant_is_seen() -> None:
    assert list(assumed('A, B = 1, 2\n"""Of a thing [mm] (assumed)."""\nC = 3\n"""Common practice."""\n')) == ["A", "B"]
