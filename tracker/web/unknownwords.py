"""What the estimator cannot know, said in plain words."""

from tracker import phrases
from tracker.figures import Figures
from tracker.web import reservewords
from tracker.words import say

MANY_ENDS = 20
"""So many exact ends, and the shape assumed of the scatter begins to matter."""


def cannot_know(each: Figures) -> list[str]:
    """What this log leaves open, then what no log tells."""
    return [*of_this_log(each), *of_any_log(each)]


def of_this_log(each: Figures) -> list[str]:
    """What the kinds of runs noted of this watch leave open."""
    counts = each.estimate.evidence
    stops, at_least = reservewords.stops(each.estimate), counts.get("at_least", 0)
    said = []
    if at_least and not stops:
        said.append(_only_from_below(each))
    if stops and stops == counts.get("at_most", 0) and not at_least:
        said.append(say("Nothing is known from below: it was never seen going before it was found stopped."))
    if not at_least and not stops:
        said.append(say("Nothing is known from this watch itself yet."))
    if any(len(run.evidence.spans_h) > 1 for run in each.segment.runs):
        said.append(
            say(
                "Hands tell the hour, not which half of the day: where a run could be one of several lengths twelve hours "
                "apart, the other runs decide which is likelier."
            )
        )
    if counts.get("exact", 0) >= MANY_ENDS:
        said.append(
            say(
                "The shape of its scatter is not known to better than ± 0.6 % of the hours, however many runs are seen."
            )
        )
    if not each.segment.serviced and each.segment.runs:
        said.append(
            say("No service is noted: its age counts from its first run, and what it ran when new is not known.")
        )
    return said


def _only_from_below(each: Figures) -> str:
    longest = max(run.evidence.spans_h[0][0] for run in each.segment.runs if run.evidence.kind == "at_least")
    return say(
        "Only a lower bound: nothing seen so far says how long it runs, only that it is at least {longest}; the upper end "
        "comes from {given}.",
        longest=phrases.length(longest, known_to_h=0.5),
        given=reservewords.given(each.watch),
    )


def of_any_log(each: Figures) -> list[str]:
    """What no log tells."""
    said = [
        say(
            "It speaks of clean runs, fully wound and left alone. About one run in thirty is taken to be not what was noted, "
            "so that one odd run does not carry the day."
        ),
        say(
            "A winding that nobody noted makes a run look longer, never shorter: a figure that seems too good may rest on one."
        ),
    ]
    if each.segment.runs:
        said.append(
            say(
                "A log of hours cannot tell a spring that has set from a bridle that slips early, nor either from a train "
                "that takes more force; the turns to full and the amplitude would."
            )
        )
    return said
