"""Pieces of a few words, for the reckoner's tests."""

from __future__ import annotations

from typing import Any

from builder.records.piece import Piece


def piece(**record: Any) -> Piece:
    return Piece.model_validate({"piece": "X-1", **record})


def buried(**record: Any) -> Piece:
    """As SH-012 of the invented demo."""
    return piece(
        **{
            "form": "plate blank",
            "size_mm": ["100", "150", "0.9"],
            "metal": "copper",
            "method": "buried in damp sawdust",
            "ingredients": [
                {"name": "beech sawdust", "amount": "200 g"},
                {"name": "malt vinegar", "amount": "120 ml", "strength": "5 %"},
                {"name": "salt", "amount": "15 g", "as_written": "2½ tsp"},
            ],
            "container": {"kind": "lidded tub", "litres": "3"},
            **record,
        }
    )


def fumed(**record: Any) -> Piece:
    """The trade's worked box: 30 ml of 9.5 % in a tub of 5 litres, 1.5 g salt on 100 cm²."""
    return piece(
        **{
            "size_mm": ["100", "100"],
            "metal": "copper",
            "method": "fume",
            "ingredients": [
                {"name": "household ammonia", "amount": "30 ml", "strength": "9.5 %"},
                {"name": "salt", "amount": "1.5 g"},
            ],
            "container": {"kind": "tub", "litres": "5"},
            "temperature_c": "25",
            **record,
        }
    )
