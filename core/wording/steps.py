"""Words for bells, and for what comes next."""

from __future__ import annotations

from core.replies import StepDue
from core.wording import bottles
from core.wording.doses import doubt, making, outside, step_line
from core.wording.voice import Voice, yes

TWO_LIQUIDS = "urea-and-salt"
"""De-sticking so, carp eggs are fertilised in a liquid of their own: the two must not be swapped."""
READ_BEFORE_HANDS_ARE_WET = ("fertilise", "spread", "destick")
BY_WAY = ("get-ready", "check-nest", "remove-brood", "load", "care")
OF_THE_SHELF = ("bottle-expires", "bottle-low")
WITH_QUESTION = (
    "strip",
    "check-fertilised",
    "check-hatch",
    "check-brood",
    "collect-eggs",
    "check-water",
    "first-feed",
    "remove-substrate",
)


def step(v: Voice, fact: StepDue) -> list[str]:
    """A late bell begins with how late it is; what it is about follows."""
    if _only_named(v, fact):
        return [next_step(v, fact), *_against(v, fact), *_doses(v, fact)]
    first, *rest = _what_to_do(v, fact)
    if fact.attempt > 1:
        first = v.say("again", text=first)
    if fact.late_minutes:
        late = v.say("late", by=v.duration(fact.late_minutes), due=v.time(fact.due_at))
        first, rest = late, [first, *rest]
    if fact.tried:
        rest = [*rest, v.say("tried", names=v.names(fact.tried))]
    return [first, *rest]


def question(v: Voice, fact: StepDue) -> str:
    """What a bell asks where the reply asks nothing else: it stands last, after the cautions."""
    if fact.step not in WITH_QUESTION or _only_named(v, fact):
        return ""
    return v.say(f"bell-{fact.step}-ask")


def next_step(v: Voice, fact: StepDue) -> str:
    return v.say("next", at=v.time(fact.due_at), step=v.step(fact.step), who=v.who(fact.tags))


def _only_named(v: Voice, fact: StepDue) -> bool:
    """Asked "what next?": the coming step is named. What is read before hands are wet is told in full."""
    return (
        not fact.bell
        and not fact.late_minutes
        and fact.due_at > v.now
        and fact.step not in READ_BEFORE_HANDS_ARE_WET
    )


def _what_to_do(v: Voice, fact: StepDue) -> list[str]:
    if fact.step == "fertilise":
        return _fertilise(v, fact)
    if fact.step == "all-well":
        return [_evening(v, fact)]
    if fact.step in OF_THE_SHELF:
        return bottles.bell(v, fact)
    return [_sentence(v, fact), *_against(v, fact), *_doses(v, fact), *_besides(v, fact)]


def _evening(v: Voice, fact: StepDue) -> str:
    """All is well is said only where nothing waits for an answer."""
    if fact.unanswered:
        first = v.say("bell-unanswered", steps=v.names(v.step(each) for each in fact.unanswered))
    else:
        first = v.say("bell-all-well")
    if fact.next_at is None:
        return v.say("bell-evening-last", first=first)
    return v.say("bell-evening-next", first=first, at=v.time(fact.next_at))


def _sentence(v: Voice, fact: StepDue) -> str:
    since = "" if fact.since is None else v.say("bell-since", at=v.time(fact.since)) + " "
    return since + _bare_sentence(v, fact)


def _bare_sentence(v: Voice, fact: StepDue) -> str:
    if fact.step == "destick":
        return v.say(f"bell-destick-{fact.destick_with or 'any'}")
    name = f"bell-{fact.step}-{fact.way}" if fact.step in BY_WAY else f"bell-{fact.step}"
    return v.say(
        name,
        tagged=yes(fact.tags),
        tags=v.names(fact.tags),
        timed=yes(fact.minutes),
        minutes=v.whole(fact.minutes or 0),
        live=yes(fact.live_food),
    )


def _against(v: Voice, fact: StepDue) -> list[str]:
    """What speaks against an injection: the water, or what she got so far."""
    return [*outside(v, fact.outside), *(doubt(v, each) for each in fact.doubts)]


def _doses(v: Voice, fact: StepDue) -> list[str]:
    mixed = [making(v, each) for each in fact.makings]
    return mixed + [step_line(v, line, priming=fact.step == "prime") for line in fact.doses]


def _besides(v: Voice, fact: StepDue) -> list[str]:
    """What else belongs to this bell."""
    blocks = []
    if fact.step == "collect-eggs" and fact.after_hours is not None:
        hours = v.number(fact.after_hours)
        blocks.append(v.say("bell-collect-eggs-rule", hours=hours, rule=fact.rule.replace(" ", "-")))
    if fact.step == "check-nest" and fact.last:
        blocks.append(v.say("bell-check-nest-last"))
    if fact.step in ("prime", "inject"):
        blocks.append(v.say("bell-needle"))
    if fact.step == "check-females" and fact.running:
        blocks.append(v.say("bell-running-already", tags=v.names(fact.running)))
    if fact.step == "check-fertilised" and fact.stage:
        blocks.append(v.say(f"stage-{fact.stage}"))
    if fact.step == "strip" and fact.male_cut:
        blocks.append(v.say("bell-strip-male"))
    if fact.step == "check-females" and fact.last:
        blocks.append(v.say("bell-check-females-last"))
    if fact.step == "check-water" and fact.celsius is not None:
        blocks.append(v.say("bell-water-was", celsius=v.celsius(fact.celsius)))
    return blocks


def _fertilise(v: Voice, fact: StepDue) -> list[str]:
    milt = v.say("bell-milt-cut" if fact.male_cut else "bell-milt")
    much = [] if fact.milt_ml is None else [v.say("bell-milt-much", ml=v.number(fact.milt_ml, 1))]
    bath = [v.say("bell-bath-before-water")] * (fact.bath_order == "before-water")
    then = [v.say(_then(fact))] if fact.stickiness else []
    two_liquids = fact.destick_with == TWO_LIQUIDS
    water = v.say("bell-add-fertilising-liquid" if two_liquids else "bell-add-water")
    return [v.say("bell-fertilise"), milt, *much, *bath, water, *then]


def _then(fact: StepDue) -> str:
    """What follows the water: by how the eggs stick, and what takes the glue off them."""
    if fact.stickiness != "de-stick":
        return f"bell-then-{fact.stickiness}"
    return f"bell-then-destick-{fact.destick_with or 'any'}"
