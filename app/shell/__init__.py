"""The window around the pages: menus, header, files, help."""
