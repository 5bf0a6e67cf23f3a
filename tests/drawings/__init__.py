"""Tests of drawings, life-size sheets, the wall chart and the guide."""
