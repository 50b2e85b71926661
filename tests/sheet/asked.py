"""Requests for sheets, built from valid parameters as the pipeline does."""

from dataclasses import replace
from functools import cache
from random import Random

from detailgen.catalog import Catalog, load_catalog
from detailgen.checks import check
from detailgen.conditions import CONDITIONS, Condition, Site, Thickening
from detailgen.parameters import Placed, Roof
from detailgen.patterns.shopwork import shopwork
from detailgen.section import LayeredSection
from detailgen.sheet import Job, SheetRequest
from detailgen.takeoff import take_off
from detailgen.units import UnitSystem
from tests.sampling import samples


@cache
def catalog() -> Catalog:
    """Return the program's own catalogue, read once."""
    return load_catalog()


def request_of(
    condition: Condition,
    parameters: Placed,
    site: Site,
    *,
    paper: str = "ANSI B",
    units: UnitSystem = UnitSystem.FEET_INCHES,
    both: bool = False,
) -> SheetRequest:
    """Return the request for one built, checked and counted condition."""
    section = condition.build(parameters, site)

    def rebuild(thickening: Thickening) -> LayeredSection:
        return condition.build(parameters, replace(site, thickening=thickening))

    return SheetRequest(
        job=Job("Salt Quay Depot, re-roof", "SQ-12", "Port Ferrol", "I. Marsh"),
        mark=parameters.id,
        title=parameters.title or condition.title,
        kind=condition.kind,
        amount="120'-0\"",
        section=section,
        rebuild=rebuild,
        findings=check(section, site.rules, site.catalog),
        quantities=take_off(section, site.catalog, site.rules),
        rules=site.rules,
        catalog=site.catalog,
        paper=paper,
        units=units,
        both_units=both,
    )


def with_shop(request: SheetRequest) -> SheetRequest:
    """Return the request with what a shop must know, as the pipeline asks for sheets."""
    return replace(request, shop=shopwork(request.section, request.catalog))


def typical(kind: str, **given: object) -> SheetRequest:
    """Return the request for a condition with defaults, but for the parameters given."""
    site = Site(Roof(), catalog(), catalog().rule_set("common-practice"))
    condition = CONDITIONS[kind]
    parameters = condition.parameters(id="D1", **given)
    assert not condition.impossible(parameters, site)
    return request_of(condition, parameters, site)


def random_requests(kind: str, count: int, seed: int) -> list[SheetRequest]:
    """Return requests from random valid parameters, on every paper, in either unit."""
    rules = catalog().rule_set("common-practice")
    rng = Random(seed)
    papers = list(catalog().drafting.papers)
    return [
        request_of(
            condition,
            parameters,
            site,
            paper=papers[number % len(papers)],
            units=rng.choice(list(UnitSystem)),
            both=rng.random() < 0.3,
        )
        for number, (condition, parameters, site) in enumerate(
            samples(kind, count, seed, catalog(), rules)
        )
    ]
