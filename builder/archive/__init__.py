"""Keeping a library for years: bags (RFC 8493), judging them, and taking a library out again."""
