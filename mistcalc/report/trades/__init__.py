"""One page a trade: only its own dimensions, holds and cautions, and what it needs from others."""
