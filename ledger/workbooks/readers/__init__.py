"""Readers: one module for each kind of file that comes in.

Each gives plain rows for the room below and raises `BadFile` with every fault, its address and
what would be right. None of them posts anything.
"""
