"""Things to print: the jig sheet and labels."""
