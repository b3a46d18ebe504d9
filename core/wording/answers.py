"""Words for answers: results, what was kept, how things stand, questions, help."""

from __future__ import annotations

from datetime import date, datetime

from core.records import EggsOf, FishWeight, Syringe
from core.replies import (
    Answered,
    Ask,
    BatchResult,
    Because,
    Corrected,
    EggsInPlace,
    Exported,
    Given,
    GivenShot,
    HelpText,
    Mended,
    Noted,
    Refused,
    RestTime,
    Result,
    RipeSigns,
    RunCancelled,
    Source,
    SourceLine,
    Status,
    StatusLine,
    Summary,
    TroubleHelp,
)
from core.wording import money
from core.wording.texts import Value
from core.wording.voice import Voice, opening, yes

# Results --------------------------------------------------------------------------------------------------


def result(v: Voice, fact: Result) -> list[str]:
    named = {"species": opening(v.species(fact.species)), "date": _day(v, fact.date)}
    blocks = [v.say("result-closing", **named)] if fact.closing else []
    if fact.hatched_percent is not None:
        percent = v.percent(fact.hatched_percent, counted=False)
        doubt = v.doubt(fact.hatched_low, fact.hatched_high)
        blocks.append(v.say(f"result-of-{fact.hatched_of}", percent=percent, doubt=doubt, **named))
    elif fact.larvae is not None:
        blocks.append(v.say("result-larvae", larvae=v.whole(fact.larvae), **named))
    else:
        blocks.append(v.say(_without_figure(fact), **named))
    blocks += [_batch(v, each) for each in fact.batches] + _result_details(v, fact)
    if fact.newer_without:
        blocks.append(v.say("result-newer", runs=v.names(_day(v, each) for each in fact.newer_without)))
    return blocks


def _without_figure(fact: Result) -> str:
    """No eggs is said only where somebody told so: of a run that closed with all females settled."""
    if fact.had_eggs:
        return f"result-none-{fact.state}"
    if fact.state == "closed":
        return "result-no-eggs"
    return "result-untold" if fact.state == "not-reported" else f"result-none-{fact.state}"


def _batch(v: Voice, batch: BatchResult) -> str:
    """One lot of several on a line: "F1, F2: 75 % of all eggs hatched, fertilised 82 %"."""
    parts = []
    if batch.hatched_percent is not None:
        percent = v.percent(batch.hatched_percent, counted=False)
        parts.append(v.coded("result-batch-of", batch.hatched_of, percent=percent))
    if batch.larvae is not None:
        parts.append(v.say("result-batch-larvae", larvae=v.whole(batch.larvae)))
    if not parts:
        parts.append(v.say("result-batch-none"))
    if batch.fertilised_percent is not None:
        percent = v.percent(batch.fertilised_percent, counted=False)
        parts.append(v.say("result-batch-fertilised", percent=percent))
    if batch.grams is not None:
        parts.append(v.say("result-batch-grams", grams=v.number(batch.grams, 1)))
    if batch.litres is not None:
        parts.append(v.say("result-batch-litres", litres=v.number(batch.litres)))
    return v.say("result-batch", called=opening(batch.called), told=v.names(parts))


def _result_details(v: Voice, fact: Result) -> list[str]:
    """A line each, only of what was told or follows from it; without the rest where the hatch was asked."""
    blocks = _also_hatched(v, fact) if fact.whole else []
    if fact.fertilised_percent is not None:
        percent = v.percent(fact.fertilised_percent, counted=False)
        doubt = v.doubt(fact.fertilised_low, fact.fertilised_high)
        blocks.append(v.say("result-fertilised", percent=percent, doubt=doubt))
    if fact.larvae is not None and fact.hatched_percent is not None:
        blocks.append(v.say("hatched-larvae", larvae=v.whole(fact.larvae)))
    if fact.swim_up is not None:
        blocks.append(v.say("result-swim-up", larvae=v.about(fact.swim_up)))
    if fact.sold is not None:
        blocks.append(v.say("result-sold", larvae=v.whole(fact.sold)))
    if not fact.whole:
        return [*blocks, *_gave(v, fact)]
    blocks += [*_larvae_per_kg(v, fact), *_gave(v, fact), *_of_females(v, fact), *_of_the_night(v, fact)]
    blocks += [money.sum_of(v, "money-spent", each) for each in fact.spent]
    blocks += [money.sum_of(v, "money-earned", each) for each in fact.earned]
    return blocks + money.per_thousand(v, fact.cost, fact.price)


def _gave(v: Voice, fact: Result) -> list[str]:
    """How many females gave eggs."""
    if fact.ovulated is None or fact.injected is None:
        return []
    counts = {"ovulated": v.whole(fact.ovulated), "injected": v.whole(fact.injected)}
    return [v.say("result-females", **counts)]


def _also_hatched(v: Voice, fact: Result) -> list[str]:
    """The other hatch rate, where it could be worked out."""
    worked_out = {"all": fact.percent_of_eggs, "fertilised": fact.percent_of_fertilised}.get(fact.derived)
    if worked_out is None:
        return []
    doubt = v.doubt(fact.derived_low, fact.derived_high)
    return [v.coded("result-also", fact.derived, percent=v.percent(worked_out, counted=True), doubt=doubt)]


def _larvae_per_kg(v: Voice, fact: Result) -> list[str]:
    told = {"hatched": fact.larvae_per_kg, "swim-up": fact.swim_up_per_kg, "sold": fact.sold_per_kg}
    known = [
        v.coded("per-kg", stage, number=v.about(number))
        for stage, number in told.items()
        if number is not None
    ]
    return [v.say("result-per-kg", told=v.names(known))] if known else []


def _of_females(v: Voice, fact: Result) -> list[str]:
    """The eggs they gave, and how many these are."""
    blocks = []
    if fact.egg_grams is not None and fact.body_percent is not None:
        weight = {"grams": v.number(fact.egg_grams, 1), "percent": v.number(fact.body_percent, 1)}
        blocks.append(v.say("result-grams", **weight))
    elif fact.egg_litres is not None:
        blocks.append(v.say("result-litres", litres=v.number(fact.egg_litres)))
    if fact.eggs is not None:
        per_kg = (
            "" if fact.eggs_per_kg is None else v.say("result-eggs-per-kg", eggs=v.about(fact.eggs_per_kg))
        )
        by = "own" if fact.mark == "the farm's own" else "card"
        doubt = "" if by == "own" else about_doubt(v, fact.eggs_low, fact.eggs_high)
        blocks.append(v.say("result-eggs", eggs=v.about(fact.eggs), doubt=doubt, per_kg=per_kg, by=by))
    return blocks


def about_doubt(v: Voice, low: float | None, high: float | None) -> str:
    """ ", roughly 189,000-512,000": the ends to three figures."""
    return "" if low is None or high is None else v.say("doubt", low=v.about(low), high=v.about(high))


def _of_the_night(v: Voice, fact: Result) -> list[str]:
    """Hours against the window, and the water."""
    blocks = []
    if fact.hours_to_strip is not None:
        told = v.say("result-hours", hours=v.number(fact.hours_to_strip, 1), way=fact.way)
        blocks.append(v.joined("sentences", [told, *_window(v, fact)]))
    if fact.water is not None:
        water = fact.water
        ends_of = {"low": v.celsius(water.low), "high": v.celsius(water.high)}
        steady = yes(ends_of["low"] == ends_of["high"])
        mean = v.celsius(water.mean)
        blocks.append(v.say("result-water", mean=mean, steady=steady, guessed=yes(water.guessed), **ends_of))
    return blocks + _hormone(v, fact)


def _hormone(v: Voice, fact: Result) -> list[str]:
    used = fact.hormone
    if used is None:
        return []
    parts = [] if used.ml is None else [v.say("dose-ml", ml=v.ml(used.ml))]
    if used.amount is not None and used.unit != "mL":
        parts.append(v.say("amount", amount=v.amount(used.amount), unit=v.unit(used.unit)))
    preparation = v.preparation(used.preparation)
    return [v.say("result-hormone", used=v.names(parts), preparation=preparation)] if parts else []


def _window(v: Voice, fact: Result) -> list[str]:
    if fact.window is not None and fact.against_window is not None:
        window = fact.window
        ends = (window.earliest, window.most_from, window.most_to, window.latest)
        names = ("earliest", "from", "to", "latest")
        hours: dict[str, Value] = {n: v.number(end, 1) for n, end in zip(names, ends, strict=True)}
        return [v.coded("result-window", fact.against_window, assumed=yes(window.assumed), **hours)]
    return []


def _day(v: Voice, text: str) -> str:
    """An ISO day as people write it; a run's name stays as it is."""
    try:
        return v.day(date.fromisoformat(text))
    except ValueError:
        return text


def summary(v: Voice, fact: Summary) -> list[str]:
    species = v.say("any-species") if fact.species is None else v.species(fact.species)
    named = {"period": v.coded("period", fact.period), "species": species}
    runs = {"runs": v.whole(fact.runs), "counted": v.whole(fact.counted)}
    if fact.hatched_mean_percent is None:
        blocks = [v.say("summary-none", **named, **runs)]
    else:
        mean = share_of_mean(v, fact)
        of = v.coded("hatch-of", fact.hatched_of)
        blocks = [v.say("summary", mean=mean, of=of, **named, **runs)]
    if fact.larvae is not None:
        blocks.append(v.say("hatched-larvae", larvae=v.whole(fact.larvae)))
    if fact.sold is not None:
        blocks.append(v.say("result-sold", larvae=v.whole(fact.sold)))
    named_apart = (*fact.no_eggs, *fact.other_eggs)
    untold = [each for each in fact.left_out if each not in named_apart]
    for name, days in (
        ("summary-no-eggs", fact.no_eggs),
        ("summary-other-eggs", fact.other_eggs),
        ("summary-left-out", untold),
    ):
        if days:
            blocks.append(v.say(name, runs=v.names(_day(v, each) for each in days)))
    return blocks


def share_of_mean(v: Voice, fact: Summary) -> str:
    percent = v.percent(fact.hatched_mean_percent or 0.0, counted=True)
    if fact.hatched_low_percent is None or fact.hatched_high_percent is None:
        return v.say("share", percent=percent)
    ends = {"low": v.whole(fact.hatched_low_percent), "high": v.whole(fact.hatched_high_percent)}
    return v.say("summary-mean", percent=percent, **ends)


def rest(v: Voice, fact: RestTime) -> list[str]:
    species = opening(v.species(fact.species))
    if fact.low_days is None or fact.high_days is None:
        return [v.say("rest-none", species=species)]
    span = {"low": v.whole(fact.low_days), "high": v.whole(fact.high_days)}
    if fact.days is None:
        told = v.say("rest-span", species=species, **span)
    else:
        told = v.say("rest-usual", species=species, days=v.whole(fact.days), **span)
    return [*_rest_left(v, fact), told]


def _rest_left(v: Voice, fact: RestTime) -> list[str]:
    """Of one female: the days that are left come first."""
    if fact.gave_at is None or fact.rested_at is None or fact.left_days is None:
        return []
    gave, rested = (v.day(at.astimezone(v.zone).date()) for at in (fact.gave_at, fact.rested_at))
    told = {"tag": fact.tag, "gave": gave, "rested": rested}
    if not fact.left_days:
        return [v.say("rest-over", **told)]
    return [v.say("rest-left", left=fact.left_days, days=v.whole(fact.left_days), **told)]


def ripe_signs(v: Voice, fact: RipeSigns) -> list[str]:
    lines = [v.coded("sign", code) for code in fact.signs]
    return [v.say("ripe-signs", species=v.species(fact.species)), *(lines or [v.say("ripe-signs-none")])]


def given(v: Voice, fact: Given) -> list[str]:
    if not fact.given:
        return [v.say("given-nothing")]
    blocks = [_shot(v, shot) for shot in fact.given]
    if fact.total_per_kg is not None:
        total = {"amount": v.amount(fact.total_per_kg), "unit": v.unit(fact.total_unit)}
        blocks.append(v.say("given-total", **total))
    return blocks


def _shot(v: Voice, shot: GivenShot) -> str:
    parts = []
    if shot.ml is not None:
        parts.append(v.say("dose-ml", ml=v.ml(shot.ml)))
    if shot.amount is not None:
        parts.append(v.say("amount", amount=v.amount(shot.amount), unit=v.unit(shot.unit)))
    sheet = ""
    if shot.share_percent is not None:
        sheet = " " + v.say("given-share", percent=v.percent(shot.share_percent, counted=False))
    if shot.sheet_ml is not None and shot.ml is not None:
        off = "over" if shot.ml > shot.sheet_ml else "under"
        sheet += " " + v.coded("given-sheet", off, ml=v.ml(shot.sheet_ml))
    return v.say(
        "given-shot",
        sheet=sheet,
        tag=shot.tag,
        n=v.whole(shot.n),
        dose=v.names(parts) or v.say("given-unknown"),
        at=v.time(shot.at) if shot.hour_told else v.day(shot.at.astimezone(v.zone).date()),
        by="" if shot.by is None else " " + v.say("by", name=shot.by),
    )


# What was kept --------------------------------------------------------------------------------------------


OF_PREPARATION = ("prepared", "prepared-known", "one-shot", "shots", "priming-alone")


def noted(v: Voice, fact: Noted) -> list[str]:
    blocks = [
        v.coded(
            "noted",
            fact.what,
            echo="yes" if fact.echo else "no",
            who=v.who(fact.tags),
            tags=v.names(fact.tags),
            when=v.when(fact.at),
            at="" if fact.at is None else v.time(fact.at),
            until="" if fact.next_at is None else v.time(fact.next_at),
            step=opening(v.step(fact.step)) if fact.step else "",
            celsius="" if fact.celsius is None else v.celsius(fact.celsius),
            number="" if fact.number is None else v.number(fact.number),
            word=fact.word.replace("_", "-"),
            species=v.species(fact.word) if fact.what == "species" else "",
            preparation=v.preparation(fact.word) if fact.what in OF_PREPARATION else "",
            strength="" if fact.strength is None else v.strength(fact.strength),
            thing=v.coded("happening", fact.word) if fact.what == "undone" else "",
            counted=yes(fact.whole is not None),
            total="" if fact.total is None else v.whole(fact.total),
            whole="" if fact.whole is None else v.whole(fact.whole),
            syringes=v.names(_syringe(v, each) for each in fact.syringes),
        )
    ]
    if fact.next_step and fact.next_at is not None:
        step = v.part(fact.next_step, fact.next_called)
        blocks.append(v.say("next", at=v.time(fact.next_at), step=step, who=""))
    return blocks


def _syringe(v: Voice, each: Syringe) -> str:
    return v.say("syringe", ml=v.number(each.ml), mark=v.number(each.mark_ml))


def corrected(v: Voice, fact: Corrected) -> list[str]:
    if fact.before == fact.after:
        blocks = [v.say("corrected-same")]
    else:
        before, after = _mended(v, fact.before), _mended(v, fact.after)
        step = opening(v.step(fact.of)) if v.texts.has(f"step-{fact.of}") else ""
        of = "step" if step else fact.of
        blocks = [v.say("corrected", of=of, step=step, before=before, after=after)]
    if not fact.already_injected:
        return blocks
    blocks.append(v.say("corrected-injected-fish", tags=v.names(fact.already_injected)))
    if fact.dose_before_ml is not None and fact.dose_after_ml is not None:
        doses = {"before": v.ml(fact.dose_before_ml), "after": v.ml(fact.dose_after_ml)}
        blocks.append(v.say("corrected-old-dose", **doses))
    return [*blocks, v.say("corrected-no-second")]


def _mended(v: Voice, value: Mended) -> str:
    if value is None:
        return ""
    if isinstance(value, float | int):
        return v.say("mended-water", celsius=v.celsius(value))
    return v.names(_mended_part(v, each) for each in value)


def _mended_part(v: Voice, part: FishWeight | EggsOf | EggsInPlace | datetime) -> str:
    match part:
        case EggsInPlace():
            place = part.place + " " if part.place else ""
            return v.say("mended-litres", place=place, litres=v.number(part.litres))
        case FishWeight():
            return v.say("mended-weight", tag=part.tag, kg=v.kg(part.kg))
        case EggsOf():
            grams = "" if part.grams is None else v.number(part.grams, 1)
            return v.say("mended-eggs", tag=part.tag, grams=grams)
        case _:
            return v.time(part)


def cancelled(v: Voice, fact: RunCancelled) -> list[str]:
    blocks = [v.say("cancelled", species=opening(v.species(fact.species)))]
    return blocks + ([v.say("cancelled-treated", tags=v.names(fact.treated))] if fact.treated else [])


def answered(v: Voice, fact: Answered) -> list[str]:
    by = v.say("answered-somebody") if fact.by is None else fact.by
    step = "" if not fact.step else " " + v.say("answered-step", step=v.step(fact.step))
    text = "answered-elsewhere" if fact.elsewhere else "answered"
    return [v.say(text, by=by, when=v.when(fact.at), step=step)]


# How things stand -----------------------------------------------------------------------------------------


def status(v: Voice, fact: Status) -> list[str]:
    return [_status_line(v, line) for line in fact.runs] or [v.say("status-nothing")]


def _status_line(v: Voice, line: StatusLine) -> str:
    name = opening(v.called(line.called or line.species))
    parts = [v.say(f"status-{line.state}", name=name)]
    if line.injected_at is not None:
        parts.append(v.say("status-injected", at=v.time(line.injected_at)))
        parts.append(v.say("status-females", settled=v.whole(line.settled), females=v.whole(line.females)))
    if line.next_step and line.next_at is not None:
        parts.append(v.say("next", at=v.time(line.next_at), step=v.step(line.next_step), who=""))
    return " ".join(parts)


def help_text(v: Voice, fact: HelpText) -> list[str]:
    opened = v.say("welcome") if fact.welcome else v.say("help-head")
    return [*opened.splitlines(), *v.say("help").splitlines()]


def source(v: Voice, fact: Source) -> list[str]:
    """Two lines: how the figure came about, and where from."""
    values = {each.name: _because(v, each) for each in fact.values}
    reasons = " ".join(v.coded("reason", code, **values) for code in fact.reasons)
    return [each for each in (reasons, _where_from(v, fact)) if each]


def _because(v: Voice, value: Because) -> Value:
    """A value of the reasoning, written as its unit wants it."""
    if isinstance(value.value, datetime):
        return v.time(value.value)
    if isinstance(value.value, str):
        return _named_value(v, value, value.value)
    match value.unit:
        case "C":
            return v.celsius(value.value)
        case "kg":
            return v.kg(value.value)
        case "h":
            return v.number(value.value, 1)
        case "mL":
            return v.ml(value.value)
        case "ug" | "mg" | "IU":
            return v.amount(value.value)
        case _:
            return v.number(value.value)


def _named_value(v: Voice, value: Because, text: str) -> str:
    if value.unit == "unit":
        return v.unit(text)
    return v.coded("since", text) if value.name == "since" else text


def _where_from(v: Voice, fact: Source) -> str:
    """The strongest sources with their marks, how many more, the mark of the whole, and our own part."""
    if not fact.lines:
        return v.say("source-rule") if fact.rule else ""
    marks = dict.fromkeys((line.brief or _unnamed(v, line), line.mark) for line in fact.lines)
    named = list(marks)[: len(marks) - fact.more]
    groups = []
    for mark in dict.fromkeys(mark for _, mark in named):
        names = v.names(name for name, of in named if of == mark)
        groups.append(v.say("source-of", names=names, mark=v.mark(mark)))
    said = v.say("source", sources=v.joined("source-then", groups))
    if fact.more:
        said = v.say("source-more", said=said, count=v.whole(fact.more))
    if fact.mark is not None and fact.mark not in {mark for _, mark in named}:
        said = v.say("source-whole", said=said, mark=v.mark(fact.mark))
    return v.say("source-and-rule", said=said) if fact.rule else v.say("source-end", said=said)


def _unnamed(v: Voice, line: SourceLine) -> str:
    return v.say("source-own") if line.mark == "the farm's own" else line.title or line.id


# Questions and refusals -----------------------------------------------------------------------------------


def ask(v: Voice, fact: Ask) -> list[str]:
    values: dict[str, Value] = {
        "words": _said(v, fact),
        "why": fact.why,
        "numbered": yes(fact.number is not None),
        "number": "" if fact.number is None else v.number(fact.number),
        "tags": v.names(fact.tags),
        "limit": "" if fact.limit is None else v.number(fact.limit),
        "unit": v.unit(fact.words) if fact.limit is not None and fact.words else "",
        "preparation": v.preparation(fact.words) if fact.why == "wrong-dose-unit" else "",
        "who": v.who(fact.tags),
        "when": v.when(fact.at),
        "at": "" if fact.at is None else v.time(fact.at),
        "thing": v.coded("happening", fact.why) if fact.about == "undo" else "",
    }
    several = len(fact.candidates) > 1 or fact.why != "ambiguous-intent"
    said = fact.why not in ("", fact.about) and fact.about != "undo" and several
    why = v.coded("ask-why", fact.why, **values) if said else ""
    one = "candidates" if len(fact.candidates) > 1 else "candidate"
    about = v.coded("ask-about", one if fact.candidates else fact.about, **values)
    return [each for each in (why, about) if each]


def _said(v: Voice, fact: Ask) -> str:
    if fact.why == "other-before":
        return v.preparation(fact.words)
    return v.species(fact.words) if v.is_species(fact.words) else fact.words


def refused(v: Voice, fact: Refused) -> list[str]:
    number = "" if fact.number is None else v.number(fact.number)
    known = v.names(v.species(each) for each in fact.known)
    words = v.species(fact.words) if v.is_species(fact.words) else fact.words
    timed = {"timed": yes(fact.at is not None), "when": v.when(fact.at)}
    return [v.coded("refused", fact.why, words=words, known=known, number=number, **timed)]


def exported(v: Voice, fact: Exported) -> list[str]:
    counts: dict[str, Value] = {"runs_are": fact.runs, "people_are": fact.people}
    numbers = {"runs": fact.runs, "people": fact.people}
    return [
        v.say("export", at=v.time(fact.at), **counts, **{n: v.whole(count) for n, count in numbers.items()})
    ]


def trouble(v: Voice, fact: TroubleHelp) -> list[str]:
    return v.coded("trouble", fact.what, stage=fact.stage).splitlines()
