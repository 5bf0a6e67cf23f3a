"""Tests of the identifier."""
