"""What lies ahead: forecasts, the order of jobs, the ten-year plan. The only user of scipy and of the solver."""
