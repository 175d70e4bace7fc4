//! Battery chemistries.

words! {
    /// The chemistry of a battery.
    #[derive(Default)]
    pub enum Chemistry {
        /// Lithium iron phosphate (LiFePO4): flat curve, 3.2 V a cell.
        #[default]
        LithiumIronPhosphate = "lifepo4",
        /// Lithium ion with a cobalt, manganese or nickel oxide: 3.6 V a cell.
        LithiumIon = "li-ion",
        /// Sealed lead (gel or glass mat): 2 V a cell, loses capacity at high current.
        SealedLead = "sealed-lead",
        /// Nickel metal hydride: 1.2 V a cell.
        NickelMetalHydride = "nimh",
    }
}

impl Chemistry {
    /// Name for people.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::LithiumIronPhosphate => "lithium iron phosphate",
            Self::LithiumIon => "lithium ion",
            Self::SealedLead => "sealed lead",
            Self::NickelMetalHydride => "nickel metal hydride",
        }
    }

    /// Nominal voltage of one cell, V (common practice).
    #[must_use]
    pub fn nominal_cell_v(self) -> f64 {
        match self {
            Self::LithiumIronPhosphate => 3.2,
            Self::LithiumIon => 3.6,
            Self::SealedLead => 2.0,
            Self::NickelMetalHydride => 1.2,
        }
    }
}
