"""Words that are longer than any place for them: they are the only ones that may be cut."""

LONG = "Überlange Bezeichnung: zweite Gitarre links außen, Ω/Δ, Rückweg"
