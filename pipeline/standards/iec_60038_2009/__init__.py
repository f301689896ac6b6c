"""IEC 60038:2009, standard voltages: band of the supply voltage."""
