"""What every written shape shares: nothing unknown, nothing converted, and values told apart.

A choice of types is one named type with one message here, because pydantic's own unions report an
error for every type that did not fit.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict
from pydantic_core import PydanticCustomError


class Written(BaseModel):
    """A table of a TOML file; `from`, `with` and `while` carry an underscore in Python."""

    model_config = ConfigDict(
        strict=True,
        frozen=True,
        extra="forbid",
        alias_generator=lambda name: name.rstrip("_"),
        validate_by_alias=True,
    )


def _one_or_many(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


def _scalar(value: Any) -> Any:
    if isinstance(value, bool | str):
        return value
    if isinstance(value, int | float):
        return float(value)
    raise PydanticCustomError("scalar", "a text, a number, true or false")


def _value(value: Any) -> Any:
    if isinstance(value, list):
        if all(isinstance(part, str) for part in value):
            return value
        raise PydanticCustomError("value", "a list of texts")
    return _scalar(value)


def _amount(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise PydanticCustomError("amount", 'a quantity such as "25 N*m", a plain number, or a name')
    return value if isinstance(value, str) else _shorten(value)


def _shorten(number: int | float) -> str:
    return f"{number:.15g}"


def _scalar_or_parts(value: Any) -> Any:
    return (
        {name: _scalar(part) for name, part in value.items()} if isinstance(value, dict) else _scalar(value)
    )


def _amount_or_parts(value: Any) -> Any:
    return (
        {name: _amount(part) for name, part in value.items()} if isinstance(value, dict) else _amount(value)
    )


def _page(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, str | int):
        raise PydanticCustomError("page", 'a page number, or a text such as "41-42"')
    return value


def _condition(value: Any) -> Any:
    if isinstance(value, bool):
        return "True" if value else "False"
    if not isinstance(value, str):
        raise PydanticCustomError("condition", "true, false or an expression in quotes")
    return value


def _place(value: Any) -> Any:
    numbers = isinstance(value, list) and len(value) == 2
    if not numbers or not all(isinstance(part, int | float) and not isinstance(part, bool) for part in value):
        raise PydanticCustomError(
            "place", "two numbers [x, y], x from 0 (left) to 100, y from 0 (front) to 200"
        )
    x, y = value
    if not (0 <= x <= 100 and 0 <= y <= 200):
        raise PydanticCustomError("place", "x from 0 (left) to 100 and y from 0 (front) to 200")
    return (float(x), float(y))


def _row(value: Any) -> Any:
    numbers = isinstance(value, list) and len(value) == 2
    if not numbers or not all(isinstance(part, int | float) and not isinstance(part, bool) for part in value):
        raise PydanticCustomError("row", "two numbers [key, value]")
    return (float(value[0]), float(value[1]))


#: One name or a list of them; always a list after reading.
OneOrMany = Annotated[list[str], BeforeValidator(_one_or_many)]
#: A text, number or yes/no, as written.
Scalar = Annotated[Any, BeforeValidator(_scalar)]
#: A scalar or a list of texts.
AnyValue = Annotated[Any, BeforeValidator(_value)]
#: A quantity or a name; a plain number becomes its text.
AmountText = Annotated[str, BeforeValidator(_amount)]
#: A scalar, or one for each part of an answer.
ScalarOrParts = Annotated[Any, BeforeValidator(_scalar_or_parts)]
AmountOrParts = Annotated[Any, BeforeValidator(_amount_or_parts)]
#: An expression; true and false may be written bare.
Condition = Annotated[str, BeforeValidator(_condition)]
PlaceText = Annotated[tuple[float, float], BeforeValidator(_place)]
Row = Annotated[tuple[float, float], BeforeValidator(_row)]
Page = Annotated[Any, BeforeValidator(_page)]


class CitationEntry(Written):
    """document is a file of specs/sources; page or section says where in it."""

    document: str
    page: Page | None = None
    section: str | None = None
