"""What people type and read: lengths, areas, loads, temperatures, money."""
