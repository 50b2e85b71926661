"""How one parameter is declared: what it may be, its default, its range, its one line."""

from typing import Annotated, Any, get_args

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationInfo,
    field_validator,
)
from pydantic.fields import FieldInfo

from detailgen.units import Mm, Slope, parse_length, parse_slope

FROM_FILE = "from_file"
"""Key of the validation context that says: these values were written by a person.

Then a bare number is no length. In the program itself a float is one, in millimetres.
"""


def _as_length(value: object, info: ValidationInfo) -> Mm:
    if isinstance(value, float) and not _from_file(info):
        return Mm(value)
    return parse_length(value)


def _as_slope(value: object, info: ValidationInfo) -> Slope:
    if isinstance(value, float) and not _from_file(info):
        return Slope(value)
    return parse_slope(value)


def _from_file(info: ValidationInfo) -> bool:
    return bool(info.context) and bool(info.context.get(FROM_FILE))


Length = Annotated[Mm, BeforeValidator(_as_length)]
"""A length written as text with its unit; held in millimetres."""
Rise = Annotated[Slope, BeforeValidator(_as_slope)]
"""A slope written as `1/4 in per ft`, `1:48` or `2 %`; held as rise per run."""


def length(
    about: str,
    *,
    default: str | None,
    least: str,
    most: str,
    by_rule: str = "",
    example: str = "",
    needed: bool = False,
) -> Any:  # noqa: ANN401  (pydantic's Field is typed so)
    """Return a field for a length with its range; both ends are allowed.

    Args:
        about: One line that says what is measured, from where to where.
        default: What is taken when the job says nothing. None: the value comes from the
            rule set or from the rest of the build-up; `by_rule` or `about` says how.
        least: Smallest allowed length.
        most: Largest allowed length.
        by_rule: Id of the rule row that gives the default, where one does.
        example: What a starter file shows where there is no default.
        needed: Whether it must be given.
    """
    taken = None if default is None else parse_length(default)
    low, high = parse_length(least), parse_length(most)
    return Field(
        default=... if needed else taken,
        ge=low,
        le=high,
        description=about,
        examples=[example] if example else None,
        json_schema_extra={
            "default_text": default or "",
            "least_text": least,
            "most_text": most,
            "by_rule": by_rule,
            "quantity": "length",
        },
    )


def choice(about: str, *, default: str | bool | int | None) -> Any:  # noqa: ANN401
    """Return a field for a choice, a switch or a count."""
    return Field(default=default, description=about)


def slope(about: str, *, default: str, least: str, most: str) -> Any:  # noqa: ANN401
    """Return a field for a slope with its range; both ends are allowed."""
    return Field(
        default=parse_slope(default),
        ge=parse_slope(least),
        le=parse_slope(most),
        description=about,
        json_schema_extra={
            "default_text": default,
            "least_text": least,
            "most_text": most,
            "quantity": "slope",
        },
    )


def limits_of(field: FieldInfo) -> tuple[float | None, float | None]:
    """Return the declared range of a number, both ends allowed; None for an end without."""
    low = next((float(m.ge) for m in field.metadata if hasattr(m, "ge")), None)
    high = next((float(m.le) for m in field.metadata if hasattr(m, "le")), None)
    return low, high


def degrees(about: str, *, default: float, least: float, most: float) -> Any:  # noqa: ANN401
    """Return a field for an angle in degrees with its range; both ends are allowed."""
    return Field(default=default, ge=least, le=most, description=about)


def count(about: str, *, default: int, least: int, most: int) -> Any:  # noqa: ANN401
    """Return a field for a whole number with its range; both ends are allowed."""
    return Field(default=default, ge=least, le=most, description=about)


def material(about: str, *, default: str | None, family: str) -> Any:  # noqa: ANN401
    """Return a field for the id of a catalogue material of one family.

    Args:
        about: One line that says what is made of it.
        default: Id of the material that is taken when the job says nothing.
        family: Family that the material must belong to; the loader holds it to that.
    """
    return Field(
        default=default,
        max_length=64,
        description=about,
        json_schema_extra={"quantity": "material", "family": family},
    )


class Model(BaseModel, frozen=True):
    """Base of everything that a parameter file holds."""

    model_config = ConfigDict(
        extra="forbid",
        validate_default=False,
        str_strip_whitespace=True,
        defer_build=True,  # most jobs use a few kinds of condition only
    )

    @field_validator("*", mode="before")
    @classmethod
    def _says_what_it_is(cls, value: object, info: ValidationInfo) -> object:
        """Refuse `true` for a number and `"3"` for 3, which pydantic would let pass."""
        annotation = cls.model_fields[info.field_name or ""].annotation
        kinds = set(get_args(annotation) or (annotation,)) - {type(None)}
        if isinstance(value, bool) and bool not in kinds:
            msg = "true and false are no answer here"
            raise ValueError(msg)
        if isinstance(value, str) and kinds <= {bool, int, float}:
            msg = "write it without quotes"
            raise ValueError(msg)
        return value
