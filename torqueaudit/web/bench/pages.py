"""The pages of the bench: what comes next on a job, every screen of it, and what its form records."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from flask import g, redirect, render_template, request
from werkzeug.datastructures import MultiDict

from torqueaudit.book.errors import IdUsed
from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.register.permits import ActName
from torqueaudit.web.addresses import way_up
from torqueaudit.web.bench.at_work import AtWork, at_work
from torqueaudit.web.bench.echo import echo_of
from torqueaudit.web.bench.walk import act_at, address_of, next_for, screen_of, work_of
from torqueaudit.web.forms import say_of
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.jobs.release import StopsStand

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.model.judged.next import Next
    from torqueaudit.workshop.door.workshop import Workshop

# What a refusal asks back is told by a tick beside the same form, sent once more.
TICKS = {
    Topic.ARRIVAL: ("here", "It is here again"),
    Topic.AGAIN: ("again", "It was done again"),
    Topic.SURE: ("sure", "I am sure of the odometer"),
    Topic.EXCHANGED: ("sure", "I am sure: the instrument was exchanged"),
}
SENT_BEFORE = "This form was sent before, with other words, and that is recorded. Look at it, and go on from there."


def add_bench_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add the pages of a job at the bench."""

    @app.get("/job/<number>")
    def job(number: str) -> "ResponseReturnValue":
        """Show what comes next on a job, behind what the last act was understood as."""
        at = at_work(workshop, g.asking, number)
        done = request.args.getlist("done")
        if not done and not request.args.get("read") and not _begun(at):
            return _page("bench/warnings.html", at, {})
        return _coming(at, done)

    @app.get("/job/<number>/work")
    def work(number: str) -> "ResponseReturnValue":
        """List everything of a job with how it stands, to leave the order or to look back."""
        at = at_work(workshop, g.asking, number)
        return _page("bench/work.html", at, {"lines": work_of(at)})

    @app.get("/job/<number>/<written>/<key>")
    def screen(number: str, written: str, key: str) -> "ResponseReturnValue":
        """Show one screen, in whatever order it is asked for."""
        at = at_work(workshop, g.asking, number)
        said = act_at(at, written, key, look="look" in request.args)
        return _screen(at, said, Typed(request.args))

    @app.post("/job/<number>/<written>/<key>")
    def act(number: str, written: str, key: str) -> "ResponseReturnValue":
        """Record what a screen tells, and lead to what comes next."""
        at = at_work(workshop, g.asking, number)
        typed = Typed(request.form)
        said = act_at(at, written, key, look=typed.one("look") == "yes")
        say = say_of(g.asking, typed)
        try:
            entries = screen_of(said.act).act(at, said, typed, say)
        except IdUsed:
            return _screen(at, said, typed, Refused(SENT_BEFORE)), 409
        except Refused as refused:
            return _screen(at, said, typed, refused), 422
        after = entries[0].key if said.act is ActName.OPEN else number
        done = "&".join(f"done={each}" for each in dict.fromkeys(entry.act for entry in entries))
        return redirect(f"{way_up(request.path)}job/{after}?{done}", 303)


def _begun(at: AtWork) -> bool:
    """Whether anything of the work was told, so that its warnings were read before."""
    return bool(at.job.record.facts)


def _coming(at: AtWork, done: Sequence[str]) -> str:
    """The screen of what comes next for whoever is at the bench, or what else the job waits for."""
    coming = next_for(at)
    if coming is None or coming.answer is None:
        return _page("bench/next.html", at, {"coming": coming, "screen": None}, done=done)
    return _page("bench/next.html", at, {"coming": coming, **_shown(at, coming.answer, Typed(MultiDict()))}, done=done)


def _screen(at: AtWork, said: "Next", typed: Typed, refused: Refused | None = None) -> str:
    """One screen, with why it was refused, and what was typed kept in its fields."""
    return _page("bench/one.html", at, _shown(at, said, typed), refused)


def _shown(at: AtWork, said: "Next", typed: Typed) -> dict[str, object]:
    """What the template of one kind of screen sets."""
    kind = screen_of(said.act)
    return {
        "template": kind.TEMPLATE,
        "screen": kind.show(at, said, typed),
        "said": said,
        "send_to": address_of(at.number, said),
    }


def _page(
    template: str, at: AtWork, shown: Mapping[str, object], refused: Refused | None = None, *, done: Sequence[str] = ()
) -> str:
    return render_template(
        template,
        at=at,
        up=way_up(request.path),
        echo=echo_of(at, done),
        refused=refused.says if refused else "",
        standing=tuple(each.says for each in refused.standing) if isinstance(refused, StopsStand) else (),
        tick=_tick(refused.see if refused else None),
        act_id=at.workshop.new_id(),
        **shown,
    )


def _tick(see: See | None) -> tuple[str, str] | None:
    return TICKS.get(see.topic) if see else None
