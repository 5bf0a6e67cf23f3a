"""Run coaxtell as `python -m coaxtell`."""

from coaxtell.start import main

raise SystemExit(main())
