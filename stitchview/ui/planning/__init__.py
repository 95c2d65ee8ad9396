"""The planning window: its pages, and what each shows of the plan."""
