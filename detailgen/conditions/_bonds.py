"""How sheets stick: the job's method, changed where what lies below must not burn."""

from collections.abc import Sequence

from detailgen.conditions._condition import Site
from detailgen.geometry import Point
from detailgen.section import Body, Bond, Method
from detailgen.stacking import BondRule

_METHOD_BONDS = {
    Method.TORCH: Bond.TORCHED,
    Method.HOT_ASPHALT: Bond.HOT_ASPHALT,
    Method.COLD_ADHESIVE: Bond.COLD_ADHESIVE,
}


def sheet_bond(site: Site, material_id: str) -> Bond:
    """Return how a sheet is stuck to a material by the job's method.

    Under a torch nothing combustible meets the flame: onto a nailable deck the first sheet
    is nailed, onto other combustible things it is self-adhered.
    """
    method = _METHOD_BONDS[site.roof.adhesion]
    material = site.catalog.materials[material_id]
    if method is not Bond.TORCHED or not material.combustible or material.family == "sheet":
        return method
    return Bond.FASTENED if material.family == "deck" else Bond.SELF_ADHERED


def by_material(
    site: Site, bodies: Sequence[Body], loose: frozenset[str] = frozenset()
) -> BondRule:
    """Return the rule: the job's method, by what lies below; dry on the bodies named."""
    materials = {b.id: b.material for b in bodies}
    bonds = {i: sheet_bond(site, m) for i, m in materials.items()}

    def rule(owner: str, _point: Point) -> Bond:
        return (
            Bond.DRY
            if owner in loose
            else bonds.get(owner, _METHOD_BONDS[site.roof.adhesion])
        )

    return rule
