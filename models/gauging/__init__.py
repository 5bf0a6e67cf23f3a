"""Numbers measured on real parts: what may be measured, where the tool goes, and what settles most doubt."""
