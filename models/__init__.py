"""What a connector is: tables, halves, profiles, matings, solids and pictures."""
