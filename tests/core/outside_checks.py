"""Checks against the world outside: each row has what the code answers, what somebody else told, and who.

`source` is an id of `core/data/sources.toml`, an id of BESIDE here, or the words "common practice" or "from
memory". A row whose figure stands on a card says that the answer still comes out as it was printed; one whose
source no card leans on says that the answer agrees with somebody who had no part in it: `apart` is true.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal, cast

from core import broodbook, broodstock, eggs, larvae, stocking
from core.baths import iodine_stock_ml, salt_g
from core.dosing import COMMON_STRENGTH, doses, summed
from core.records import BOOK, Event, FishTold, FishWeight, Preparation, Sex, Strength
from core.species import Card, Figure, Per, StockedIn, Stocking, Young
from core.stocking import stocked
from core.survival import Stage, Told, chain, exact
from core.timing import first_feed_curve, window
from tests.core.cards import folder
from tests.core.waters import T0, hours, steady

Field = Literal["dose", "timing", "bath", "eggs", "larvae", "brood", "units", "statistics"]

CARDS = folder().cards

BESIDE = {
    "eknath-doyle-1990": "Eknath A.E., Doyle R.W. 1990. Effective population size and rate of inbreeding in"
    " aquaculture of Indian major carps. Aquaculture 85: 293-305 (abstract)",
    "naca-trainers": "NACA, training of trainers, page 40: inbreeding in one generation against Ne",
    "farm-yield-note": "Farm page on African catfish: ripe eggs are 15-20 % of the body",
    "newcombe-1998": "Newcombe R.G. 1998. Statistics in Medicine 17: 857-872, method 3",
    "garwood-1936": "Garwood F. 1936. Biometrika 28: limits of a Poisson count, as printed in tables",
    "chaudhary-2021": "Chaudhary P. et al. 2021. MAHJ 1: 14-25 (operators of carp hatcheries in Nepal)",
    "lange-kinship": "Lange K. Applied probability, table 5.1: kinship coefficients of relatives",
    "okomoda-2017": "Okomoda V.T. et al. 2017: 75 % or more of African catfish hatched",
}
"""Sources that no card leans on: they are only checked against."""


@dataclass(frozen=True, slots=True)
class Check:
    """What `told` answers must lie between `low` and `high`, as the source has it."""

    id: str
    field: Field
    source: str
    what: str
    told: Callable[[], float]
    low: float
    high: float
    apart: bool = False


def _one(
    id: str, field: Field, source: str, what: str, told: Callable[[], float], value: float, off: float = 1e-9
) -> Check:
    """A printed number; `off` is how far the answer may be from it, as printed digits or rounding have it."""
    return Check(id, field, source, what, told, value - off, value + off, source in BESIDE)


def _within(
    id: str, field: Field, source: str, what: str, told: Callable[[], float], low: float, high: float
) -> Check:
    return Check(id, field, source, what, told, low, high, source in BESIDE)


def _card(slug: str) -> Card:
    return CARDS[slug]


def _figure(slug: str, name: str) -> Figure:
    return cast("Figure", getattr(_card(slug), name))


# Doses ----------------------------------------------------------------------------------------------------


def _ml(slug: str, kg: float, sex: Sex = "f", strength: Strength = COMMON_STRENGTH) -> Callable[[], float]:
    """mL of a premix for one fish, by its card."""

    def told() -> float:
        (line,) = doses([FishWeight("X1", sex, kg)], _card(slug), "premix", strength).lines
        return line.final_ml or 0.0

    return told


VIAL = Strength(iu_per_vial=5000, diluent_ml=10)


def _amount(
    slug: str, preparation: Preparation, kg: float, sex: Sex = "f", shot: int | None = None
) -> Callable[[], float]:
    """Active substance of one fish, of one of its shots or of all of them."""
    strength = {"hcg": VIAL, "premix": COMMON_STRENGTH}.get(preparation)

    def told() -> float:
        (line,) = doses([FishWeight("X1", sex, kg)], _card(slug), preparation, strength).lines
        shots = line.shots if shot is None else (line.shots[shot],)
        total = summed(shots)
        assert total is not None
        return total[0]

    return told


def _doses() -> Iterator[Check]:
    practice = "common practice"
    yield _one("D01", "dose", practice, "0.5 mL per kg of carp, 4 kg", _ml("common-carp", 4), 2.0)
    yield _one("D02", "dose", practice, "half of it for a male carp, 4 kg", _ml("common-carp", 4, "m"), 1.0)
    yield _one("D03", "dose", "sharaf-2012", "0.5 mL per kg of catfish, 3 kg", _ml("african-catfish", 3), 1.5)
    note = "catfish-teaching-note-2012"
    yield _one("D04", "dose", note, "0.25 mL per kg of a male, 2 kg", _ml("african-catfish", 2, "m"), 0.5)
    yield _one("D05", "dose", "natarajan-koi", "0.5 mL per kg of koi, 1.6 kg", _ml("common-carp", 1.6), 0.8)
    yield _one("D06", "dose", "khan-2024", "0.4 mL per kg of mrigal, 1.5 kg", _ml("mrigal", 1.5), 0.6)
    yield _one("D07", "dose", "khan-2024", "0.2 mL per kg of a male mrigal, 1 kg", _ml("mrigal", 1, "m"), 0.2)
    srivastava = "srivastava-batrachus"
    yield _within("D08", "dose", srivastava, "1-2 mL per kg of magur", _ml("walking-catfish", 1), 1.0, 2.0)
    males = _ml("walking-catfish", 1, "m")
    yield _within("D09", "dose", srivastava, "0.5-1 mL per kg of a male magur", males, 0.5, 1.0)
    yield _within(
        "D10", "dose", "salman-dose", "0.4-0.5 mL per kg of grass carp", _ml("grass-carp", 1), 0.4, 0.5
    )
    yield _within(
        "D11", "dose", "carp-premix-note-2017", "0.4-0.6 mL per kg", _ml("silver-carp", 1), 0.4, 0.6
    )
    first, second = (_amount("common-carp", "pituitary", 4, shot=n) for n in (0, 1))
    yield _one("D12", "dose", "brzuska-carp", "0.3 mg of gland per kg first, 4 kg", first, 1.2)
    yield _one("D13", "dose", "brzuska-carp", "2.7 mg of gland per kg then, 4 kg", second, 10.8)
    gland = _amount("african-catfish", "pituitary", 2.5)
    yield _one("D14", "dose", "from memory", "4 mg of gland per kg (Hogendoorn, Vismans 1980)", gland, 10.0)
    male = _amount("african-catfish", "hcg", 2, "m")
    yield _one("D15", "dose", "egypt-hcg-compared", "1500 IU per kg of a male, 2 kg", male, 3000)
    magur = _amount("walking-catfish", "hcg", 0.2)
    yield _within("D16", "dose", "sahoo-2008", "3000-4000 IU per kg, 200 g", magur, 600, 800)
    big = _amount("silver-carp", "hcg", 5)
    yield _within("D17", "dose", "chongqing-2020", "800-1200 IU per kg, 5 kg", big, 4000, 6000)
    hito = _amount("bighead-catfish", "lhrha", 0.3)
    yield _one("D18", "dose", "tan-fermin-1997", "50 ug per kg, 300 g", hito, 15.0)
    course = _amount("rohu", "pituitary", 2)
    yield _within("D19", "dose", "icar-81208", "7-11 mg of gland per kg of carp, 2 kg", course, 14, 22)


# Hours ----------------------------------------------------------------------------------------------------


def _seen(
    id: str,
    source: str,
    what: str,
    slug: str,
    event: str,
    celsius: float,
    seen: float,
    preparation: Preparation = "premix",
    shots: int | None = None,
) -> Check:
    """Hours somebody saw lie in the window of the card: told is where in it: 0 the first, 1 the last."""

    def told() -> float:
        card = _card(slug)
        if event == "strip":
            curve, _ = card.strip_curve(preparation, shots)
        elif event == "hatch":
            assert card.hatch is not None
            curve = card.hatch
        else:
            curve = first_feed_curve(card)
        found = window(curve, T0, steady(celsius))
        first, last = hours(found.earliest), hours(found.latest)
        return (seen - first) / (last - first)

    used = {"strip": _card(slug).strip_curve(preparation, shots)[0].sources} if event == "strip" else {}
    hatch = _card(slug).hatch
    leaned = used.get("strip") or (hatch.sources if event == "hatch" and hatch else ())
    return Check(id, "timing", source, what, told, 0.0, 1.0, apart=source not in leaned)


def _timing() -> Iterator[Check]:
    catfish, carp = "african-catfish", "common-carp"
    yield _seen("T01", "okere-2015", "613 min at 26 C after a premix", catfish, "strip", 26, 613 / 60)
    yield _seen(
        "T02", "okere-2015", "745 min at 26 C after gland", catfish, "strip", 26, 745 / 60, "pituitary"
    )
    yield _seen("T03", "was-2025-latency", "best at 12 h, 26-27 C", catfish, "strip", 26.5, 12)
    yield _seen("T04", "common practice", "8-10 h near 26-28 C: 8 h at 28 C", catfish, "strip", 28, 8)
    yield _seen("T05", "common practice", "8-10 h near 26-28 C: 10 h at 26 C", catfish, "strip", 26, 10)
    yield _seen("T06", "common practice", "eggs on the nest 10-12 h later, 24-27 C", carp, "strip", 25.5, 11)
    yield _seen(
        "T07", "ghosh-koi-2012", "koi, two shots, 5-6 h at 26-29 C", carp, "strip", 27.5, 5.5, shots=2
    )
    sharp = "sharptooth-sampa-2016"
    yield _seen("T08", sharp, "larvae after 23.17 h, water untold", catfish, "hatch", 26.6, 23.17)
    yield _seen("T09", "adebayo-dry-wet", "first larvae after 17.2 h at 28.7 C", catfish, "hatch", 28.7, 17.2)
    yield _seen("T10", "common practice", "larvae after about 24 h, 26-27 C", catfish, "hatch", 26.5, 24)
    yield _seen("T11", "smith-2004-carp", "larvae after 84 h at 20 C", carp, "hatch", 20, 84)
    yield _seen("T12", "natarajan-koi", "koi larvae after 72 h, water untold", carp, "hatch", 23, 72)
    yield _seen("T13", "ichthyology-dictionary", "3-7 days at 18 C: 5 days", carp, "hatch", 18, 120)
    nepal = "aquaculture-lesson-nepal"
    yield _seen("T14", nepal, "grass carp larvae after 32-35 h, 22-25 C", "grass-carp", "hatch", 23.5, 33.5)
    yield _seen("T15", nepal, "silver carp larvae after 32-35 h, 22-25 C", "silver-carp", "hatch", 23.5, 33.5)
    yield _seen("T16", nepal, "bighead carp larvae after 24-28 h, 26-28 C", "bighead-carp", "hatch", 27, 26)
    fossilis = "stinging-catfish"
    yield _seen("T17", "mahalder-2023", "larvae after 22.5-23 h", fossilis, "hatch", 27, 22.75)
    yield _seen("T18", "araf-fossilis", "larvae after 23 h", fossilis, "hatch", 27, 23)
    yield _seen("T19", "sahoo-2008", "stripped 14-23 h after hCG", "walking-catfish", "strip", 28, 17, "hcg")
    yield _one(
        "T20",
        "timing",
        "realis-2018",
        "three times as long at 16 C as at 24 C",
        lambda: _hatch_hours(carp, 16) / _hatch_hours(carp, 24),
        3.0,
        0.01,
    )
    yield _seen("T22", "sharptooth-sampa-2016", "first fed after 72 h", catfish, "feed", 27, 72)


def _hatch_hours(slug: str, celsius: float) -> float:
    curve = _card(slug).hatch
    assert curve is not None
    return curve.hours(celsius)


# Baths ----------------------------------------------------------------------------------------------------


def _baths() -> Iterator[Check]:
    what = "100 ppm of a stock of 1 % are 10 mL per L"
    yield _one("A01", "bath", "common practice", what, lambda: iodine_stock_ml(35, 100), 350)
    what = "eggs in 100 ppm of available iodine, 50 L"
    yield _one("A02", "bath", "woah-2010", what, lambda: iodine_stock_ml(50, 100), 500)
    what = "40 g of salt in 10 L to fertilise in, 4 g per L"
    yield _one("A03", "bath", "fao-training-8", what, lambda: salt_g(10, 4000), 40)
    what = "normal saline for milt, 9 g per L, 5 L"
    yield _one("A04", "bath", "catfish-milt-dilution", what, lambda: salt_g(5, 9000), 45)


# Eggs -----------------------------------------------------------------------------------------------------


def _jars(slug: str, count: float) -> Callable[[], float]:
    return lambda: float(eggs.in_vessels(_card(slug).holdings[0], count).count or 0)


def _flow(slug: str, count: float) -> Callable[[], float]:
    return lambda: eggs.in_vessels(_card(slug).holdings[0], count).all_low or 0.0


def _milt(slug: str, grams: float) -> float:
    return eggs.milt_ml(grams, _card(slug)) or 0.0


def _eggs() -> Iterator[Check]:
    yield _one(
        "E01",
        "eggs",
        "fao-training-8",
        "10 mL of milt per kg of eggs",
        lambda: _milt("common-carp", 1000),
        10,
    )
    yield _one(
        "E02", "eggs", "fao-training-8", "dry eggs 1:100, 250 g", lambda: _milt("common-carp", 250), 2.5
    )
    yield _one(
        "E03",
        "eggs",
        "billard-1995",
        "with a diluent a tenth of the milt",
        lambda: _figure("common-carp", "milt_ml_per_kg_eggs").low / _milt("common-carp", 1000),
        0.1,
    )
    most = _figure("catla", "eggs_per_kg").high
    yield _within(
        "E04",
        "eggs",
        "catla-iran-2020",
        "581 g of 1271 a gram out of 3.18 kg",
        lambda: eggs.eggs_from_grams(581, 1271) / 3.18,
        0.99 * most,
        most * 1.01,
    )
    yield _within(
        "E05",
        "eggs",
        "de-graaf-1995",
        "1.3 % of a kg stripped, 669 a gram",
        lambda: eggs.eggs_from_grams(13, 669),
        8650,
        8750,
    )
    yield _within(
        "E06",
        "eggs",
        "de-graaf-1995",
        "14.3 % of a kg stripped",
        lambda: eggs.eggs_from_grams(143, 669),
        95_600,
        95_800,
    )
    yield _one(
        "E07",
        "eggs",
        "dadebo-2000",
        "669 eggs per gram, the mean of preserved ovaries",
        lambda: _figure("african-catfish", "eggs_per_gram").usual_or_middle,
        669,
        20,
    )
    yield _one(
        "E08",
        "eggs",
        "salman-2023",
        "13.97 % of grass carp is no wrong weighing",
        lambda: float(eggs.grams_suspicious(139.7, 1.0)),
        0.0,
    )
    yield _within(
        "E09",
        "eggs",
        "farm-yield-note",
        "ripe eggs are 15-20 % of her: not asked below",
        lambda: 100 * eggs.SUSPICIOUS_SHARE,
        15,
        20,
    )
    yield _one(
        "E10",
        "eggs",
        "icar-67103",
        "2 lakh eggs per kg of Indian carp",
        lambda: _figure("rohu", "eggs_per_kg").usual_or_middle,
        200_000,
    )
    yield _one(
        "E11",
        "eggs",
        "pillay-kutty",
        "150 000 eggs per kg of common carp",
        lambda: _figure("common-carp", "eggs_per_kg").usual_or_middle,
        150_000,
    )
    yield _one(
        "E12", "eggs", "icar-66877", "100 000 swollen eggs in a jar of 10 L", _jars("rohu", 300_000), 3
    )
    yield _one("E13", "eggs", "icar-66877", "600-800 mL a minute, three jars", _flow("rohu", 300_000), 1.8)
    yield _one("E14", "eggs", "icar-66877", "800-1000 mL a minute", _flow("grass-carp", 100_000), 0.8)
    yield _one(
        "E15", "eggs", "weiss-jar-textbook", "500 000 in a jar of 8 L", _jars("common-carp", 1_500_000), 3
    )
    yield _one(
        "E16", "eggs", "cifa-magur-hatchery", "within 1000 in a tub", _jars("walking-catfish", 3000), 3
    )
    litres = _card("walking-catfish").holdings[0].litres
    yield _one(
        "E17",
        "eggs",
        "cifa-magur-hatchery",
        "a tub 35 cm wide, 9 cm deep",
        lambda: 3.14159 * 17.5**2 * 9 / 1000,
        litres,
        0.05,
    )
    yield _one(
        "E18",
        "eggs",
        "catfish-milt-dilution",
        "normal saline, 9 g per L",
        lambda: _figure("african-catfish", "saline_g_per_l").usual_or_middle,
        9,
    )
    yield _one(
        "E19",
        "eggs",
        "iasri-common-carp",
        "700 eggs for each gram she lost",
        lambda: float(eggs.eggs_from_grams(100, _figure("common-carp", "eggs_per_gram").usual_or_middle)),
        70_000,
    )


# Larvae ---------------------------------------------------------------------------------------------------


def _of_all(good: float, fertilised: float) -> Callable[[], float]:
    return lambda: (
        eggs.hatched(of="fertilised", percent=good, fertilised_percent=fertilised).percent_of_eggs or 0.0
    )


def _larvae() -> Iterator[Check]:
    yield _one(
        "L02", "larvae", "kashmir-carp", "67.8 % of 83 % are 56.3 % of all", _of_all(67.8, 83.0), 56.3, 0.05
    )
    yield _one(
        "L04",
        "larvae",
        "from memory",
        "N = mean of the cups x V / v",
        lambda: float(larvae.from_cups([20, 25, 30, 25], 100, 500).larvae),
        125_000,
        500,
    )
    yield _one(
        "L05",
        "larvae",
        "okere-2015",
        "36 086 eggs a female, 83.5 % hatched",
        lambda: float(eggs.larvae_of(36_086, 83.5)),
        30_132,
        1,
    )
    okomoda = _figure("african-catfish", "hatched_percent")
    yield _within("L06", "larvae", "okomoda-2017", "75 % hatched", lambda: 75.0, okomoda.low, okomoda.high)


# Stocking, and from eggs to fry ---------------------------------------------------------------------------


def _rule(species: str, place: StockedIn, young: Young, per: Per) -> Stocking:
    (rule,) = stocking.fitting(_card(species), place, young, per)
    return rule


def _stocking() -> Iterator[Check]:
    rohu, rearing = _rule("rohu", "pond", "larvae", "m2"), _rule("mrigal", "pond", "fry", "m2")
    cistern, carps = _rule("common-carp", "tank", "larvae", "m2"), _rule("grass-carp", "tank", "larvae", "m2")
    spawn, fry = _rule("rohu", "bag", "larvae", "bag"), _rule("catla", "bag", "fry", "bag")
    larvae_in_tank = _rule("african-catfish", "tank", "larvae", "litre")
    fry_in_tank = _rule("african-catfish", "tank", "fry", "litre")
    walking = _rule("walking-catfish", "tank", "larvae", "m2")
    tray = _rule("walking-catfish", "tank", "larvae", "litre")
    striped = _rule("striped-catfish", "tank", "larvae", "litre")
    frog_wall, plankton = (
        _rule("african-catfish", "pond", "larvae", "m2"),
        _rule("common-carp", "pond", "larvae", "m2"),
    )
    rows: tuple[tuple[str, str, Callable[[], int | None], float], ...] = (
        ("icar-81271", "1 million spawn in a nursery of a hectare", lambda: stocked(rohu, 10_000).low, 1e6),
        ("icar-86163", "500 spawn for each m2 of an earthen pond", lambda: stocked(rohu, 200).high, 1e5),
        ("icar-86163", "30 fry for each m2 of a rearing pond", lambda: stocked(rearing, 100).high, 3000),
        ("icar-39426", "3 lakh fry in a hectare", lambda: stocked(rearing, 10_000).high, 3e5),
        ("icar-66880", "1,25,000 fry in a hectare", lambda: stocked(rearing, 10_000).low, 1.25e5),
        (
            "pillay-kutty-nursing",
            "1000 early fry for each m2 of a tank",
            lambda: stocked(carps, 25).low,
            25_000,
        ),
        ("icar-40350", "10,000 spawn a bag: ten for a lakh", lambda: stocking.bags(spawn, 1e5).fewest, 10),
        ("icar-40350", "600 fry a bag: ten for 6000", lambda: stocking.bags(fry, 6000).most, 10),
        ("basavaraja-2011", "1.2 million a hectare in 25 m2", lambda: stocked(cistern, 25).low, 3000),
        ("szlauer-1980", "140 for each m2", lambda: stocked(plankton, 10).high, 1400),
        ("de-graaf-1995", "100 larvae for each m2", lambda: stocked(frog_wall, 50).low, 5000),
        (
            "makerere-16037",
            "50 larvae a litre lived best",
            lambda: stocked(larvae_in_tank, 500).usual,
            25_000,
        ),
        ("ajani-2015", "150 fry a litre at the most", lambda: stocked(fry_in_tank, 10).high, 1500),
        ("nwipie-2015", "5 post fry a litre at the least", lambda: stocked(fry_in_tank, 10).low, 50),
        ("sahu-walking-catfish", "2000 larvae a m2 did best", lambda: stocked(walking, 3).usual, 6000),
        ("samad-2005", "6 a litre in trays at the most", lambda: stocked(tray, 100).high, 600),
        ("slembrouck-2009", "90 larvae a litre, the best compromise", lambda: stocked(striped, 10).high, 900),
        ("vu-huynh-2020", "10 larvae a litre", lambda: stocked(striped, 10).low, 100),
    )
    for n, (source, what, told, printed) in enumerate(rows, 1):
        yield _one(f"K{n:02}", "larvae", source, what, lambda told=told: float(told() or 0), printed)  # type: ignore[misc]


def _shares(**told: Told) -> list[float]:
    stages: dict[str, Stage] = {
        "eggs": "eggs",
        "fertilised": "fertilised",
        "hatched": "hatched",
        "fry": "swim-up",
    }
    found = chain({stages[stage]: each for stage, each in told.items()})
    return [100 * link.share.value for link in (*found.links,) if link.share]


def _chains() -> Iterator[Check]:
    def share(of_eggs: float) -> Told:
        return Told(None, exact(of_eggs))

    what = "93.5 % fertilised, 84.2 % of all hatched: 90.1 % of the good"
    gomina = _shares(eggs=Told(exact(1000)), fertilised=share(0.935), hatched=share(0.842))
    yield _one("F01", "larvae", "gomina-2011", what, lambda: gomina[1], 90.1, 0.05)
    nepal = _shares(eggs=Told(exact(1e6)), hatched=Told(exact(311_000)), fry=Told(exact(177_270)))
    what = "31.1 % hatchlings, 57 % of these fry"
    yield _one("F02", "larvae", "chaudhary-2021", what, lambda: nepal[1], 57, 0.05)
    batrachus = _shares(fertilised=share(0.706), hatched=share(0.39042))
    what = "70.6 % fertilised, 55.3 % of these hatched"
    yield _one("F03", "larvae", "srivastava-batrachus", what, lambda: batrachus[1], 55.3, 0.05)


# Brood fish -----------------------------------------------------------------------------------------------


def _brood() -> Iterator[Check]:
    number, rate = broodstock.effective_number, broodstock.rate_of_inbreeding
    handbook, course = "us-broodstock-handbook", "genetics-course"
    yield _one("B01", "brood", handbook, "99 females, 1 male: 3.96", lambda: number(99, 1), 3.96, 0.005)
    yield _one("B02", "brood", handbook, "2 females, 2 males: 4.00", lambda: number(2, 2), 4.0)
    yield _one("B03", "brood", course, "10 and 10: 20", lambda: number(10, 10), 20.0)
    yield _one("B04", "brood", course, "1 male, 10 females: 3.7 as printed", lambda: number(10, 1), 3.7, 0.1)
    yield _one(
        "B05", "brood", course, "100 males, 100 000 females: 400", lambda: number(100_000, 100), 400, 0.5
    )
    yield _one("B06", "brood", course, "Ne of 20: 2.5 % a generation", lambda: 100 * rate(20), 2.5)
    textbook, guidance = "animal-breeding-textbook", "broodstock-genetics-guidance"
    yield _one("B07", "brood", textbook, "25 and 25: 1 %", lambda: 100 * rate(number(25, 25)), 1.0)
    yield _one("B08", "brood", textbook, "50 and 50: 0.5 %", lambda: 100 * rate(number(50, 50)), 0.5)
    yield _one("B09", "brood", guidance, "25 matings one to one: 50", lambda: number(25, 25), 50.0)
    eknath = "eknath-doyle-1990"
    yield _one("B10", "brood", eknath, "Ne of 3: 17 %", lambda: 100 * rate(3), 17, 0.5)
    yield _one("B11", "brood", eknath, "Ne of 30: 2 %", lambda: 100 * rate(30), 2, 0.5)
    yield _one("B12", "brood", "naca-trainers", "Ne of 2: 0.25 in the figure", lambda: rate(2), 0.25)
    what = "1 - (1 - 1/2Ne)^t, Ne 20, ten generations (Falconer, Mackay 1996, eq. 3.12)"
    yield _one(
        "B13", "brood", "from memory", what, lambda: 100 * broodstock.inbreeding([20.0] * 10), 22.4, 0.05
    )
    yield _one(
        "B14",
        "brood",
        "from memory",
        "harmonic mean of 100, 10, 100 is 25",
        lambda: broodstock.over_generations([100, 10, 100]),
        25.0,
    )
    yield _one(
        "B15",
        "brood",
        "icar-67103",
        "2 males to a female in the hapa",
        lambda: float(broodstock.males_for(10, _figure("catla", "males_per_female")).usual or 0),
        20,
    )
    yield _one(
        "B16",
        "brood",
        "fao-training-8",
        "one male serves two females",
        lambda: float(broodstock.males_for(10, _figure("common-carp", "males_per_female")).low),
        5,
    )


def _kinship(one: str, other: str, *births: str) -> Callable[[], float]:
    """How near two fish are, by births as "child=mother+father"."""

    def found() -> float:
        told = []
        for n, birth in enumerate(births, 1):
            child, _, parents = birth.partition("=")
            mother, _, father = parents.partition("+")
            at = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(days=n)
            told.append(Event(n, 1, BOOK, at, at, FishTold(child, mother=mother, father=father or None)))
        book = broodbook.brood_book([], told)
        numbers = [broodbook.named(book, tag)[0].number for tag in (one, other)]
        return broodbook.Kin(book).kinship(*numbers)

    return found


def _kin() -> Iterator[Check]:
    """Of relatives by the parents that were told: with the same letter in front of a tag they are of one sex,
    A, C and E females, B, D and H males."""
    lange, course = "lange-kinship", "genetics-course-kin"
    sibs = ("C1=A1+B1", "D1=A1+B1")
    cousins = (*sibs, "E1=C1+B9", "H1=A9+D1")
    yield _one("B17", "brood", lange, "parent and offspring: 1/4", _kinship("C1", "B1", *sibs), 1 / 4)
    half = _kinship("C1", "D2", *sibs, "D2=A1+B3")
    yield _one("B18", "brood", lange, "half siblings: 1/8", half, 1 / 8)
    yield _one("B19", "brood", lange, "full siblings: 1/4", _kinship("C1", "D1", *sibs), 1 / 4)
    yield _one("B20", "brood", lange, "first cousins: 1/16", _kinship("E1", "H1", *cousins), 1 / 16)
    double = (*sibs, "C2=A2+B2", "D2=A2+B2", "E1=C1+D2", "H1=C2+D1")
    yield _one("B21", "brood", lange, "double first cousins: 1/8", _kinship("E1", "H1", *double), 1 / 8)
    second = (*cousins, "E5=E1+B7", "H5=A7+H1")
    yield _one("B22", "brood", lange, "second cousins: 1/64", _kinship("E5", "H5", *second), 1 / 64)
    yield _one("B23", "brood", lange, "uncle and niece: 1/8", _kinship("E1", "D1", *cousins), 1 / 8)
    what = "offspring of first cousins: 1/16 inbred (figure 4.2)"
    yield _one("B24", "brood", course, what, _kinship("H1", "E1", *cousins), 1 / 16)


# Statistics -----------------------------------------------------------------------------------------------


def _low(good: int, total: int) -> float:
    return float(eggs.share(good, total).low)


def _high(good: int, total: int) -> float:
    return float(eggs.share(good, total).high)


def _statistics() -> Iterator[Check]:
    newcombe = "newcombe-1998"
    yield _one("S01", "statistics", newcombe, "81 of 263: from 25.53 %", lambda: _low(81, 263), 25.53, 0.5)
    yield _one("S02", "statistics", newcombe, "81 of 263: to 36.62 %", lambda: _high(81, 263), 36.62, 0.5)
    yield _one("S03", "statistics", newcombe, "0 of 20: to 16.11 %", lambda: _high(0, 20), 16.11, 0.5)
    yield _one("S04", "statistics", newcombe, "1 of 29: from 0.61 %", lambda: _low(1, 29), 0.61, 0.5)
    yield _one(
        "S05",
        "statistics",
        "garwood-1936",
        "10 counted: from 4.80",
        lambda: larvae.poisson_interval(10)[0],
        4.80,
        0.05,
    )
    yield _one(
        "S06",
        "statistics",
        "garwood-1936",
        "10 counted: to 18.39",
        lambda: larvae.poisson_interval(10)[1],
        18.39,
        0.05,
    )


CHECKS = (
    *_doses(),
    *_timing(),
    *_baths(),
    *_eggs(),
    *_larvae(),
    *_stocking(),
    *_chains(),
    *_brood(),
    *_kin(),
    *_statistics(),
)
