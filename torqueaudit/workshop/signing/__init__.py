"""Who may sign, and with what proof: devices that were let in, PINs, and sessions on a device."""
