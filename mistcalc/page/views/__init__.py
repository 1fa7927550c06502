"""What can stand on the screen, a file a view. Each draws an OpenProject, edits it through `components`."""
