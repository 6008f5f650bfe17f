"""Bringing things into a library: starting one."""
