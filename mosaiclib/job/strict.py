"""What every part of a plan file keeps to: types are strict, and nothing unknown is let through in silence."""

__all__ = ["Count", "Length", "Margin", "Name", "Part", "Share", "Text"]

from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field


def _sound(words: str) -> str:
    """Refuse half of a two-part sign, which no file can hold."""
    if any("\ud800" <= sign <= "\udfff" for sign in words):
        raise ValueError("a text holds a broken sign; type it again")
    return words


def _named(words: str) -> str:
    """Refuse a name of nothing but spaces."""
    if not words.strip():
        raise ValueError("a name is empty; give it at least one letter")
    return words


Text = Annotated[str, AfterValidator(_sound)]
Length = Annotated[float, Field(gt=0, le=100_000)]
Margin = Annotated[float, Field(ge=0, le=100_000)]
Share = Annotated[float, Field(ge=0, le=1)]
Name = Annotated[Text, Field(min_length=1, max_length=80), AfterValidator(_named)]
Count = Annotated[int, Field(ge=0, le=10_000_000)]


class Part(BaseModel):
    """Numbers must be numbers, and nothing unknown is let through in silence."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)
