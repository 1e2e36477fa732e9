"""The answer to the bench question as JSON: every key as literal text, whether it can be done or not."""

from torqueaudit.plugin.commands import Workshop, bench_setting, play
from torqueaudit_plugins.wrench_adapter.commands.answer import as_data

KEYS = """
job fastener specified derived wrench fitted kind possible setting unit applied_nm expanded_uncertainty_nm verdict
decision_rule probability budget cautions why_not instead calibrated_with stages at_slot drag_nm
drag_budget seat_nm seat_expanded_nm warnings
"""
OPENED = "2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2"


def test_the_answer_has_the_same_keys_whether_it_can_be_done_or_not(workshop: Workshop) -> None:
    """W-1 can, the calibration of W-3 has ended; a reader finds `possible` and a setting or null."""
    play(workshop, OPENED)
    can, cannot = (as_data(bench_setting(workshop, "1", "sprocket-bolt", number)) for number in ("W-1", "W-3"))

    assert KEYS.split() == list(can) == list(cannot)
    assert (True, "50") == (can["possible"], can["setting"])
    assert (False, None, []) == (cannot["possible"], cannot["setting"], cannot["budget"])
    assert ["name", "relative", "adds"] == list(can["budget"][0])
    assert ["stage", "setting", "aim_nm"] == list(can["stages"][0])
