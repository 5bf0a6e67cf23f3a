"""From looks and measures to the name of a port."""
