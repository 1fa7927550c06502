"""Frozen nouns that pass between rooms: `project` is what people state, `results` what we derive."""
