"""The builder's sheets: ceiling plan, marks, stub section."""
