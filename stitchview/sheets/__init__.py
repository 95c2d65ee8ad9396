"""Floor 2, from paper: photographs and scans become charts (empty until that issue is taken)."""
