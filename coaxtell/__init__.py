"""coaxtell: tells coaxial ports apart, says what mates, and trains people to see it themselves."""

__version__ = "0.1.0"
