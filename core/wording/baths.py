"""Words for baths: what to mix, or why nothing is mixed."""

from __future__ import annotations

from core.baths import Amount
from core.replies import BathKept, BathMix
from core.wording.voice import Voice, opening, yes

ASKED_INSTEAD = ("eggs-or-tools", "basis-not-told", "which-liquid")
"""Warnings that the question under the reply, or its first line, tells already."""
LABELS = "us-label-table"
ASLEEP = ("anaesthetic",)


def bath(v: Voice, fact: BathMix) -> list[str]:
    """The amounts first, or the refusal and its reason."""
    if fact.verdict == "out-now":
        return [v.say("bath-out-now"), *_why_out(v, fact)]
    if fact.verdict == "not-now":
        return [v.say("bath-not-now")]
    if fact.verdict == "kills":
        blocks = [v.say("bath-kills", **_strengths(v, fact)), _killed(v, fact), *_tried(v, fact)]
        return blocks + _if_inside(v, fact)
    if fact.verdict == "too-strong":
        killed = [_killed(v, fact)] if fact.limit else []
        return [v.say("bath-too-strong", **_strengths(v, fact)), *killed, *_if_inside(v, fact)]
    if fact.verdict == "wrong-jar":
        return [v.say(f"bath-wrong-jar-{fact.use}", **_strengths(v, fact))]
    if fact.verdict == "other-species":
        return [v.say("bath-other-species", species=_species(v, fact), **_strengths(v, fact))]
    return _mixed(v, fact)


def kept(v: Voice, fact: BathKept) -> list[str]:
    """A measure or a bottle of the farm's own, as it was told."""
    stuff = v.coded("agent", fact.stuff)
    if fact.percent is not None:
        return [v.say("bath-kept-bottle", stuff=stuff, percent=v.number(fact.percent))]
    if fact.grams is not None:
        return [v.say("bath-kept-grams", of=fact.of, stuff=stuff, grams=v.number(fact.grams))]
    return [v.say("bath-kept-ml", of=fact.of, stuff=stuff, ml=v.number(fact.ml or 0.0))]


def _in_scoops(v: Voice, fact: BathMix) -> list[str]:
    several = len({each.stuff for each in fact.in_scoops}) > 1
    return [
        v.say(
            "bath-in-scoops",
            count=v.number(each.count, 1),
            one=yes(each.count == 1),
            of=each.of,
            stuff=v.coded("agent", each.stuff),
            named=yes(several),
        )
        for each in fact.in_scoops
    ]


def _mixed(v: Voice, fact: BathMix) -> list[str]:
    blocks = [_mix(v, fact), *_in_scoops(v, fact)]
    if fact.stock_percent is not None and fact.stock_ml is not None:
        blocks.append(v.say("bath-bottle", percent=v.number(fact.stock_percent)))
    if fact.target_mg_per_l is not None:
        blocks.append(_strength_of_bath(v, fact))
    elif fact.reported_high is not None:
        blocks.append(v.say("bath-reported", on=fact.on or "unknown", **_strengths(v, fact)))
    if fact.low_mg_per_l is not None and fact.high_mg_per_l is not None:
        low, high = v.number(fact.low_mg_per_l), v.number(fact.high_mg_per_l)
        blocks.append(v.say("bath-range", low=low, high=high))
    return blocks + [_warning(v, fact, code) for code in fact.warnings if code not in ASKED_INSTEAD]


def _warning(v: Voice, fact: BathMix, code: str) -> str:
    if code in ("other-species", "species-not-told"):
        return v.say(f"bath-warning-{code}", species=_species(v, fact), known=_known_for(v, fact))
    if code == "egg-bath-evidence":
        return v.say(
            "bath-warning-egg-bath-evidence",
            foreign=yes(fact.species not in (None, fact.trial_species)),
            species=_species(v, fact),
            trial=opening(_called(v, fact.trial_species)),
            percent=v.number(fact.trial_hatched_percent or 0.0),
            strength=v.number(fact.trial_mg_per_l or 0.0),
            minutes=v.whole(fact.trial_minutes or 0.0),
        )
    if code == "iodine-water":
        low, high = v.number(fact.low_ph or 0.0), v.number(fact.high_ph or 0.0)
        return v.say("bath-warning-iodine-water", low=low, high=high)
    return v.coded("bath-warning", code)


def _mix(v: Voice, fact: BathMix) -> str:
    into = "" if fact.litres is None else " " + v.say("bath-into", litres=v.number(fact.litres))
    measured = [part for part in fact.parts if part.grams is not None or part.ml is not None]
    if measured:
        return v.say(
            "bath-of-parts", parts=v.joined("bath-plus", [_part(v, one) for one in measured]), into=into
        )
    if fact.parts:
        return v.say(
            "bath-per-litre", parts=v.joined("bath-plus", [_per_litre(v, one) for one in fact.parts])
        )
    amount = fact.stock_ml if fact.stock_ml is not None else fact.powder_g
    if amount is None:
        return v.say("bath-no-amount", agent=_agent(v, fact))
    name = "bath-ml" if fact.stock_ml is not None else "bath-grams"
    return v.say(name, amount=v.number(amount), agent=_agent(v, fact), into=into)


def _part(v: Voice, part: Amount) -> str:
    stuff = v.coded("agent", part.stuff)
    if part.ml is not None:
        return v.say("bath-part-ml", amount=v.number(part.ml), stuff=stuff)
    return v.say("bath-part-grams", amount=v.number(part.grams or 0.0), stuff=stuff)


def _per_litre(v: Voice, part: Amount) -> str:
    stuff = v.coded("agent", part.stuff)
    if part.g_per_l >= 1:
        return v.say("bath-part-grams", amount=v.number(part.g_per_l), stuff=stuff)
    return v.say("bath-part-mg", amount=v.number(part.mg_per_l), stuff=stuff)


def _agent(v: Voice, fact: BathMix) -> str:
    code = fact.agent or fact.purpose
    return v.say("agent-unknown") if code is None else v.coded("agent", code)


def _strength_of_bath(v: Voice, fact: BathMix) -> str:
    if len(fact.parts) > 1 and fact.use is not None:
        parts = v.joined("bath-plus", [_per_litre(v, one) for one in fact.parts])
        return v.say(f"bath-is-{fact.use}", parts=parts)
    basis = "" if fact.stock_basis is None else " " + v.coded("bath-of", fact.stock_basis)
    return v.say(
        "bath-target",
        basis=basis,
        timed="most" if fact.at_most else yes(fact.minutes),
        minutes=v.whole(fact.minutes or 0),
        on=fact.on or fact.use or "unknown",
        **_strengths(v, fact),
    )


def _strengths(v: Voice, fact: BathMix) -> dict[str, str]:
    shown = fact.shown
    if shown is None:
        target = v.number(fact.target_mg_per_l or 0)
        return {
            "target": target,
            "unit": "mg",
            "low": "",
            "high": "",
            "agent": _agent(v, fact),
            "known": "",
            "one": "no",
        }
    low, high = ("" if one is None else v.number(one) for one in (shown.low, shown.high))
    return {
        "target": v.number(shown.target or 0),
        "unit": shown.unit,
        "low": low,
        "high": high,
        "one": yes(low == high),
        "agent": _agent(v, fact),
        "known": _known_for(v, fact),
    }


def _known_for(v: Voice, fact: BathMix) -> str:
    if not fact.known_for:
        return v.say("bath-known-labels" if LABELS in fact.basis else "bath-known-others")
    return v.names(v.species(each) for each in fact.known_for)


def _species(v: Voice, fact: BathMix) -> str:
    return _called(v, fact.species)


def _called(v: Voice, slug: str | None) -> str:
    return v.species(slug) if slug else v.say("bath-this-fish")


def _killed(v: Voice, fact: BathMix) -> str:
    """What died, of whom, in how long."""
    shown = fact.shown
    return v.say(
        f"bath-limit-{fact.limit}",
        species=v.species(fact.limit_species),
        on=fact.on or "fish",
        limit=v.number(shown.limit if shown and shown.limit is not None else fact.limit_mg_per_l or 0),
        unit=shown.unit if shown else "mg",
        timed=yes(fact.limit_minutes),
        minutes=v.whole(fact.limit_minutes or 0),
    )


def _if_inside(v: Voice, fact: BathMix) -> list[str]:
    return [v.say("bath-if-inside")] if fact.purpose in ASLEEP else []


def _tried(v: Voice, fact: BathMix) -> list[str]:
    """What was borne, and that it is known of nobody else."""
    if fact.reported_high is None:
        return []
    return [
        v.say("bath-borne", **_strengths(v, fact)),
        v.say("bath-known-of-no-other", known=_known_for(v, fact)),
    ]


def _why_out(v: Voice, fact: BathMix) -> list[str]:
    if fact.target_mg_per_l is None or fact.reported_high is None:
        return []
    if fact.target_mg_per_l <= fact.reported_high:
        return []
    return [v.say("bath-over", **_strengths(v, fact)), *([_killed(v, fact)] if fact.limit else [])]
