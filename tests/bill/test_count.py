"""From a metre or a piece to the job: what doubling, splitting and silence do."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from detailgen.bids import bill_of
from detailgen.bill import Price, Prices
from detailgen.bill._nouns import whole
from detailgen.bill._stock import stock_of
from detailgen.catalog import load_catalog
from detailgen.catalog._tables import Table
from detailgen.catalog.packs import pack_of
from detailgen.conditions import CONDITIONS
from detailgen.errors import UserError
from detailgen.quantity import Cut, Measure, Per, Quantity
from detailgen.takeoff.purchase import CARTRIDGE, ROLL_LENGTH, ROLL_WIDTH
from tests.bill.job import FOOT, HEAD, bill, condition, job, line, total

ALONG = ("wall", "roof-edge", "expansion-joint", "independent-wall", "curb")
PIECES = ("drain", "stack", "scupper", "vent-sleeve", "penetration-pocket")


def _counted(kind, rest):
    return bill(condition(kind, rest)).conditions[0].lines


@pytest.mark.parametrize("kind", ALONG)
def test_twice_the_length_is_twice_the_net_amount_exactly(kind):
    once, twice = (_counted(kind, f'length = "{x} ft"') for x in (37, 74))
    assert [x.id for x in once] == [x.id for x in twice]
    assert once
    assert all(b.net == 2.0 * a.net for a, b in zip(once, twice, strict=True))


@pytest.mark.parametrize("kind", PIECES)
def test_twice_the_count_is_twice_the_net_amount_exactly(kind):
    once, twice = (_counted(kind, f"count = {n}") for n in (3, 6))
    assert once
    assert all(b.net == 2.0 * a.net for a, b in zip(once, twice, strict=True))
    assert all(
        b.gross == pytest.approx(2.0 * a.gross) for a, b in zip(once, twice, strict=True)
    )


@pytest.mark.parametrize("kind", ALONG)
@settings(max_examples=5, deadline=None)
@given(part=st.integers(1, 79))
def test_a_split_adds_two_ends_and_nothing_else(kind, part):
    whole_run, left, right = (
        _counted(kind, f'length = "{feet} ft"') for feet in (80, part, 80 - part)
    )
    added = 0
    for one, a, b in zip(whole_run, left, right, strict=True):
        assert a.net + b.net == pytest.approx(one.net, rel=1e-12)
        if one.bought:
            ends = 2 * one.at_end * one.offcuts * (1 + one.waste)
            assert a.gross + b.gross == pytest.approx(one.gross + ends, rel=1e-12)
            added += ends > 0
    assert added > 2


def test_places_have_two_ends_each():
    once = line(bill(condition("wall", 'length = "80 ft"')), "strip-in")
    often = line(bill(condition("wall", 'length = "80 ft"\ncount = 3')), "strip-in")
    assert (once.ends, often.ends) == (2, 6)
    assert once.net == often.net
    assert often.gross > once.gross


@pytest.mark.parametrize(
    ("kind", "rest", "missing"),
    [
        ("wall", "", "length"),
        ("wall", "count = 2", "length"),
        ("drain", "", "count"),
        ("drain", 'length = "9 ft"', "count"),
    ],
)
def test_what_the_job_does_not_say_is_told_and_not_guessed(kind, rest, missing):
    counted = bill(condition(kind, rest))
    (one,) = counted.uncounted
    assert one.missing == f"not counted: the job gives no {missing}"
    assert one.lines == ()
    assert counted.totals == ()


def test_corners_are_counted_by_their_pieces():
    counted = bill(condition("inside-corner", "count = 4"))
    (one,) = counted.uncounted
    assert one.missing == "straight run not counted: the job gives no length"
    assert {x.per for x in one.lines} == {Per.PIECE}
    # the next piece of the base ply: a pentagon 393.7 wide from -152.4 up to 125.72; by the
    # shoelace, corner by corner: (-393.7, 125.72) (-393.7, -152.4) (-241.3, -152.4)
    # (-88.9, 0) (0, 125.72): 0.078748 m2, cut from 0.3937 x 0.2781 m
    piece = line(counted, "base-ply-next")
    assert piece.net == pytest.approx(4 * 0.078748, abs=1e-5)
    assert piece.net * piece.laps == pytest.approx(4 * 0.3937 * 0.27812, abs=1e-4)
    both = bill(condition("inside-corner", 'count = 4\nlength = "20 ft"'))
    assert not both.uncounted
    assert {x.per for x in both.conditions[0].lines} == {Per.PIECE, Per.METRE}
    run = bill(condition("inside-corner", 'length = "20 ft"')).conditions[0]
    assert run.missing == "pieces of corners not counted: the job gives no count"


def test_totals_are_the_sums_of_their_lines():
    counted = bill(
        condition("wall", 'length = "80 ft"'),
        condition("roof-edge", 'length = "40 ft"', "E1"),
        condition("drain", "count = 3", "D1"),
    )
    bought = [x for _, x in counted.lines if x.bought]
    assert {x.item for x in bought} == {t.item for t in counted.totals}
    for t in counted.totals:
        lines = [x for x in bought if x.item == t.item]
        assert t.gross == pytest.approx(sum(x.gross for x in lines))
        assert t.net == pytest.approx(sum(x.net for x in lines))
        assert {x.measure for x in lines} == {t.measure}
        assert t.packs >= t.gross / t.holds - 1e-9
        assert t.packs - 1 < t.gross / t.holds


def test_what_others_set_is_not_bought():
    counted = bill(condition("stack", "count = 2")).conditions[0]
    assert counted.others == ("Cast-iron pipe",)
    assert not [x for x in counted.lines if x.material == "pipe-cast-iron"]


def test_what_tells_a_line_again_is_not_bought():
    counted = bill(condition("roof-edge", 'length = "40 ft"'))
    told = [x for x in counted.conditions[0].lines if not x.bought]
    assert {x.id.rpartition("-")[2] for x in told} == {"mass", "volume"}
    assert total(counted, "galvanized-24").measure == "m2"


def test_gross_is_never_less_than_net_in_any_kind():
    for kind, one in CONDITIONS.items():
        rest = 'length = "50 ft"\ncount = 2'
        lines = bill(condition(kind, rest)).conditions[0].lines
        assert lines, one.title
        for x in lines:
            assert x.net > 0.0, (kind, x.id)
            if x.bought:
                assert x.gross >= x.net * (1.0 + x.waste) - 1e-12, (kind, x.id)
                assert x.laps >= 1.0 - 1e-12, (kind, x.id)
                assert 1.0 - 1e-12 <= x.offcuts <= 2.0, (kind, x.id, x.offcuts)


def test_a_list_moves_waste_packs_and_prices():
    given = condition("wall", 'length = "80 ft"')
    plain = total(bill(given), "cant-perlite")
    price = Price("cant-perlite", 2.0, "ft", 0.5, 0.2, 8.0)
    listed = bill(given, prices=Prices({"cant-perlite": price}))
    mine = total(listed, "cant-perlite")
    assert (plain.waste, plain.cost, plain.hours) == (0.05, None, None)
    # 80 ft x 1.2 = 96 ft, in pieces of 8 ft: 12; at 2.00 a foot 192.00, 48 hours
    assert mine.gross / 0.3048 == pytest.approx(96.0)
    assert mine.packs == 12
    assert (mine.cost, mine.hours) == (pytest.approx(192.0), pytest.approx(48.0))
    assert listed.cost == mine.cost
    assert "primer" in listed.unpriced
    assert "cant-perlite" not in listed.unpriced


def test_a_price_of_a_pack_is_for_whole_packs():
    price = Price("cant-perlite", 3.0)
    listed = bill(condition("wall", 'length = "81 ft"'), prices=Prices({"x": price}))
    assert listed.unused == ("x",)
    prices = Prices({"cant-perlite": price})
    mine = total(bill(condition("wall", 'length = "81 ft"'), prices=prices), "cant-perlite")
    # 81 ft x 1.05 = 85.05 ft, in pieces of 4 ft: 21.26, so 22
    assert (mine.packs, mine.cost) == (22, 66.0)


def test_a_price_of_a_material_holds_for_its_sizes():
    prices = Prices({"lumber-2x": Price("lumber-2x", 10.0)})
    listed = bill(condition("roof-edge", 'length = "40 ft"'), prices=prices)
    assert total(listed, "lumber-2x 2x6").price == prices.rows["lumber-2x"]
    assert listed.unused == ()


def test_whole_numbers_forgive_noise_only():
    assert [whole(x) for x in (0.0, 2.0, 2.0 + 1e-12, 2.001)] == [0, 2, 2, 3]


def test_the_catalogue_and_the_sheets_agree_on_rolls_and_cartridges():
    catalog = load_catalog()
    roll = catalog.pack("base-ply-glass-smooth")
    assert (roll.width, roll.length) == (ROLL_WIDTH, ROLL_LENGTH)
    assert catalog.pack("sealant").holds == pytest.approx(CARTRIDGE)


def test_every_material_is_bought_somehow():
    catalog = load_catalog()
    assert all(catalog.pack(m).holds > 0.0 for m in catalog.materials)
    rows = {k: v for k, v in catalog.packs.items() if k != "pail"}
    with pytest.raises(UserError, match="has no pack for"):
        pack_of(Table("pack for", "catalogue", rows), catalog.material("primer"))


def test_the_bill_of_a_metric_job():
    head = HEAD.replace("feet-inches", "millimetres")
    counted = bill_of(job(condition("wall", 'length = "20 m"'), head=head), Prices())
    assert line(counted, "cant").net == pytest.approx(20.0)


def test_a_termination_bar_is_bought_by_its_length():
    counted = bill(condition("wall", 'length = "95 ft"\ntermination = "surface"'))
    bar = total(counted, "bar-aluminium")
    # 95 x 1.05 = 99.75 ft in lengths of 10 ft
    assert (bar.measure, bar.packs) == ("m", 10)
    assert bar.net / FOOT == pytest.approx(95.0)


def test_hot_asphalt_is_bought_by_its_weight():
    head = HEAD.replace('"torch"', '"hot asphalt"')
    counted = bill_of(job(condition("wall", 'length = "95 ft"'), head=head), Prices())
    asphalt = total(counted, "hot-asphalt")
    stuck = line(counted, "spread-bitumen")
    assert asphalt.measure == "kg"
    assert asphalt.gross == pytest.approx(stuck.net * 1.1)
    assert (asphalt.mass, asphalt.pack) == (1.0, "carton")
    # 25 lb on 100 sq ft is 1.2206 kg/m2 (computed)
    assert f"x {1.2206:.3g} kg/m2" in stuck.formula


def _stock(measure, amount, material, cut, per=Per.METRE):
    quantity = Quantity("x", "X", material, measure, amount, "", "", per=per, cut=cut)
    return stock_of(quantity, load_catalog())


@pytest.mark.parametrize(
    ("section", "item", "lengths"),
    [
        ((139.7, 38.1), "lumber-2x 2x6", 1),
        ((139.7, 75.3), "lumber-2x 2x6", 2),
        ((120.0, 39.0), "lumber-2x 2x6", 1),
        ((193.7, 46.2), "lumber-2x 2x10", 2),
        ((400.0, 38.1), "lumber-2x 2x12", 2),
        ((400.0, 76.0), "lumber-2x 2x12", 4),
    ],
)
def test_lumber_is_the_least_nominal_size_that_holds_a_section(section, item, lengths):
    found = _stock(Measure.LENGTH, 1.0, "lumber-2x", Cut(section=section))
    assert (found.item, found.factor, found.strips) == (item, lengths, lengths)


@pytest.mark.parametrize(
    ("width", "factor"),
    [
        (251.0, 1000 / (3 * 251)),
        (333.0, 1000 / (3 * 333)),
        (500.0, 1.0),
        (501.0, 1000 / 501),
        (1200.0, 2000 / 1200),
    ],
)
def test_what_is_left_beside_strips_of_a_roll(width, factor):
    cut = Cut(along=(width,))
    found = _stock(Measure.AREA, 1.0, "base-ply-glass-smooth", cut)
    assert found.offcuts == pytest.approx(factor)
    across = _stock(Measure.AREA, 1.0, "flashing-foil", Cut(across=(width,)))
    whole_pieces = 10_000 // width
    assert across.offcuts == pytest.approx(10_000 / (whole_pieces * width))


def test_a_fastener_of_no_material_is_bought_one_by_one():
    found = _stock(Measure.COUNT, 8.0, "", Cut())
    assert (found.item, found.pack.holds) == ("x", 1.0)
