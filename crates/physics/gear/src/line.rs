//! Named kinds of feed line.

words! {
    /// A generic kind of transmission line by its trade name.
    #[derive(Default)]
    pub enum LineType {
        /// 5 mm coax, solid polyethylene, 50 Ω.
        #[default]
        Rg58 = "rg-58",
        /// 6 mm coax, foam dielectric, 50 Ω.
        Rg8x = "rg-8x",
        /// 2.8 mm coax, solid polyethylene, 50 Ω. Copper-clad steel centre: below 3 MHz real cable loses more than the fit.
        Rg174 = "rg-174",
        /// 10 mm coax, solid polyethylene, 50 Ω.
        Rg213 = "rg-213",
        /// Flat or tubular balanced line of 300 Ω, dry.
        Ladder300 = "ladder-300",
        /// Window line of 450 Ω, dry.
        Ladder450 = "ladder-450",
        /// Unshielded twisted pair of 100 Ω, of the quality used for building data cable.
        TwistedPair = "twisted-pair",
        /// None of these: whoever has it states its constants.
        Own = "own",
    }
}

impl LineType {
    /// The name for people.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Rg58 => "RG-58",
            Self::Rg8x => "RG-8X",
            Self::Rg174 => "RG-174",
            Self::Rg213 => "RG-213",
            Self::Ladder300 => "300 ohm ladder line",
            Self::Ladder450 => "450 ohm ladder line",
            Self::TwistedPair => "twisted pair",
            Self::Own => "own line",
        }
    }
}
