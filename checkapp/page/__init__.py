"""What tags, pictures and paper share: typefaces, shapes on a page, tables, files that are written whole."""
