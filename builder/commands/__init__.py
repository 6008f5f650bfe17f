"""What ``patinarium`` does when it is told to: one module a family of commands."""
