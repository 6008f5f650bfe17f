"""The trade's nouns, frozen: what was written (`facts`, `piece`), what was photographed (`photo`),
how the library is set up (`settings`)."""
