"""What a solved line asks of its parts: pump and motor, tube, water point, water, filling and draining."""
