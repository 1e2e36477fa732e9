"""What is stored of a procedure, held against the text that the ledger has held since the first version."""

import json
from decimal import Decimal

import pytest

from torqueaudit.ledger.canonical import canonical
from torqueaudit.model.procedure.normal_form import from_normal_form, normal_form
from torqueaudit.model.procedure.picture import Picture
from torqueaudit.model.procedure.procedure import (
    Fastener,
    Fit,
    Measurement,
    Procedure,
    RecheckPlan,
    Source,
    Step,
    Work,
)
from torqueaudit.model.torque.specification import Printed, Specification

# Never edited: books hold these bytes.
WHOLE = (
    '{"edition":"3","guard_factor":"1.5","name":"wheel","needs":["clamp_load"],'
    '"recheck":{"days":14,"distance_m":"100000","distance_written":"100 km","grace_days":3,"grace_m":"50000",'
    '"marks":["nut"],"measurements":["slack"],"torques":["nut"]},'
    '"sources":[{"document":"Manual","edition":"2","frames":["KB500-1","KB500-9"],"key":"manual",'
    '"model":"Kestrel 500","years":[2028,2031]}],'
    '"title":"Wheel","warnings":["hot"],'
    '"work":['
    '{"after":["stand"],"check":true,"condition":"threadlocker","cure_time_h":"24","direction":"left",'
    '"holds":"wheel","key":"nut","locking":"castle nut","mark":true,"name":"axle nut","pattern":[1,3,2],'
    '"property_class":"10.9","says":"slowly","single_use":["pin"],"size":3,'
    '"specification":{"also":[{"half_digit_nm":["0.7"],"nm":["108.5"],"written":"80 lbf·ft"}],"angle":"90",'
    '"angle_tolerance":"5","drag_excluded":true,"final_lower_nm":"90","final_upper_nm":"150",'
    '"final_written":"90 … 150 N·m","half_digit_nm":["0.5"],"lower_nm":"97.2","method":"torque and angle",'
    '"nominal_nm":"108","own_tolerance":true,"page":"7-12","source":"manual","tolerance":"10 %","unit":"N·m",'
    '"upper_nm":"118.8","written":"108 N·m"},'
    '"stage_torques":["20"],"stages":["hand","20 N·m","100 %"],"thread":"M24 × 1.5","work":"tighten",'
    '"working_time_min":10},'
    '{"after":["nut"],"again_after":["nut"],"conditions":[["posture","side stand"]],"key":"slack","kind":"slack",'
    '"lower":"25","name":"chain slack","page":"5-3","says":"in the middle","source":"manual","unit":"mm",'
    '"upper":"35","work":"measure","written":"25 … 35 mm"},'
    '{"after":["slack"],"covers":["nut"],"key":"look","look":true,"means":"worn","name":"look","proves":"brake",'
    '"required":false,"says":"look at it","work":"step"},'
    '{"after":["look"],"attributes":["links"],"key":"chain","name":"chain","part":"drive chain","says":"new",'
    '"single_use":true,"work":"fit"}],'
    '"x":{"table":[["rider",{"table":[["Mass-kg",75],["at",["a",{"table":[["b",true]]}]]]}]]}}'
)
SPARE = (
    '{"edition":"1","name":"small","sources":[],"title":"Small work","work":['
    '{"key":"nut","name":"nut","specification":{"page":"","source":"","unit":"N·m","written":"30 N·m"},'
    '"work":"tighten"},'
    '{"key":"gap","name":"gap","unit":"mm","work":"measure"},'
    '{"key":"look","name":"look","says":"","work":"step"},'
    '{"key":"seal","name":"seal","part":"seal","work":"fit"}]}'
)


def whole_specification() -> Specification:
    """A specification with something to say for every key."""
    return Specification(
        written="108 N·m",
        unit="N·m",
        lower_nm=Decimal("97.20"),
        upper_nm=Decimal("118.8"),
        source="manual",
        page="7-12",
        nominal_nm=Decimal(108),
        tolerance="10 %",
        own_tolerance=True,
        method="torque and angle",
        angle=Decimal(90),
        angle_tolerance=Decimal(5),
        final_written="90 … 150 N·m",
        final_lower_nm=Decimal(90),
        final_upper_nm=Decimal(150),
        drag_excluded=True,
        also=(Printed("80 lbf·ft", (Decimal("108.5"),), (Decimal("0.7"),)),),
        half_digit_nm=(Decimal("0.5"),),
    )


def whole_work() -> tuple[Work, ...]:
    """One of each work, with something to say for every key."""
    nut = Fastener(
        key="nut",
        name="axle nut",
        specification=whole_specification(),
        after=("stand",),
        says="slowly",
        thread="M24 × 1.5",  # as it is written
        property_class="10.9",
        direction="left",
        condition="threadlocker",
        working_time_min=10,
        cure_time_h=Decimal(24),
        single_use=("pin",),
        size=3,
        pattern=(1, 3, 2),
        stages=("hand", "20 N·m", "100 %"),
        stage_torques=(Decimal(20),),
        locking="castle nut",
        mark=True,
        check=True,
        holds="wheel",
    )
    slack = Measurement(
        key="slack",
        name="chain slack",
        unit="mm",
        kind="slack",
        after=("nut",),
        says="in the middle",
        written="25 … 35 mm",
        lower=Decimal(25),
        upper=Decimal(35),
        conditions=(("posture", "side stand"),),
        again_after=("nut",),
        source="manual",
        page="5-3",
    )
    look = Step(
        key="look",
        name="look",
        says="look at it",
        after=("slack",),
        required=False,
        proves="brake",
        look=True,
        means="worn",
        covers=("nut",),
    )
    chain = Fit(
        key="chain",
        name="chain",
        part="drive chain",
        after=("look",),
        says="new",
        single_use=True,
        attributes=("links",),
    )
    return nut, slack, look, chain


def whole() -> Procedure:
    """A procedure with something to say for every key."""
    source = Source(
        key="manual",
        document="Manual",
        edition="2",
        model="Kestrel 500",
        years=(2028, 2031),
        frames=("KB500-1", "KB500-9"),
    )
    plan = RecheckPlan(
        distance_m=Decimal(100000),
        distance_written="100 km",
        days=14,
        grace_days=3,
        grace_m=Decimal("50000.0"),
        marks=("nut",),
        measurements=("slack",),
        torques=("nut",),
    )
    return Procedure(
        name="wheel",
        title="Wheel",
        edition="3",
        sources=(source,),
        work=whole_work(),
        needs=("clamp_load",),
        warnings=("hot",),
        recheck=plan,
        guard_factor=Decimal("1.5"),
        x={"rider": {"Mass-kg": 75, "at": ["a", {"b": True}]}},
    )


def spare() -> Procedure:
    """A procedure that says no more than it must, each value spelled out whatever the records' defaults are."""
    specification = Specification(
        written="30 N·m",
        unit="N·m",
        lower_nm=None,
        upper_nm=None,
        source="",
        page="",
        nominal_nm=None,
        tolerance="",
        own_tolerance=False,
        method="torque",
        angle=None,
        angle_tolerance=None,
        final_written="",
        final_lower_nm=None,
        final_upper_nm=None,
        drag_excluded=False,
        also=(),
        half_digit_nm=(),
    )
    nut = Fastener(
        key="nut",
        name="nut",
        specification=specification,
        after=(),
        says="",
        thread="",
        property_class="",
        direction="right",
        condition="",
        working_time_min=None,
        cure_time_h=None,
        single_use=(),
        size=1,
        pattern=(),
        stages=(),
        stage_torques=(),
        locking="",
        mark=False,
        check=False,
        holds="",
    )
    gap = Measurement(
        key="gap",
        name="gap",
        unit="mm",
        kind="dimension",
        after=(),
        says="",
        written="",
        lower=None,
        upper=None,
        conditions=(),
        again_after=(),
        source="",
        page="",
    )
    look = Step(key="look", name="look", says="", after=(), required=True, proves="", look=False, means="", covers=())
    seal = Fit(key="seal", name="seal", part="seal", after=(), says="", single_use=False, attributes=())
    return Procedure(
        name="small",
        title="Small work",
        edition="1",
        sources=(),
        work=(nut, gap, look, seal),
        needs=(),
        warnings=(),
        recheck=None,
        guard_factor=None,
        x={},
    )


def test_every_key_of_the_form_is_stored_as_it_always_was() -> None:
    """A record's field may get another name, and the bytes in the ledger stay."""
    assert canonical(normal_form(whole())) == WHOLE


def test_what_is_at_the_forms_own_default_is_left_out() -> None:
    """A record may get another default, and what was left out before still means what it meant."""
    assert canonical(normal_form(spare())) == SPARE


@pytest.mark.parametrize(("stored", "procedure"), [(WHOLE, whole()), (SPARE, spare())])
def test_a_stored_procedure_is_read_as_it_was_meant(stored: str, procedure: Procedure) -> None:
    """The same text gives the same procedure."""
    assert procedure == from_normal_form(json.loads(stored))


def test_that_an_adapter_is_needed_is_stored_where_it_is() -> None:
    """A procedure of before says nothing of it, and meant that none is asked for."""
    (nut, *rest) = spare().work
    assert isinstance(nut, Fastener)
    procedure = spare()._replace(work=(nut._replace(adapter="needed"), *rest))
    stored = json.loads(canonical(normal_form(procedure)))

    assert "needed" == stored["work"][0]["adapter"]
    assert procedure == from_normal_form(stored)
    assert "" == nut.adapter


def test_that_a_photo_is_wanted_is_stored_where_it_is() -> None:
    """A procedure of before says nothing of it, and meant that none is asked for."""
    (nut, *rest) = spare().work
    assert isinstance(nut, Fastener)
    procedure = spare()._replace(work=(nut._replace(photo=True), *rest))
    stored = json.loads(canonical(normal_form(procedure)))

    assert stored["work"][0]["photo"] is True
    assert procedure == from_normal_form(stored)
    assert nut.photo is False


def test_a_picture_is_stored_where_there_is_one() -> None:
    """Of each kind of work; a procedure of before has none, and its bytes stay."""
    picture = Picture(file="nut.png", says="from behind", digest="0f" * 32, small="f0" * 32, width=320, height=240)
    procedure = spare()._replace(work=tuple(item._replace(picture=picture) for item in spare().work))
    stored = json.loads(canonical(normal_form(procedure)))
    told = {"file": "nut.png", "says": "from behind", "digest": "0f" * 32, "small": "f0" * 32}

    assert [{**told, "width": 320, "height": 240}] * 4 == [each["picture"] for each in stored["work"]]
    assert procedure == from_normal_form(stored)
    assert (picture,) == procedure.pictures()
    assert {None} == {item.picture for item in spare().work}


def test_a_recheck_without_anything_of_its_own_is_still_a_recheck() -> None:
    """An empty table of a re-check says that there is one."""
    procedure = spare()._replace(recheck=RecheckPlan())
    stored = json.loads(canonical(normal_form(procedure)))

    assert stored["recheck"] == {}
    assert procedure == from_normal_form(stored)


def test_form_1_is_read_with_its_number_and_without() -> None:
    """A text of today names no form."""
    stored = json.loads(SPARE)

    assert "form" not in stored
    assert spare() == from_normal_form({**stored, "form": 1})


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"form": 2}, "this stored procedure has form 2, which is not known; it was written by a later version"),
        ({"colour": "red"}, "this stored procedure cannot be read: colour is missing, or not known"),
        ({"work": [{"work": "paint"}]}, "this stored procedure cannot be read: “paint” is no work that is known"),
        ({"work": [{"work": "fit", "key": "a", "name": "a"}]}, "cannot be read: part is missing, or not known"),
    ],
)
def test_what_no_form_says_is_not_guessed_at(change: dict[str, object], says: str) -> None:
    """A limit that this program does not know of must not be passed over."""
    with pytest.raises(ValueError, match=says):
        from_normal_form({**json.loads(SPARE), **change})
