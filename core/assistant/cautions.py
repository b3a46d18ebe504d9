"""What a card warns of, at the step where it first applies."""

from __future__ import annotations

from core.assistant.talk import Talk
from core.records import Run

CAUTIONS_AT = {
    "weigh": ("spines-sting", "handle-brood-gently"),
    "get-ready": ("they-jump",),
    "strip": ("never-chill",),
    "fertilise": ("two-liquids", "urine-spoils-milt"),
    "destick": ("tannin-after-swelling",),
    "disinfect": ("egg-bath", "no-strong-formalin"),
    "check-brood": ("spent-females-may-die",),
    "check-hatch": ("larvae-shun-light",),
    "remove-brood": ("brood-eats-eggs",),
    "set-live-food": ("larvae-eat-each-other",),
    "load": ("eggs-need-current", "too-warm-kills-eggs"),
}
ALWAYS_CAUTIONED = ("egg-bath",)


def step_cautions(talk: Talk, run: Run, step: str) -> tuple[str, ...]:
    """What the card warns of at that step, once a run."""
    known = (*talk.card(run).cautions, *ALWAYS_CAUTIONED)
    return talk.once(run.number, *(code for code in CAUTIONS_AT.get(step, ()) if code in known))
