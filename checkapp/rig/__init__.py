"""The plan as data: model, codes with check characters, plan file, paths of lines."""
