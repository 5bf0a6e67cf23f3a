"""Item kinds, a file each: which tasks a kind allows, and the item made from a task."""
