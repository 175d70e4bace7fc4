//! Wires and transformers of an antenna.

words! {
    /// Metal of a wire.
    pub enum WireMetal {
        /// Copper, solid or stranded.
        Copper = "copper",
        /// Steel with a copper skin.
        CopperClad = "copper-clad",
        /// Stainless steel.
        Stainless = "stainless",
        /// Aluminium.
        Aluminium = "aluminium",
    }
}

/// What an antenna is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wire {
    /// Metal.
    pub metal: WireMetal,
    /// Diameter in millimetres.
    pub diameter_mm: f64,
}

/// A transformer between antenna and line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transformer {
    /// Impedance ratio, antenna side to line side (dimensionless): 1 for a choke, 4, 9, 49.
    pub ratio: f64,
    /// Loss in dB.
    pub loss_db: f64,
}
