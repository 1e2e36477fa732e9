"""Who may open which address: one row for each, and an address without a row is opened by nobody.

What somebody may record there is asked again by the act itself (`model.register.permits`).
"""

from collections.abc import Mapping
from typing import Literal, TypeAlias

Reach: TypeAlias = Literal["owner", "stranger", "device", "staff", "foreman"]

# Each opens what those before it open: anybody where a server is for owners alone, anybody else, a device that was let
# in, somebody signed in on it, a foreman.
REACHES: tuple[Reach, ...] = ("owner", "stranger", "device", "staff", "foreman")

OPENED_TO: Mapping[str, Reach] = {
    "form": "stranger",
    "record": "stranger",
    "owner": "owner",
    "calendar": "owner",
    "ridden": "owner",
    "day": "owner",
    "loosened": "owner",
    "opened_again": "owner",
    "stop": "owner",
    "stopped": "owner",
    "wrench": "stranger",
    "photo": "stranger",
    "style": "stranger",
    "invited": "stranger",
    "let_in": "stranger",
    "signing": "device",
    "sign": "device",
    "sign_as": "device",
    "leave": "staff",
    "signed_out": "staff",
    "change_pin": "staff",
    "chosen": "staff",
    "aside": "staff",
    "devices": "foreman",
    "inviting": "foreman",
    "withdraw": "foreman",
    "unlocking": "foreman",
    "give_pin": "foreman",
    "office": "foreman",
    "office_people": "foreman",
    "office_person_entered": "foreman",
    "office_person": "foreman",
    "office_person_told": "foreman",
    "office_wrenches": "foreman",
    "office_wrench_entered": "foreman",
    "office_wrench": "foreman",
    "office_wrench_told": "foreman",
    "office_calibration": "foreman",
    "office_calibrated": "foreman",
    "office_check": "foreman",
    "office_checked": "foreman",
    "office_certificate": "foreman",
    "script": "stranger",
    "worker_script": "stranger",
    "authority": "stranger",
    "certificate": "stranger",
    "token": "staff",
    "person_label": "foreman",
    "person_label_pdf": "foreman",
    "print_person_label": "foreman",
    "job": "staff",
    "job_record": "staff",
    "job_course": "staff",
    "job_then": "staff",
    "job_labels": "staff",
    "job_labels_pdf": "staff",
    "print_job_labels": "staff",
    "work": "staff",
    "screen": "staff",
    "act": "staff",
    "take_photo": "staff",
    "scan_lot": "staff",
    "waiting_photo": "staff",
    "keep_photo": "staff",
    "waiting_picture": "staff",
    "kept_photo": "staff",
    "shown_photo": "staff",
    "erase": "foreman",
    "small_photo": "staff",
    "procedure_picture": "staff",
    "small_procedure_picture": "staff",
    "motorcycles": "staff",
    "find_page": "staff",
    "owner_card": "staff",
    "owner_told": "staff",
    "today": "staff",
    "signed": "foreman",
    "signed_pdf": "foreman",
    "signed_csv": "foreman",
    "vehicle": "staff",
    "replaced": "staff",
    "begin": "staff",
    "here": "staff",
    "jobs": "staff",
    "vehicles": "staff",
    "wrenches": "staff",
    "people": "staff",
    "procedures": "staff",
    "disclosures": "foreman",
    "events": "foreman",
    "description": "stranger",
}


def opens(reach: Reach, endpoint: str) -> bool:
    """Whether somebody may open an address, by the name of its function."""
    least = OPENED_TO.get(endpoint)
    return least is not None and REACHES.index(reach) >= REACHES.index(least)
