"""What each job decides; views draw it."""
