"""What programs may read: addresses, and the shape of each answer."""

from dataclasses import dataclass
from typing import Any

from tracker.api import answers, kept
from tracker.core.benchtest import BenchTest
from tracker.core.watch import Watch
from tracker.store.absences import Absent


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """One address under /api.

    `shape` is the type of the answer, of one item of it where there are pages (`paged`); none for entries of the log, whose
    shapes are those of their commands. `tagged`: the answer carries an ETag that an edit has to name. `for_helpers`: a
    helper may ask, too. `query` are parameters besides those of pages, each with what it does.
    """

    name: str
    path: str
    summary: str
    shape: Any
    paged: bool = False
    tagged: bool = False
    for_helpers: bool = False
    query: tuple[tuple[str, str], ...] = ()

    @property
    def of_one(self) -> bool:
        """Whether its address names a thing that may not be there."""
        return "{uid}" in self.path


READS = (
    Read(
        name="watches",
        path="/watches",
        summary="Every watch in use, by nickname, and how it stands.",
        shape=answers.Standing,
        paged=True,
        for_helpers=True,
        query=(("put_away", "Those put away instead."),),
    ),
    Read(
        name="watch",
        path="/watches/{uid}",
        summary="What the register says of a watch. A helper is told no more than it takes to wind it.",
        shape=Watch,
        tagged=True,
        for_helpers=True,
    ),
    Read(
        name="standing",
        path="/watches/{uid}/standing",
        summary="How a watch stands: by when to wind it, hours left, its reserve and what tells of it.",
        shape=answers.Standing,
        for_helpers=True,
    ),
    Read(
        name="log",
        path="/watches/{uid}/log",
        summary="The log of a watch, newest first. What was taken out is left out.",
        shape=None,
        paged=True,
    ),
    Read(
        name="barrel",
        path="/watches/{uid}/barrel",
        summary="What the bench knows of a watch's barrel.",
        shape=kept.KeptBarrel,
        tagged=True,
    ),
    Read(
        name="questions",
        path="/watches/{uid}/questions",
        summary="What sensors left open of a watch.",
        shape=answers.Questions,
    ),
    Read(
        name="files",
        path="/watches/{uid}/files",
        summary="The photographs and PDFs that go with a watch or its entries.",
        shape=kept.File,
        paged=True,
    ),
    Read(
        name="portraits",
        path="/watches/{uid}/portraits",
        summary="The photographs of a watch, the one beside its name first.",
        shape=kept.Portrait,
        paged=True,
    ),
    Read(name="round", path="/round", summary="What to wind now.", shape=answers.Round, for_helpers=True),
    Read(name="plan", path="/plan", summary="The rounds of the coming fortnight.", shape=answers.Plan),
    Read(
        name="services",
        path="/services",
        summary="Which watch to open next, and why, in order of need.",
        shape=answers.Service,
        paged=True,
    ),
    Read(
        name="absences",
        path="/absences",
        summary="When the owner is away, from now on.",
        shape=Absent,
        paged=True,
    ),
    Read(name="tests", path="/tests", summary="The run-down tests that go on.", shape=BenchTest, paged=True),
    Read(name="reminders", path="/reminders", summary="The reminders that are due.", shape=kept.Reminder, paged=True),
    Read(
        name="sensors",
        path="/sensors",
        summary="Every sensor in use, by name.",
        shape=kept.KeptSensor,
        paged=True,
        query=(("put_away", "Those put away instead."),),
    ),
    Read(
        name="sensor", path="/sensors/{uid}", summary="One sensor as it was set up.", shape=kept.KeptSensor, tagged=True
    ),
    Read(
        name="channels", path="/channels", summary="The ways by which reminders go.", shape=answers.Channel, paged=True
    ),
    Read(name="channel", path="/channels/{uid}", summary="One of them.", shape=answers.Channel, tagged=True),
    Read(name="settings", path="/settings", summary="The owner's preferences.", shape=kept.KeptSettings, tagged=True),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """What has to lie there before a command can name it. `takes` are the media types of the body."""

    name: str
    path: str
    summary: str
    takes: tuple[str, ...]
    shape: Any
    for_helpers: bool = False


LAID = (
    Laid(
        name="keep-file",
        path="/files",
        summary="Lay down a photograph or a PDF; AttachPhotograph or AttachFile then says what it goes with.",
        takes=("image/jpeg", "image/png", "image/webp", "application/pdf"),
        shape=answers.KeptFile,
        for_helpers=True,
    ),
    Laid(
        name="keep-portrait",
        path="/portraits",
        summary="Lay down a photograph of a watch; AddPortrait then says of which.",
        takes=("image/jpeg", "image/png", "image/webp"),
        shape=answers.KeptPortrait,
    ),
    Laid(
        name="keep-address",
        path="/addresses",
        summary="Lay down the address of a channel; AddChannel then gives it a name. It is never told again.",
        takes=("application/json",),
        shape=answers.KeptAddress,
    ),
)
