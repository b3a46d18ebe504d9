"""The cards foretell what they were not told, and are what their own reports give."""

import dataclasses
import math
from collections.abc import Mapping
from pathlib import Path

import pytest

from core.species import Card, Curve, Report
from tests import left_out
from tests.core.cards import DATA, folder
from tests.left_out import Known, Line, Untestable, fitted, known, off, predicted, summary, verdict

KNOWN = known(folder())
SHAPE = Curve(1.0, 1.0, 20.0, 30.0, 0.5, 0.6, 0.7, 0.8, 0.9, ("x",), "published")


def test_the_published_figures_are_foretold_without_their_source() -> None:
    """Three of four inside, no leaning to early or late, and windows not too wide for use."""
    assert verdict(KNOWN).figures > 0
    assert verdict(KNOWN).missed == (), "\n".join(left_out.printed(KNOWN))


def test_each_curve_is_what_its_reports_give() -> None:
    """Save those that lean on hours of relatives, of which the card has no report."""
    assert [(each.card.slug, each.key) for each in off(KNOWN) if not each.relatives] == []


def test_every_figure_with_a_temperature_is_in_one_of_the_lists() -> None:
    told = [
        report
        for card in KNOWN.cards.values()
        for report in card.reports
        if report.event != "first-feed" and report.low_celsius is not None
    ]
    assert [each.report for each in predicted(KNOWN)] == told


# Nothing of the source is left ----------------------------------------------------------------------------


def spoiled(card: Card, source: str) -> Card:
    """The card as if the source had seen ten times the hours, and every curve that leans on it were wrong."""

    def wrong(curve: Curve) -> Curve:
        if source not in curve.sources:
            return curve
        zero = curve.zero_celsius - 7 if source in curve.zero_sources else curve.zero_celsius
        flat = None if curve.flat_hours is None else 10 * curve.flat_hours
        return dataclasses.replace(
            curve, degree_hours=10 * curve.degree_hours, zero_celsius=zero, flat_hours=flat, latest=9.0
        )

    def tenfold(report: Report) -> Report:
        if report.source != source:
            return report
        return dataclasses.replace(report, low_hours=10 * report.low_hours, high_hours=10 * report.high_hours)

    return dataclasses.replace(
        card,
        strip=tuple(dataclasses.replace(each, curve=wrong(each.curve)) for each in card.strip),
        hatch=None if card.hatch is None else wrong(card.hatch),
        reports=tuple(map(tenfold, card.reports)),
    )


@pytest.mark.parametrize("source", sorted({each.report.source for each in predicted(KNOWN)}))
def test_a_prediction_knows_nothing_of_the_source(source: str) -> None:
    """Were it off ten times, whoever's card it is on, its own figures would be foretold as they are."""
    cards = {slug: spoiled(card, source) for slug, card in KNOWN.cards.items()}
    elsewhere = dataclasses.replace(KNOWN, cards=cards)
    for one, other in zip(predicted(KNOWN, source), predicted(elsewhere, source), strict=True):
        assert type(one) is type(other)
        if isinstance(one, Line) and isinstance(other, Line):
            assert (one.earliest, one.likely, one.latest) == pytest.approx(
                (other.earliest, other.likely, other.latest)
            )
            assert other.ratio == pytest.approx(10 * one.ratio)


# The fit, by hand -----------------------------------------------------------------------------------------


def seen(
    source: str, hours: tuple[float, float], celsius: tuple[float, float] | None = None, outside: str = ""
) -> Report:
    low, high = celsius or (None, None)
    return Report("hatch", None, None, low, high, *hours, source, outside=outside)


def fit(*reports: Report, zero: float | None = 15.0, widening: tuple[str, ...] = ()) -> Curve:
    curve = fitted(SHAPE, zero, reports, widening, untold=25.0)
    assert curve is not None
    return curve


def test_the_geometric_mean_of_one_estimate_a_source() -> None:
    """One says 9, 10 and 50 h at 25 C, in the middle 100 degree-hours; the other 20 h at 24-26 C: 200."""
    one = [seen("one", (at, at), (25, 25)) for at in (9, 10, 50)]
    curve = fit(*one, seen("other", (16, 24), (24, 26)))
    assert curve.degree_hours == pytest.approx(math.sqrt(100 * 200))
    assert (curve.likely, curve.zero_celsius, curve.min_celsius) == (1.0, 15.0, 20.0)


def test_water_nobody_told_is_the_usual_unless_it_is_known_not_to_be() -> None:
    curve = fit(
        seen("one", (10, 10)), seen("other", (10, 10), (25, 25)), seen("cold", (90, 90), None, "water-untold")
    )
    assert curve.degree_hours == pytest.approx(100)
    assert curve.latest == 1.4


def test_of_one_source_the_told_water_speaks() -> None:
    """The rest moves the ends alone."""
    curve = fit(seen("one", (10, 10), (25, 25)), seen("one", (16, 16)), seen("two", (10, 10), (25, 25)))
    assert curve.degree_hours == pytest.approx(100)
    assert curve.latest == pytest.approx(1.6 * 1.05)


def test_no_window_is_narrower_than_the_least_nor_wider_than_the_widest() -> None:
    same = [seen(name, (10, 10), (25, 25)) for name in ("one", "other")]
    assert (fit(*same).earliest, fit(*same).latest) == (0.85, 1.4)
    assert (fit(same[0]).earliest, fit(same[0]).latest) == (0.72, 1.45)
    untold = fit(seen("one", (10, 10)), seen("other", (10, 10)))
    assert (untold.earliest, untold.latest) == (0.72, 1.45)
    wide = fit(*same, seen("far", (6, 18), (25, 25)), widening=("far",))
    assert wide.degree_hours == pytest.approx(100)
    assert wide.latest / wide.earliest == pytest.approx(2.2)
    assert wide.latest * wide.earliest == pytest.approx(0.95 * 0.6 * 1.05 * 1.8)  # pulled in by one ratio
    assert wide.most_from == (1 + wide.earliest) / 2 and wide.most_to == (1 + wide.latest) / 2


def test_a_flat_curve_is_fitted_to_the_bare_hours() -> None:
    curve = fit(seen("one", (8, 8), (24, 31)), seen("other", (18, 18), (20, 20)), zero=None)
    assert curve.flat_hours == pytest.approx(12)
    assert curve.hours(20) == curve.hours(31) == curve.flat_hours


def test_who_may_only_widen_sets_no_curve() -> None:
    assert fitted(SHAPE, 15.0, [seen("weak", (10, 10), (25, 25))], ("weak",), 25.0) is None
    assert fitted(SHAPE, 15.0, [], (), 25.0) is None
    assert (
        fitted(SHAPE, 25.0, [seen("one", (10, 10), (25, 25))], (), 25.0) is None
    )  # no warmth above the zero


# Cards without a source, by hand --------------------------------------------------------------------------


def lines_of(cards: Mapping[str, Card]) -> list[Line | Untestable]:
    return list(predicted(dataclasses.replace(KNOWN, cards=cards, widened_by={})))


def test_a_preparation_without_reports_borrows_and_a_lone_figure_is_not_testable() -> None:
    catfish, carp = KNOWN.cards["african-catfish"], KNOWN.cards["common-carp"]
    gland = seen("okere-2015", (12, 12), (26, 26))
    gland = dataclasses.replace(gland, event="strip", preparation="pituitary", shots=1)
    premix = dataclasses.replace(gland, preparation="premix", source="trade")
    lone = seen("adebayo-dry-wet", (17, 17), (28, 28))
    told = dataclasses.replace(catfish, reports=(gland, premix, lone))
    borrowed, _, alone = lines_of({"a": told, "b": dataclasses.replace(carp, reports=())})
    assert isinstance(borrowed, Line) and isinstance(alone, Untestable)
    assert borrowed.likely == pytest.approx(12)  # what the other preparation took
    assert 2.0 <= borrowed.spread <= 2.2
    assert alone.why == "the only figure"


def test_the_zero_point_of_a_source_left_out_is_the_median_of_the_others() -> None:
    """Two curves of the carp start at 12 and 0 C; the catfish's all lean on the tables."""
    catfish, carp = KNOWN.cards["african-catfish"], KNOWN.cards["common-carp"]
    early = [
        each for each in carp.strip if (each.preparation, each.shots) in {("premix", 1), ("pituitary", 2)}
    ]
    cards = {"a": catfish, "b": dataclasses.replace(carp, strip=tuple(early))}
    only_these = dataclasses.replace(KNOWN, cards=cards)
    bare = left_out.without(only_these, catfish, "hogendoorn-vismans-1980")
    assert {each.curve.zero_celsius for each in bare.strip} == {6.0}
    assert bare.hatch is not None and bare.hatch.zero_celsius == 12.0
    kept = left_out.without(only_these, catfish, "okere-2015")
    assert {each.curve.zero_celsius for each in kept.strip} == {15.05}


def test_a_flat_curve_stays_flat_only_if_another_source_looked_at_several_temperatures() -> None:
    catfish, carp = KNOWN.cards["african-catfish"], KNOWN.cards["common-carp"]
    assert catfish.hatch is not None
    flat = dataclasses.replace(
        catfish.hatch, flat_hours=24.0, sources=("trade", "adebayo-dry-wet"), zero_sources=()
    )
    reports = seen("trade", (24, 24), (26, 28)), seen("adebayo-dry-wet", (20, 20), (28, 28))
    card = dataclasses.replace(catfish, hatch=flat, reports=reports)
    both = dataclasses.replace(KNOWN, cards={"a": card, "b": carp}, widened_by={})
    still, sloped = (left_out.without(both, card, name).hatch for name in ("adebayo-dry-wet", "trade"))
    assert still is not None and still.flat_hours == pytest.approx(24)
    assert sloped is not None and sloped.flat_hours is None and sloped.zero_celsius == 12.0


# The summary and the command ------------------------------------------------------------------------------


def line(source: str, hours: float, mark: str = "published") -> Line:
    """Foretold: 8-15 h, likely 10."""
    card = KNOWN.cards["african-catfish"]
    return Line(card, seen(source, (hours, hours), (26, 26)), mark, False, 26.0, 8.0, 10.0, 15.0)


def test_the_summary_by_hand() -> None:
    found = summary([line("one", 9), line("two", 10), line("three", 16), line("four", 12)])
    assert (found.figures, found.inside, found.ratio, found.spread) == (4, 3, 1.1, 15 / 8)
    assert found.missed == ()
    assert len(summary([line("one", 9), line("two", 16)]).missed) == 1
    assert len(summary([line("one", 7), line("two", 7)]).missed) == 2
    late = dataclasses.replace(line("one", 10), earliest=6.0)
    assert summary([late]).missed == ("median latest/earliest above 2.2",)


def test_the_tables_are_one_figure_by_their_median() -> None:
    table = [line("hogendoorn-vismans-1980", hours, "from memory") for hours in (9, 11, 40)]
    assert all(map(left_out.counts, table)) and not left_out.counts(line("memory", 9, "from memory"))
    found = summary([*table, line("one", 11)])
    assert (found.figures, found.inside, found.ratio) == (2, 2, 1.1)


def test_the_command(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    assert left_out.main([]) == 0
    told = capsys.readouterr().out
    for source in {each.report.source for each in predicted(KNOWN)}:
        assert source in told
    monkeypatch.setattr(left_out, "INSIDE_GOAL", 1.01)
    assert left_out.main([]) == 1
    assert capsys.readouterr().out.splitlines()[-1].startswith("fewer than 101% inside")


def test_a_faulty_folder_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "sources.toml").write_text((DATA / "sources.toml").read_text("utf-8"), "utf-8")
    (tmp_path / "odd.toml").write_text("slug = 1", "utf-8")
    assert left_out.main(["--data", str(tmp_path)]) == 2
    assert "odd: slug: not-text 1" in capsys.readouterr().err


def test_known_reads_what_only_widens() -> None:
    found: Known = known(folder())
    card = found.cards["african-catfish"]
    assert found.widening(card, ("hatch", None, None)) >= {"aquaculture-lesson-nepal"}
