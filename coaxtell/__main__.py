"""Run coaxtell as `python -m coaxtell`."""

from coaxtell.cli.main import main

raise SystemExit(main())
