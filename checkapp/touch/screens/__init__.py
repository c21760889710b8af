"""The screens, each a class and the layout file of the same name, loaded when first shown."""
