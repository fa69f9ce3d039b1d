"""Frozen records as JSON, and read back exactly, by pydantic: no second class for any of them.

``adapter(kind)`` writes and reads a record as it stands in a file: each fraction exact ('473176473/500000'), its
fields and what it works out of them (its properties, which are not read back); nothing unknown is let in.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from fractions import Fraction
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from msgspec import StructMeta
from pydantic import (
    AllowInfNan,
    BeforeValidator,
    Field,
    GetCoreSchemaHandler,
    PlainSerializer,
    PlainValidator,
    Strict,
    TypeAdapter,
    ValidationError,
    WithJsonSchema,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import ErrorDetails
from pydantic_core import core_schema as core

from pantrymeals.plans.menu import ChosenUse, Waste
from pantrymeals.records import Household, Product
from pantrymeals.reports.json.shape import (
    EXACT,
    LEAST,
    MORE_THAN_NOTHING,
    MOST,
    day_in,
    exact_in,
    json_name,
    more_than_nothing,
    pair_names,
    shown,
    wrong,
)
from pantrymeals.reports.words import amount_of

Exact = Annotated[
    Fraction,
    PlainValidator(exact_in),
    PlainSerializer(str, return_type=str),
    WithJsonSchema({"type": "string", "pattern": f"^{EXACT}$", "examples": ["3/4", "12"]}),
]
MoreThanNothing = Annotated[
    Fraction,
    PlainValidator(more_than_nothing),
    PlainSerializer(str, return_type=str),
    WithJsonSchema({"type": "string", "pattern": f"^{EXACT}$", "examples": ["1/2", "2"]}),
]
_LARGEST = 2**63 - 1
_PLAIN: Mapping[Any, Any] = {
    Fraction: Exact,
    bool: Annotated[bool, Strict()],
    int: Annotated[int, Strict(), Field(ge=-_LARGEST, le=_LARGEST)],
    float: Annotated[float, Strict(), AllowInfNan(False)],
    date: Annotated[date, BeforeValidator(day_in)],
}

ADDED: Mapping[str, object] = {"told_by": (), "range_held": 0, "range_tested": 0, "food_lasts": None}
"""Fields that came later, and what a file without them says."""

_Said = Mapping[str, tuple[Callable[[Any, Product | None], object], JsonSchemaValue]]
_AMOUNT: _Said = {
    "words": (
        lambda record, product: "" if product is None else amount_of(product, record.amount),
        {"type": "string", "description": "In the household's own containers: '2 qt', '1/2 head'."},
    ),
    "quantity": (
        lambda record, _: round(float(record.amount), 6),
        {"type": "number", "description": "In the measure, rounded to six decimals."},
    ),
    "measure": (
        lambda _, product: None if product is None else product.measure,
        {"enum": ["ml", "g", "each", None], "description": "null when the product is not kept."},
    ),
}
_SAID: Mapping[type, _Said] = {ChosenUse: _AMOUNT, Waste: _AMOUNT}
"""What stands beside a record's own fields, with the household's product in mind; it is not read back."""


@cache
def adapter(kind: Any) -> TypeAdapter[Any]:
    """What writes and reads one kind of record."""
    return TypeAdapter(_stored(kind))


def written(record: Any, household: Household) -> str:
    """A record as JSON text, with the household's words."""
    kind: Any = type(record)
    return adapter(kind).dump_json(record, indent=2, by_alias=True, context=household.products).decode()


def schema_of(kind: Any) -> JsonSchemaValue:
    """The JSON schema of what is written of a kind of record: all of its fields, and what is said beside them."""
    schema = adapter(kind).json_schema(mode="serialization")
    shapes = schema["$defs"]
    for record, said in _SAID.items():
        if record.__name__ in shapes:
            shapes[record.__name__]["properties"].update({name: dict(told) for name, (_, told) in said.items()})
    return schema


def read_as(kind: Any, value: object) -> Any:
    """The record that plain JSON values hold. Raises PantryError, naming the first place that is wrong."""
    try:
        return adapter(kind).validate_python(value)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        raise wrong(".".join(map(str, first["loc"])), _reason(first)) from None


def _reason(error: ErrorDetails) -> str:
    """What pydantic found wrong, in the words of the other messages."""
    match error["type"]:
        case "missing":
            return "this is missing"
        case "extra_forbidden":
            return "this is not known here"
        case "value_error":
            return str(error["ctx"]["error"])
        case "tuple_type":
            return "a list should stand here"
        case "dict_type":
            return "names and values in braces should stand here"
        case _:
            return f"{shown(error['input'])}: {error['msg'][:1].lower()}{error['msg'][1:]}"


def _stored(kind: Any) -> Any:
    if isinstance(kind, StructMeta):
        return Annotated[kind, _Record()]
    origin, inner = get_origin(kind), get_args(kind)
    if origin is None or origin is Literal:
        return _PLAIN.get(kind, kind)
    parts = tuple(part if part is Ellipsis else _stored(part) for part in inner)
    return Union[parts] if origin in (Union, UnionType) else origin[parts]  # noqa: UP007 (of a tuple)


class _Record:
    """Marks a record as stored field by field."""

    def __get_pydantic_core_schema__(self, kind: Any, handler: GetCoreSchemaHandler) -> core.CoreSchema:
        said, hints = _SAID.get(kind, {}), get_type_hints(kind)
        worked_out = {n: get_type_hints(p.fget)["return"] for n, p in vars(kind).items() if isinstance(p, property)}
        names = {name: json_name(kind, name) for name in kind.__struct_fields__}
        stored = {json: _field(name, hints[name], handler) for name, json in names.items()}
        beside = {name: handler.generate_schema(_stored(hint)) for name, hint in worked_out.items()}
        beside |= {name: core.any_schema() for name in said}
        whole = {
            **stored,
            **{name: core.typed_dict_field(each, required=name not in said) for name, each in beside.items()},
        }

        def own(value: object) -> object:
            aside = {*said, *worked_out}
            return {k: v for k, v in value.items() if k not in aside} if isinstance(value, dict) else value

        def written(record: Any, info: core.SerializationInfo) -> object:
            product = info.context.get(record.product) if said and info.context else None
            return {
                **{json: getattr(record, name) for name, json in names.items()},
                **{name: getattr(record, name) for name in worked_out},
                **{name: of(record, product) for name, (of, _) in said.items()},
            }

        return core.no_info_before_validator_function(
            own,
            core.no_info_after_validator_function(
                lambda found: kind(**{name: found[json] for name, json in names.items()}),
                core.typed_dict_schema(stored, cls=kind, extra_behavior="forbid"),
            ),
            ref=f"{kind.__module__}.{kind.__qualname__}",
            serialization=core.plain_serializer_function_ser_schema(
                written, info_arg=True, return_schema=core.typed_dict_schema(whole, cls=kind, extra_behavior="forbid")
            ),
        )


def _field(name: str, hint: Any, handler: GetCoreSchemaHandler) -> core.TypedDictField:
    """One field of a record; none may be missing, so that a file is read as it was written.

    But what files written before it was known do not have is taken as ADDED says.
    """
    if name in LEAST and hint is int:
        schema = handler.generate_schema(Annotated[int, Strict(), Field(ge=LEAST[name], le=MOST)])
    elif name in MORE_THAN_NOTHING and hint is Fraction:
        schema = handler.generate_schema(MoreThanNothing)
    elif pair := pair_names(name, hint):
        schema = _pairs(pair, get_args(get_args(hint)[0]), handler)
    else:
        schema = handler.generate_schema(_stored(hint))
    if name in ADDED:
        schema = core.with_default_schema(schema, default=ADDED[name])
    return core.typed_dict_field(schema, required=name not in ADDED)


def _pairs(names: tuple[str, str], kinds: tuple[Any, Any], handler: GetCoreSchemaHandler) -> core.CoreSchema:
    """A tuple of pairs, each standing as {name: value, name: value}."""
    named = core.typed_dict_schema(
        {
            name: core.typed_dict_field(handler.generate_schema(_stored(kind)))
            for name, kind in zip(names, kinds, strict=True)
        },
        extra_behavior="forbid",
    )
    pair = core.no_info_after_validator_function(
        lambda found: tuple(found[name] for name in names),
        named,
        serialization=core.plain_serializer_function_ser_schema(
            lambda pair: dict(zip(names, pair, strict=True)), return_schema=named
        ),
    )
    return core.tuple_variable_schema(pair)
