"""What every store has to do, whatever it is built on."""
