"""Every reader of strangers' files, fed with what strangers might send. See ``__main__``."""
