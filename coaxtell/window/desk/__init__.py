"""What scenes share: tables, matings, pictures, the port being named, the pair on its axis. Draws nothing."""
