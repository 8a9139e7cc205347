"""Kinds of hinge: one module a kind, its `ENTRY` answering `HingeKind` (core/build/hanging.py)."""
