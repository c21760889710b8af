"""The parts that screens are made of, each a class and the layout file of the same name."""
