"""Tests of the quiz."""
