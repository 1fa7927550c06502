"""What can stand on the screen, a file a view. Each draws one Desk and edits it through `parts`."""
