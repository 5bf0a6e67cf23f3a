"""What is drawn on the bench, from what the desk holds; decides nothing."""
