"""BS 6004:2012, PVC-insulated cables: in which sizes a flat cable with protective conductor is made."""
