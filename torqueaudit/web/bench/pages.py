"""The pages of the bench: what comes next on a job, every screen of it, and what its form records."""

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from flask import g, redirect, render_template, request
from werkzeug.datastructures import MultiDict

from torqueaudit.book.errors import IdUsed
from torqueaudit.ledger.entry import Entry
from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.register.permits import PERMITS, ROLES, ActName
from torqueaudit.web.addresses import way_up
from torqueaudit.web.bench.at_work import AtWork, Partly, at_work
from torqueaudit.web.bench.echo import echo_of, last_of
from torqueaudit.web.bench.ticks import asked_back, ticks_of
from torqueaudit.web.bench.walk import act_at, address_of, next_for, said_of, screen_of, work_of
from torqueaudit.web.forms import SENT_BEFORE, say_of
from torqueaudit.web.kept_pages import fresh_id, kept_page
from torqueaudit.web.session import keep_choice
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.jobs.release import StopsStand

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.model.judged.next import Next
    from torqueaudit.workshop.door.workshop import Workshop

TOLD_BESIDE = ("new", "also")  # fields of what is recorded besides, each under an id of its own
SAY_IT_THEMSELVES = (ActName.CHECK, ActName.RELEASE)  # their screens tell who may
AWAY = (  # what is told of a vehicle that left
    ActName.UNDO,
    ActName.HAND_OVER,
    ActName.POSTPONE_RECHECK,
    ActName.REFUSE_RECHECK,
    ActName.REFER_RECHECK,
    ActName.ANSWER_RECHECK,
)


def add_bench_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add the pages of a job at the bench."""

    @app.get("/job/<number>")
    @kept_page(workshop)
    def job(number: str) -> str:
        """Show what comes next on a job, behind what the last act was understood as."""
        at = at_work(workshop, g.asking, number)
        done = request.args.getlist("done")
        unread = not done and "read" not in request.args and not _begun(at)
        if unread or "warnings" in request.args:
            return bench_page("bench/warnings.html", at, {})
        return _coming(at, done or last_of(at))

    @app.get("/job/<number>/work")
    @kept_page(workshop)
    def work(number: str) -> str:
        """List everything of a job with how it stands, to leave the order or to look back."""
        at = at_work(workshop, g.asking, number)
        return bench_page("bench/work.html", at, {"lines": work_of(at)})

    @app.get("/job/<number>/<written>/<key>")
    @kept_page(workshop)
    def screen(number: str, written: str, key: str) -> str:
        """Show one screen, in whatever order it is asked for."""
        at = at_work(workshop, g.asking, number)
        said = act_at(at, written, key, look="look" in request.args)
        return bench_screen(at, said, Typed(request.args))

    @app.post("/job/<number>/<written>/<key>")
    def act(number: str, written: str, key: str) -> "ResponseReturnValue":
        """Record what a screen tells, and lead to what comes next."""
        at = at_work(workshop, g.asking, number)
        typed = Typed(request.form)
        said = act_at(at, written, key, look=typed.one("look") == "yes")
        return _recorded(at, said, typed)


def _recorded(at: AtWork, said: "Next", typed: Typed) -> "ResponseReturnValue":
    """Record what a form tells, and lead on; or the same screen with why not."""
    say = say_of(at.asking, typed)
    try:
        _require_sound(at, said, typed)
        entries = screen_of(said.act).act(at, said, typed, say)
    except IdUsed:
        return bench_screen(at, said, typed, Refused(SENT_BEFORE)), 409
    except Partly as partly:
        return _rest(at_work(at.workshop, at.asking, at.number), said, typed, partly), 422
    except Refused as refused:
        return bench_screen(at, said, typed, refused), 422
    if said.act is ActName.OPEN:  # its warnings come first
        return redirect(f"{way_up(request.path)}job/{entries[0].key}", 303)
    return led_on(at.number, entries)


def _rest(at: AtWork, said: "Next", typed: Typed, partly: Partly) -> str:
    """What comes next after a form of which some is recorded, and why the rest is not.

    It is the same screen, with what was typed, where what that is about is still to do.
    """
    left = [each.answer for each in at.view.to_do if each.answer]
    if (said.act, said.key, said.stage) in [(each.act, each.key, each.stage) for each in left]:
        return bench_screen(at, said, typed.without(*TOLD_BESIDE), partly)
    return _coming(at, acts_of(partly.done), partly)


def led_on(number: str, entries: Sequence["Entry"]) -> "ResponseReturnValue":
    """Lead to what comes next on a job, where it is said what these entries were understood as."""
    done = "&".join(f"done={each}" for each in acts_of(entries))
    return redirect(f"{way_up(request.path)}job/{number}?{done}", 303)


def _require_sound(at: AtWork, said: "Next", typed: Typed) -> None:
    """Refuse a form that no page of ours sends, and what is done to a vehicle that nobody says is here again."""
    if not typed.one("id"):
        raise Refused("this form is not whole; open its page anew, and send it from there")
    presence = at.view.presence
    if presence.since and not presence.here and typed.one("here") != "yes" and said.act not in AWAY:
        raise Refused(f"{at.view.vehicle_tag} is away", See(Topic.ARRIVAL, at.view.vehicle))


def _begun(at: AtWork) -> bool:
    """Whether anything of the work was told, so that its warnings were read before."""
    return bool(at.job.record.facts)


def _coming(at: AtWork, done: Sequence[str], refused: Refused | None = None) -> str:
    """The screen of what comes next for whoever is at the bench, or what else the job waits for."""
    if at.view.hand_over and not at.view.presence.here:
        away = {"recheck": at.recheck_stands, "stops": at.view.told_stops}
        return bench_page("bench/away.html", at, away, refused, done=done)
    coming = next_for(at)
    if coming is None or coming.answer is None:
        return bench_page("bench/next.html", at, {"coming": coming, "screen": None}, refused, done=done)
    shown = {"coming": coming, **_shown(at, coming.answer, Typed(MultiDict()))}
    return bench_page("bench/next.html", at, shown, refused, done=done)


def bench_screen(at: AtWork, said: "Next", typed: Typed, refused: Refused | None = None) -> str:
    """One screen, with why it was refused, and what was typed kept in its fields."""
    done = acts_of(refused.done) if isinstance(refused, Partly) else ()
    shown = {**_shown(at, said, typed), "ticks": ticks_of(refused, typed)}
    return bench_page("bench/one.html", at, shown, refused, done=done)


def _shown(at: AtWork, said: "Next", typed: Typed) -> dict[str, object]:
    """What the template of one kind of screen sets."""
    kind = screen_of(said.act)
    return {
        "template": kind.TEMPLATE,
        "screen": kind.show(at, said, typed),
        "said": said,
        "send_to": address_of(at.number, said),
        "stands": _stands(at, said),
        "not_yours": "" if at.may(said.act) or said.act in SAY_IT_THEMSELVES else _who_may(said),
    }


def _who_may(said: "Next") -> str:
    return f"This is for a {' or '.join(role for role in PERMITS[said.act] if role in ROLES)}: change the person."


def _stands(at: AtWork, said: "Next") -> str:
    """What was told before of the work that a screen is about; "" where nothing was."""
    item = at.job.procedure.item(said.key) or at.job.procedure.fastener_at(said.key)
    return said_of(at, item) if item else ""


def bench_page(
    template: str, at: AtWork, shown: Mapping[str, object], refused: Refused | None = None, *, done: Sequence[str] = ()
) -> str:
    """A page of a job, with what the last acts were understood as, or why one was refused."""
    keep_choice(at.workshop, job=at.number)
    return render_template(
        template,
        at=at,
        up=way_up(request.path),
        echo=echo_of(at, done),
        refused=_words(at, refused) if refused else "",
        standing=tuple(each.says for each in refused.standing) if isinstance(refused, StopsStand) else (),
        partly=isinstance(refused, Partly),
        act_id=fresh_id(at.workshop),
        **shown,
    )


def acts_of(entries: Iterable[Entry]) -> tuple[str, ...]:
    """The ids of the acts that wrote these entries, in their order."""
    return tuple(dict.fromkeys(entry.act for entry in entries))


def _words(at: AtWork, refused: Refused) -> str:
    """Why nothing was recorded, of a fastener by its name; what a tick beside the form answers is left to that."""
    says = refused.says if isinstance(refused, StopsStand) or asked_back(refused) else str(refused)
    before, colon, rest = says.partition(":")
    fastener = at.job.procedure.fastener_at(before) if colon else None
    return f"{fastener.name_of(before)}:{rest}" if fastener else says
