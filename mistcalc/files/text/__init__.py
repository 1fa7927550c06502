"""Text of a file: bytes decoded, TOML read with the place of every key."""
