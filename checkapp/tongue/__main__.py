"""Make each language's catalogue from its source: ``python -m checkapp.tongue`` after a change of a .po file."""

from checkapp.tongue.making import make_all

make_all()
