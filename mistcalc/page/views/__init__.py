"""What can stand on the screen, a file a view. Each draws one OpenProject and edits it through `components`."""
