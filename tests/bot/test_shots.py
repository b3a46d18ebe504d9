"""Several injections: how many there are is decided as it goes, and the sum is judged."""

from __future__ import annotations

from pathlib import Path

from tests.bot.playing import Night, Transcript, actions, at, bells, newest, of_kind, played


def primed() -> Night:
    """Common carp by dried pituitary, 0.3 + 2.7 mg/kg ten hours apart, primed at 19:00."""
    night = Night()("17:00", "common carp f 4 f 3.2 m 3 m 2.8, pituitary").tap("17:01", "start")
    return night.tap("17:02", "yes")("19:00", "primed")


def injections(transcript: Transcript) -> list[tuple[str, str]]:
    """The bells of needles, each at its first attempt."""
    rung = [line for line in bells(transcript) if line["reminder"]["attempt"] == 1]
    return [
        (line["facts"]["step"], line["at"]) for line in rung if line["facts"]["step"] in ("prime", "inject")
    ]


def test_the_final_shot_is_due_after_the_interval_and_the_males_join_it(tmp_path: Path) -> None:
    night = primed()("2 05:00", "injected")("2 05:01", "what did they get?")
    said = played(night.lines, tmp_path)
    assert injections(said)[-1] == ("inject", at("2 05:00"))
    shots = newest(said, "given")["given"]
    assert [(each["tag"], each["n"], each["amount"]) for each in shots] == [
        ("F1", 1, 1.2), ("F1", 2, 10.8), ("F2", 1, 1.0), ("F2", 2, 8.6), ("M1", 1, 4.5), ("M2", 1, 4.2)
    ]  # fmt: skip


def test_the_sum_of_all_shots_stands_beside_the_range(tmp_path: Path) -> None:
    said = played(primed()("2 05:00", "injected").lines, tmp_path)
    told = of_kind(said, "course")
    assert [(f["given"], f["coming"], f["total_per_kg"], f["code"]) for f in told] == [
        (0.3, 2.7, 3.0, ""),
        (3.0, 0.0, 3.0, ""),
    ]
    assert (told[0]["low"], told[0]["high"], told[0]["unit"]) == (3, 6, "mg/kg")


def test_another_priming_moves_the_final_shot_and_grows_the_sum(tmp_path: Path) -> None:
    night = primed().until("2 05:01").tap("2 05:02", "answer:priming").until("2 15:03")
    said = played(night.lines, tmp_path)
    assert injections(said)[-1] == ("inject", at("2 15:02"))
    assert newest(said, "course")["total_per_kg"] == 3.3


def test_the_final_shot_at_once_is_under_the_range(tmp_path: Path) -> None:
    """No priming at all: 2.7 mg/kg, where 3-6 are usual."""
    night = Night()("17:00", "common carp f 4 m 3, pituitary").tap("17:01", "start").tap("17:02", "yes")
    said = played(night("19:00", "final injection given").lines, tmp_path)
    assert newest(said, "course")["code"] == "under-range"


def test_a_restart_between_the_shots_changes_nothing(tmp_path: Path) -> None:
    lines = primed().lines
    restarted = [*lines, {"at": at("20:00"), "restart": True}, {"at": at("2 05:00"), "until": True}]
    assert injections(played(restarted, tmp_path))[-1] == ("inject", at("2 05:00"))


def test_the_plan_names_the_hours_of_sleep(tmp_path: Path) -> None:
    night = Night()("17:00", "common carp f 4 m 3, pituitary").tap("17:01", "start")
    said = played(night("17:02", "strip at 6 tomorrow")("17:03", "inject at 23:00").lines, tmp_path)
    plans = of_kind(said, "inject-plan")
    assert plans[-1]["priming_at"] == at("23:00")
    assert [each["step"] for each in plans[-1]["awake"]] == ["prime"]
    assert newest(said, "refused")["why"] == "too-late-for-hour"


def test_glands_of_another_run_are_another_sheet(tmp_path: Path) -> None:
    night = Night()("17:00", "common carp f 4 m 3").tap("17:01", "change:pituitary")("17:02", "use premix")
    said = played(night.lines, tmp_path)
    sheets = of_kind(said, "dose-sheet")
    assert [sheet["preparation"] for sheet in sheets] == ["premix", "pituitary", "premix"]
    assert sheets[0]["fish"] == sheets[2]["fish"] and sheets[1]["total_ml"] is None
    assert "change:premix" in actions(next(line for line in said if line["facts"] == sheets[1]))


def test_what_is_injected_is_asked_for_and_kept_until_the_weights_come(tmp_path: Path) -> None:
    night = Night()("17:00", "what dose of pituitary for rohu?")("17:01", "f 2.1 m 1.8")
    sheet = newest(played(night.lines, tmp_path), "dose-sheet")
    assert (sheet["species"], sheet["preparation"]) == ("rohu", "pituitary")


def test_a_phone_alarm_rings_before_a_needle_in_the_hours_of_sleep(tmp_path: Path) -> None:
    """Primed at 19:00, the final shot is due at 05:00, the first look in the afternoon."""
    plan = newest(played(primed().lines, tmp_path), "plan")
    look = next(each["at"] for each in plan["times"] if each["step"] == "check-nest")
    assert plan["alarm_at"] == at("2 04:55") == plan["alarms"][0]
    assert len(plan["alarms"]) == 2
    assert plan["alarms"][1] < look


def test_a_needle_by_day_wants_no_alarm_of_its_own(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9").tap("17:01", "start").tap("17:02", "yes")
    plan = newest(played(night.lines, tmp_path), "plan")
    assert [each["step"] for each in plan["times"]][1] == "inject"
    assert plan["alarms"] == [plan["alarm_at"]]


def hcg() -> Night:
    """Striped catfish by hCG in four shots, the first told with its mL at 20:30."""
    night = Night()("17:00", "striped catfish f 4 m 3, hcg")("17:01", "vial 5000 iu in 5 ml")
    return night.tap("17:02", "start").tap("17:03", "yes")


def test_a_bell_warns_where_the_shot_would_go_over_the_range(tmp_path: Path) -> None:
    night = hcg()("20:30", "first injection given, 40 ml each").until("3 23:59")
    said = played(night.lines, tmp_path)
    bell = bells(said, "prime")[-1]
    (doubt,) = bell["facts"]["doubts"]
    assert (doubt["tag"], doubt["code"]) == ("F1", "over-range")
    assert doubt["total"] > doubt["given"] > doubt["high"]
    assert bell["text"].index("OVER") < bell["text"].index("2.4 mL")


def test_a_bell_of_a_usual_course_warns_of_nothing(tmp_path: Path) -> None:
    said = played(hcg()("20:30", "first injection given").until("3 23:59").lines, tmp_path)
    assert [bell["facts"]["doubts"] for bell in bells(said, "prime") if bell["facts"]["doubts"]] == []


def test_millilitres_without_a_vial_make_no_amount(tmp_path: Path) -> None:
    """Nobody knows what a mL holds: neither the amount nor the sum is told, and the next bell says so."""
    night = Night()("17:00", "common carp f 4 m 3, pituitary").tap("17:01", "start").tap("17:02", "yes")
    said = played(
        night("19:00", "primed, 9 ml")("19:01", "what did I give?").until("2 05:01").lines, tmp_path
    )
    assert [(shot["ml"], shot["amount"]) for shot in newest(said, "given")["given"]] == [(9, None)]
    assert of_kind(said, "course") == []
    (doubt,) = bells(said, "inject")[-1]["facts"]["doubts"]
    assert (doubt["code"], doubt["given"], doubt["total"]) == ("unknown", None, None)


def test_an_hour_earlier_than_there_is_is_said_so(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9")("17:01", "inject at 17:45").tap("17:02", "earlier")
    said = played(night.tap("17:03", "earlier").tap("17:04", "later").lines, tmp_path)
    plans = of_kind(said, "inject-plan")
    assert [(plan["final_at"], plan["no_earlier"]) for plan in plans] == [
        (at("17:45"), False),
        (at("17:15"), False),
        (at("17:15"), True),
        (at("17:45"), False),
    ]
