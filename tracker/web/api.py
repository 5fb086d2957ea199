"""The collection for programs: each address builds a command or asks a question, and tells what came of it as JSON."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import TypeVar

from flask import Blueprint, Response, request
from pydantic import BaseModel, TypeAdapter

from tracker.api import answers, entries, kept, paging
from tracker.api.commands import IN_HEADERS, KEY_HEADER, OFFERED, VERSION_HEADER, command_of, unconditional
from tracker.api.document import document
from tracker.api.problem import BadParameter
from tracker.core.benchtest import BenchTest
from tracker.core.watch import Watch
from tracker.errors import BadInput, GoingError, NotFound, Stale
from tracker.figures import Figures, Waiting, look, survey
from tracker.photofile import MOST_BYTES, attachable, keep, portrait
from tracker.planning import planned
from tracker.reminders.trial import lay_down
from tracker.store import attachments, barrels, log, portraits, register, sensors, services
from tracker.store import channels as shelf
from tracker.store.absences import Absent, ahead
from tracker.store.benchtests import open_tests
from tracker.store.cues import open_cues
from tracker.store.reminders import due_reminders
from tracker.turn import turn
from tracker.uids import new_uid
from tracker.web import apianswer, giving, roundview, servicetable, servicevalues, serviceview
from tracker.web.apianswer import answer
from tracker.web.request import away, for_owner, line_for, now, preferences, store, zone
from tracker.web.watch import questions_of
from tracker.words import say

pages = Blueprint("api", __name__, url_prefix=apianswer.ADDRESS)

LONGEST_WAIT_S = 5.0
"""A program that asks of one watch would ask again at once; it waits for what is being worked out."""
Item = TypeVar("Item")


@pages.get("/openapi.json")
def openapi() -> Response:
    """The document that describes all of it."""
    return answer(document())


@pages.post("/commands/<name>")
def command(name: str) -> Response:
    """Give a command."""
    asked = OFFERED.get(name)
    if asked is None:
        raise NotFound(say("There is no such command for programs."))
    body = apianswer.body()
    try:
        key = request.headers.get(KEY_HEADER) or new_uid(now())
        given = command_of(asked, body, key=key, tag=request.headers.get(VERSION_HEADER), zone=zone().key)
        return answer(giving.give(asked, given).model_dump(mode="json"))
    except GoingError as error:
        if isinstance(error, Stale) and VERSION_HEADER not in request.headers:
            error = unconditional()  # it would have begun a row that is there already
        return apianswer.of_error(error, {*body, *(asked.command.model_fields.keys() - IN_HEADERS)})


@pages.post("/files")
def keep_file() -> Response:
    """Lay down a photograph or a PDF."""
    apianswer.of_type("image/jpeg", "image/png", "image/webp", "application/pdf")
    taken = attachable(_bytes())
    keep(store().path.parent, taken)
    return answer({"sha256": taken.sha256, "media_type": taken.media_type, "size_bytes": len(taken.data)})


@pages.post("/portraits")
def keep_portrait() -> Response:
    """Lay down a photograph of a watch, in both its sizes."""
    apianswer.of_type("image/jpeg", "image/png", "image/webp")
    taken = portrait(_bytes())
    keep(store().path.parent, taken.large)
    keep(store().path.parent, taken.small)
    large, small = taken.large, taken.small
    return answer({"sha256": large.sha256, "small_sha256": small.sha256, "size_bytes": len(large.data)})


def _bytes() -> bytes:
    request.max_content_length = MOST_BYTES + 1
    return request.get_data(cache=False)


@pages.post("/addresses")
def keep_address() -> Response:
    """Lay down the address of a channel."""
    body = apianswer.body()
    typed = body.get("address")
    if not isinstance(typed, str) or body.keys() != {"address"}:
        raise BadInput(say("This is no address."), accepted=say("Send one field, address, with a text."))
    return answer({"address_uid": lay_down(store(), typed, new_uid(now()))})


@pages.get("/watches")
def watches() -> Response:
    """Every watch and how it stands."""
    line_for()
    found = survey(store(), now(), archived=_put_away(), with_runs=False)
    told = found if for_owner() else found.own
    every: list[Figures | Waiting] = sorted(
        [*told.known, *told.waiting], key=lambda each: each.watch.nickname.casefold()
    )
    return _page(every, lambda each: each.watch.uid, answers.standing)


@pages.get("/watches/<uid>")
def watch(uid: str) -> Response:
    """What the register says of a watch."""
    found = _watch(uid)
    return answer(answers.register(found, for_owner=for_owner()), version=found.version)


@pages.get("/watches/<uid>/standing")
def standing(uid: str) -> Response:
    """How a watch stands."""
    _watch(uid)
    line_for(uid, longest_s=LONGEST_WAIT_S)
    return answer(answers.standing(look(store(), uid, now())).model_dump(mode="json"))


@pages.get("/watches/<uid>/log")
def of_log(uid: str) -> Response:
    """The log of a watch."""
    _watch(uid)
    rows, parts = log.entry_rows(store().reading(), uid), services.parts(store().reading())
    return _page(rows, _uid_of, lambda row: entries.entry(row, parts))


@pages.get("/watches/<uid>/barrel")
def barrel(uid: str) -> Response:
    """What the bench knows of its barrel."""
    _watch(uid)
    found = barrels.barrel_of_watch(store().reading(), uid)
    if found is None:
        raise NotFound(say("Nothing is kept of its barrel."))
    return answer(kept.barrel(found), version=found.version)


@pages.get("/watches/<uid>/questions")
def questions(uid: str) -> Response:
    """What its sensors left open."""
    found = look(store(), uid, now())
    asked = questions_of(uid, found if isinstance(found, Figures) else None)
    return answer(answers.Questions(items=asked).model_dump(mode="json"))


@pages.get("/watches/<uid>/files")
def files(uid: str) -> Response:
    """The files that go with it or its entries."""
    _watch(uid)
    db = store().reading()
    rows = [*attachments.of_watch(db, uid), *(row for of in attachments.by_entry(db, uid).values() for row in of)]
    return _page(rows, _uid_of, partial(kept.of_row, kept.File))


@pages.get("/watches/<uid>/portraits", endpoint="portraits")
def of_portraits(uid: str) -> Response:
    """The photographs of it."""
    _watch(uid)
    return _page(portraits.of_watch(store().reading(), uid), _uid_of, partial(kept.of_row, kept.Portrait))


@pages.get("/round", endpoint="round")
def round_() -> Response:
    """What to wind now."""
    line_for()
    figures = survey(store(), now(), with_runs=False).own.known
    plan = planned(figures, preferences().values, now(), sitting=True, away=away())
    due = turn(plan, {each.watch.uid: each.standing.wind_by for each in figures})
    parts = roundview.parts(figures, now(), zone(), due)
    lists = {"to_wind": parts.to_wind, "to_look_at": parts.to_look_at, "left_to_run": parts.left_to_run}
    told = {name: [answers.named(each) for each in found] for name, found in lists.items()}
    return answer(answers.Round(at=parts.at, next_at=parts.later, **told).model_dump(mode="json"))


@pages.get("/plan")
def plan() -> Response:
    """The rounds of the coming fortnight."""
    line_for()
    figures = survey(store(), now(), with_runs=False).own.known
    found = planned(figures, preferences().values, now(), sitting=True, away=away())
    nicknames = {each.watch.uid: each.watch.nickname for each in figures}
    return answer(answers.plan(found, nicknames).model_dump(mode="json"))


@pages.get("/services")
def in_need() -> Response:
    """Which watch to open next."""
    line_for()
    figures = survey(store(), now(), with_runs=False).known
    cues = open_cues(store().reading(), [each.watch.uid for each in figures])
    found = serviceview.subjects(figures, cues, preferences().values, now())
    ordered = servicetable.rows(found, servicetable.Wanted())
    return _page(ordered, lambda each: each.each.watch.uid, servicevalues.values_of)


@pages.get("/absences")
def absences() -> Response:
    """When the owner is away."""
    return _page(ahead(store().reading(), now()), lambda each: each.uid, _dumped(Absent))


@pages.get("/tests")
def tests() -> Response:
    """The run-down tests that go on."""
    return _page(open_tests(store().reading()), lambda each: each.uid, _dumped(BenchTest))


@pages.get("/reminders")
def reminders() -> Response:
    """The reminders that are due."""
    return _page(due_reminders(store().reading(), now()), _uid_of, partial(kept.of_row, kept.Reminder))


@pages.get("/sensors")
def every_sensor() -> Response:
    """Every sensor."""
    db = store().reading()
    rows = [row for each in sensors.sensors(db, archived=_put_away()) if (row := sensors.sensor_row(db, each.uid))]
    return _page(rows, _uid_of, lambda row: kept.sensor(row, _lies_on(row["uid"])))


@pages.get("/sensors/<uid>")
def sensor(uid: str) -> Response:
    """One sensor."""
    row = sensors.sensor_row(store().reading(), uid)
    if row is None:
        raise NotFound(say("There is no such sensor, or no longer."))
    return answer(kept.sensor(row, _lies_on(uid)), version=row["version"])


def _lies_on(sensor_uid: str) -> str | None:
    stays = sensors.assignments(store().reading(), sensor_uid=sensor_uid)
    return next((stay.watch_uid for stay in stays if stay.to_s is None), None)


@pages.get("/channels")
def channels() -> Response:
    """Every channel."""
    return _page(shelf.channels(store().reading()), lambda each: each.uid, _channel)


@pages.get("/channels/<uid>")
def channel(uid: str) -> Response:
    """One channel."""
    found = shelf.channel(store().reading(), uid)
    if found is None:
        raise NotFound(say("There is no such channel, or no longer."))
    return answer(_channel(found).model_dump(mode="json"), version=found.version)


def _channel(found: shelf.Channel) -> answers.Channel:
    return answers.Channel(uid=found.uid, name=found.name, paused=found.paused, version=found.version)


@pages.get("/settings")
def settings() -> Response:
    """The owner's preferences."""
    return answer(kept.settings(preferences()), version=preferences().version)


def _watch(uid: str) -> Watch:
    found = register.watch(store().reading(), uid)
    if found is None:
        raise NotFound(say("There is no such watch, or no longer."))
    return found


def _put_away() -> bool:
    """Whether those put away are asked for.

    Raises:
        BadParameter: this says neither.
    """
    typed = request.args.get("put_away", "")
    if typed not in {"", "yes"}:
        raise BadParameter(say("“put_away” says yes, or nothing."), field="put_away", accepted=say("Leave it out."))
    return typed == "yes"


def _uid_of(row: Mapping[str, object]) -> str:
    return str(row["uid"])


def _dumped(of: type[Item]) -> Callable[[Item], Mapping[str, object]]:
    """What a value tells of itself as JSON values."""
    return partial(TypeAdapter(of).dump_python, mode="json")


def _page(
    items: Sequence[Item], uid: Callable[[Item], str], told: Callable[[Item], BaseModel | Mapping[str, object]]
) -> Response:
    """One page of a list, with links to the others."""
    page = paging.page_of(items, uid, request.args)
    values = [told(each) for each in page.items]
    found = answer(
        {"items": [each.model_dump(mode="json") if isinstance(each, BaseModel) else each for each in values]}
    )
    others = {"put_away": "yes"} if request.args.get("put_away") else {}
    found.headers["Link"] = paging.links(page, request.path, others)
    return found
