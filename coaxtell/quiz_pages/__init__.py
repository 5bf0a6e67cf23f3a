"""Pages of the quiz: pictures of items, progress as HTML and PDF, printed tests."""
