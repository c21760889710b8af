"""The paper a crew falls back on: findings, chains, patch sheets, line check sheet."""
