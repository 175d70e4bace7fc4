//! What needs what: weak points, spares and finding the fault.
