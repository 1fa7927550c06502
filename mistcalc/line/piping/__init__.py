"""From what people state to the solver's network: pipe graph, zone valves, zones that run together."""
