"""Plane drawings of halves: outlines, sections, dimensions, sheets."""
