"""A sign of a fault, noted at the bench."""

from typing import Self

from pydantic import model_validator
from pydantic_core import PydanticCustomError

from tracker.commands.base import EntryCommand, Who
from tracker.commands.fields import NotNegative, ShortText
from tracker.commands.log import write_entry
from tracker.core.faults import FIGURES, WORDS, Sign
from tracker.store.writer import Writer


class LogSign(EntryCommand):
    """What was found of one sign: one of its words; or a figure beside what it should be, in one unit."""

    sign: Sign
    word: ShortText = ""
    figure: NotNegative = None
    expected: NotNegative = None

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        both = self.figure is not None and self.expected is not None
        if self.word and self.word not in WORDS[self.sign]:
            raise PydanticCustomError("word_of_sign", "word_of_sign", {"words": ", ".join(WORDS[self.sign])})
        if not self.word and not (both and self.sign in FIGURES):
            raise PydanticCustomError("sign_unsaid", "sign_unsaid", {"words": ", ".join(WORDS[self.sign])})
        return self

    def apply(self, writer: Writer, who: Who) -> None:
        write_entry(self, writer, who, "bench_sign", self.model_dump(include={"sign", "word", "figure", "expected"}))
