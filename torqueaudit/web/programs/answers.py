"""Where data is asked for at an address of the table, it is answered here, in place of the page."""

import json
from functools import partial
from typing import TYPE_CHECKING, Any

from flask import Response, g, request

from torqueaudit.model.act import Refused
from torqueaudit.reports.list_table import list_csv
from torqueaudit.web.problem import problem
from torqueaudit.web.programs.asked import Answer, Asked, BadQuery
from torqueaudit.web.programs.routes import ANSWERS
from torqueaudit.web.told import why_refused
from torqueaudit.web.wanted import CSV, FORM, JSON, KINDS, PAGE, form_wanted, shows_key

if TYPE_CHECKING:
    from collections.abc import Mapping

    from flask import Flask

    from torqueaudit.web.by_token import ByToken
    from torqueaudit.web.programs.asked import Typed
    from torqueaudit.workshop.door.workshop import Workshop

NO_FORM = "This address is given as {forms}; ask for one of them by Accept, or by ?as=json."


def add_answers(app: "Flask", workshop: "Workshop", by_token: "ByToken") -> None:
    """Answer with data where that is asked for. Comes behind whatever turns somebody away."""

    @app.before_request
    def answered() -> Response | None:
        """The data of an address, or None where a page is asked for."""
        answer = ANSWERS.get(request.endpoint or "")
        if answer is None or request.routing_exception or request.method not in {"GET", "HEAD"}:
            return None
        form = form_wanted()
        if not shows_key() and (form == PAGE or (not form and FORM not in request.args)):
            return None
        if form not in _forms(answer):
            return problem(406, NO_FORM.format(forms=" or ".join(KINDS[each] for each in _forms(answer))))
        return _answered(answer, form, partial(Asked, workshop, g.asking, by_token.job))

    @app.after_request
    def varies(response: Response) -> Response:
        """Tell whoever keeps answers that one address has several."""
        if request.endpoint in ANSWERS:
            response.vary.update(("Accept", "Authorization", "Cookie"))
        return response


def _forms(answer: Answer) -> tuple[str, ...]:
    return (JSON, CSV) if answer.has_table else (JSON,)


def _answered(answer: Answer, form: str, asked_of: "partial[Asked]") -> Response:
    told = {name: values for name, values in request.args.lists() if name != FORM}
    try:
        query: Mapping[str, Typed | None] = answer.read(told)
        asked = asked_of(request.view_args or {}, query)
        return _table(answer, asked) if form == CSV else _json(answer.ask(asked))
    except BadQuery as error:
        return problem(400, str(error))
    except Refused as refused:
        return problem(answer.refused, why_refused(refused))


def _json(told: Any) -> Response:
    return Response(f"{json.dumps(told, ensure_ascii=False)}\n", content_type=KINDS[JSON])


def _table(answer: Answer, asked: Asked) -> Response:
    table = answer.table(asked) if answer.table else list_csv(answer.columns, answer.rows(answer.ask(asked)))
    response = Response(table, content_type=f"{KINDS[CSV]}; charset=utf-8")
    name = answer.path.rpartition("/")[2]
    response.headers["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    return response
