"""What a sheet says of amounts: none is odd, and totals are what the length takes."""

from dataclasses import replace

import pytest

from detailgen.finding import (
    Amount,
    Finding,
    Outcome,
    Relation,
    Requirement,
    Severity,
    Unit,
)
from detailgen.quantity import Measure, Per, Quantity
from detailgen.scene import Text
from detailgen.sheet import words
from detailgen.sheet.blocks import quantities, without_relation
from detailgen.sheet.rule_table import not_applicable, rule_table
from detailgen.units import UnitSystem
from tests.sheet.asked import random_requests, typical

INCH = 25.4
FEET, MM = UnitSystem.FEET_INCHES, UnitSystem.MILLIMETRES


def length(value: float) -> Amount:
    return Amount(value, Unit.LENGTH)


def found(asked: Requirement, actual: Amount, outcome: Outcome = Outcome.FAIL) -> Finding:
    return Finding(
        "r", "R", outcome, Severity.REQUIRED, asked, actual, (0.0, 0.0), "common practice"
    )


AT_LEAST_ZERO = Requirement(Relation.AT_LEAST, length(0.0))
AT_MOST_ZERO = Requirement(Relation.AT_MOST, length(0.0))
NO_LAP = Requirement(Relation.AT_MOST, Amount(0.0, Unit.COUNT))
AN_INCH = Requirement(Relation.AT_LEAST, length(INCH))
TWO_SHEETS = Requirement(Relation.AT_LEAST, Amount(2.0, Unit.COUNT))
AN_EIGHTH = Requirement(Relation.AT_MOST, length(3.175))


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        (AT_MOST_ZERO, "none"),
        (NO_LAP, "none"),
        (AT_LEAST_ZERO, "0 or more"),
        (replace(AT_LEAST_ZERO, strict=True), 'more than 0"'),
        (AN_INCH, 'at least 1"'),
    ],
)
def test_what_is_asked_reads_as_words_where_it_is_nothing(
    asked: Requirement, told: str
) -> None:
    assert words.requirement(asked, FEET) == told


@pytest.mark.parametrize(
    ("asked", "actual", "told"),
    [
        (AT_MOST_ZERO, length(0.0), "none"),
        (NO_LAP, Amount(1.0, Unit.COUNT), "1"),
        (AT_LEAST_ZERO, length(-2.375 * INCH), '2 3/8" short'),
        (AN_INCH, length(0.0), "none"),
        (TWO_SHEETS, Amount(0.0, Unit.COUNT), "none"),
        (AN_EIGHTH, length(0.0), '0"'),
        (AN_INCH, Amount(words="none"), "none"),
    ],
)
def test_what_was_found_is_never_a_negative_length(
    asked: Requirement, actual: Amount, told: str
) -> None:
    assert words.actual(found(asked, actual), FEET) == told


@pytest.mark.parametrize("kind", ["wall", "roof-edge"])
def test_no_finding_of_random_conditions_has_an_odd_amount(kind: str) -> None:
    told = 0
    for request in random_requests(kind, 40, seed=3):
        for finding in request.findings:
            if finding.outcome is Outcome.NOT_APPLICABLE:
                continue
            told += 1
            for system in UnitSystem:
                asked = words.requirement(finding.required, system)
                actual = words.actual(finding, system)
                assert not asked.endswith((" at most 0", 'at most 0"', "at most 0 mm"))
                assert not actual.startswith((">", "-")), (finding.rule, actual)
    assert told > 500


def test_a_title_does_not_say_again_what_the_next_column_says() -> None:
    assert without_relation("Ply below the wood, by more than") == "Ply below the wood"
    assert without_relation("Laps that face the water, none") == "Laps that face the water"


@pytest.mark.parametrize(
    ("measure", "amount", "system", "each", "whole"),
    [
        # 0.3048 m2 a metre is 1 sq ft a foot (1 ft of a strip 1 ft wide); 40 ft take 40.
        (Measure.AREA, 0.3048, FEET, ("1", "sq ft"), "40"),
        # Ten a metre: 3.05 a foot; 40 ft are 12.192 m, so 121.92 and 122 to be bought.
        (Measure.COUNT, 10.0, FEET, ("3.05", "each"), "122"),
        (Measure.COUNT, 10.0, MM, ("10", "each"), "122"),
        # 1.5 kg a metre over 12.192 m.
        (Measure.MASS, 1.5, MM, ("1.5", "kg"), "18.3"),
        (Measure.LENGTH, 250.0, MM, ("250", "m"), "3,048"),
    ],
)
def test_totals_are_what_the_length_takes(
    measure: Measure,
    amount: float,
    system: UnitSystem,
    each: tuple[str, str],
    whole: str,
) -> None:
    item = Quantity("q", "Q", "m", measure, amount, "", "")
    assert words.quantity(item, system) == each
    assert words.total(item, system, 40 * 304.8) == whole


@pytest.mark.parametrize(
    ("measure", "amount", "system", "each", "whole"),
    [
        # 30 x 30 in are 6.25 sq ft; six take 37.5.
        (Measure.AREA, 0.58064, FEET, ("6.25", "sq ft"), "37.5"),
        (Measure.AREA, 0.58064, MM, ("0.581", "m²"), "3.48"),
        # 4 lb lead of that size: 25 lb = 11.34 kg; six take 150 lb.
        (Measure.MASS, 11.3398, FEET, ("25", "lb"), "150"),
        (Measure.VOLUME, 3.785411784, FEET, ("1", "gal"), "6"),
        (Measure.LENGTH, 0.3048, FEET, ("1", "ft"), "6"),
        (Measure.TIMBER, 0.0254 * 0.3048**2, FEET, ("1", "bd ft"), "6"),
        (Measure.COUNT, 1.0, FEET, ("1", "each"), "6"),
    ],
)
def test_totals_are_what_the_pieces_take(
    measure: Measure,
    amount: float,
    system: UnitSystem,
    each: tuple[str, str],
    whole: str,
) -> None:
    item = Quantity("q", "Q", "m", measure, amount, "", "", per=Per.PIECE)
    assert words.quantity(item, system) == each
    assert words.total(item, system, 6.0) == whole


@pytest.mark.parametrize(
    ("litres", "system", "of", "each"),
    [
        # 17.68 mL are 0.00467 gal: 0.598 fl oz; 22 of them are still less than 0.1 gal
        (0.01768, FEET, 1.0, ("0.598", "fl oz")),
        (0.01768, FEET, 21.0, ("0.598", "fl oz")),
        (0.01768, FEET, 22.0, ("0.005", "gal")),
        (0.01768, MM, 1.0, ("17.7", "mL")),
        (0.01768, MM, 6.0, ("0.018", "L")),
    ],
)
def test_a_little_is_told_in_a_smaller_measure(
    litres: float, system: UnitSystem, of: float, each: tuple[str, str]
) -> None:
    item = Quantity("q", "Q", "m", Measure.VOLUME, litres, "", "", per=Per.PIECE)
    assert words.quantity(item, system, of=of) == each
    whole, _ = words.quantity(item, system, of, of=of)
    assert words.total(item, system, of) == whole


def test_what_others_set_has_no_number() -> None:
    pipe = Quantity(
        "pipe", "Pipe", "m", Measure.COUNT, 1.0, "", "", per=Per.PIECE, supplied=False
    )
    assert words.quantity(pipe, FEET) == ("by others", "")
    assert words.total(pipe, FEET, 6.0) == ""


def contents(rows: list) -> list[str]:
    return [i.content for row in rows for i in row.items if isinstance(i, Text)]


def test_quantities_have_a_total_only_where_the_length_is_known() -> None:
    request = typical("wall")
    plain = quantities(request)
    assert plain.title == "QUANTITIES FOR 1 FT"
    assert plain.head(90.0) == []
    long = quantities(replace(request, length=124 * 304.8))
    assert {"for 1 ft", "124'-0\""} <= set(contents(long.head(90.0)))
    # The cant is one foot a foot.
    assert {"1", "124", "ft"} <= set(contents(long.rows(90.0)))


def test_quantities_of_a_piece_are_told_by_the_piece() -> None:
    request = typical("stack")
    plain = quantities(request)
    assert plain.title == "QUANTITIES PER PIECE"
    assert plain.head(90.0) == []
    many = quantities(replace(request, count=3, length=1000.0))
    assert {"per piece", "3 pieces"} <= set(contents(many.head(90.0)))
    assert "1 piece" in contents(quantities(replace(request, count=1)).head(90.0))
    texts = contents(many.rows(90.0))
    assert "by others" in texts  # the pipe
    assert "measure the roof field without that" in " ".join(texts)
    scupper = " ".join(contents(quantities(typical("scupper")).rows(90.0)))
    assert "measure the roof and the wall without that" in scupper
    along = " ".join(contents(quantities(typical("wall")).rows(90.0)))
    assert "measure the roof field without" in along


@pytest.mark.parametrize("kind", ["wall", "roof-edge", "drain"])
def test_rules_of_other_kinds_are_only_counted(kind: str) -> None:
    request = typical(kind)
    elsewhere = [f for f in request.findings if f.elsewhere]
    assert len(elsewhere) > 10
    assert all(f.outcome is Outcome.NOT_APPLICABLE for f in elsewhere)
    told = " ".join(contents(not_applicable(request).rows(300.0)))
    assert f"{len(elsewhere)} rules are for other kinds of condition" in told
    here = [
        f for f in request.findings
        if f.outcome is Outcome.NOT_APPLICABLE and not f.elsewhere
    ]  # fmt: skip
    assert here
    for finding in here:
        title = without_relation(finding.title)
        assert title[1:12] in told
    titles = {without_relation(f.title) for f in here}
    for finding in elsewhere:
        title = without_relation(finding.title)
        assert title in titles or title[1:] not in told


@pytest.mark.parametrize("width", [90.0, 190.0])
def test_the_rule_table_tells_every_rule_that_applies_once(width: float) -> None:
    request = typical("wall")
    applied = [f for f in request.findings if f.outcome is not Outcome.NOT_APPLICABLE]
    table = rule_table(request, {})
    rows = table.rows(width)
    assert len(rows) == len(applied)
    assert contents(rows).count("holds") == len(applied)
    heads = contents(table.head(width))
    assert ("Asked" in heads) == (width > 150)
