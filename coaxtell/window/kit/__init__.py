"""Events in, state out: pen and painter, widgets, the frame they stand in. Knows nothing of connectors."""
