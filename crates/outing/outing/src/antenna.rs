//! Antennas by kind, in the numbers that somebody with a tape measure knows.

use crate::id::Id;

/// Metal of a wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WireMetal {
    /// Copper.
    Copper,
    /// Steel with a copper skin.
    CopperClad,
    /// Stainless steel.
    Stainless,
    /// Aluminium.
    Aluminium,
}

impl WireMetal {
    /// All metals with the word of the outing file.
    pub const WORDS: [(&'static str, Self); 4] = [
        ("copper", Self::Copper),
        ("copper-clad", Self::CopperClad),
        ("stainless", Self::Stainless),
        ("aluminium", Self::Aluminium),
    ];
}

/// What the antenna is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wire {
    /// Metal.
    pub metal: WireMetal,
    /// Diameter in millimetres.
    pub diameter_mm: f64,
}

/// Course of an end-fed wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum EndFedShape {
    /// A straight slope from the feed to the far end.
    Sloping,
    /// Up to a corner, then on to the far end.
    LShaped,
    /// Level.
    Flat,
}

impl EndFedShape {
    /// All shapes with the word of the outing file.
    pub const WORDS: [(&'static str, Self); 3] = [
        ("sloping", Self::Sloping),
        ("l-shaped", Self::LShaped),
        ("flat", Self::Flat),
    ];
}

/// Where a whip has its coil.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Loading {
    /// No coil.
    None,
    /// At the foot.
    Base,
    /// In the middle.
    Centre,
}

impl Loading {
    /// All places with the word of the outing file.
    pub const WORDS: [(&'static str, Self); 3] = [("none", Self::None), ("base", Self::Base), ("centre", Self::Centre)];
}

/// Shape of an antenna whose behaviour is declared instead of computed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum DeclaredShape {
    /// Half-wave dipole at a height.
    Dipole,
    /// Short vertical at the ground.
    Vertical,
    /// Small upright loop.
    Loop,
    /// The same in all directions.
    Isotropic,
}

impl DeclaredShape {
    /// All shapes with the word of the outing file.
    pub const WORDS: [(&'static str, Self); 4] = [
        ("dipole", Self::Dipole),
        ("vertical", Self::Vertical),
        ("loop", Self::Loop),
        ("isotropic", Self::Isotropic),
    ];
}

/// The kind of an antenna and its measures. Lengths and heights in metres above ground.
#[derive(Clone, Debug, PartialEq)]
#[allow(
    missing_docs,
    reason = "field names carry quantity and unit; the guide to the outing file explains each"
)]
pub enum AntennaKind {
    /// Level dipole fed in the middle; `length_m` from tip to tip.
    FlatDipole { length_m: f64, height_m: f64 },
    /// Dipole with a high middle; `length_m` is the wire from tip to tip.
    InvertedV {
        length_m: f64,
        apex_height_m: f64,
        end_height_m: f64,
    },
    /// Inverted V whose legs are lengthened by closing links; lengths of one leg, shortest first.
    LinkedDipole {
        leg_lengths_m: Vec<f64>,
        apex_height_m: f64,
        end_height_m: f64,
    },
    /// Wire fed at one end against a counterpoise, through a transformer.
    EndFed {
        wire_m: f64,
        shape: EndFedShape,
        feed_height_m: f64,
        far_height_m: f64,
        /// Height of the corner of an L-shaped wire; equals `far_height_m` unless given.
        corner_height_m: f64,
        counterpoise_m: f64,
        /// Impedance ratio of the transformer at the feed (dimensionless), 1 to 100.
        transformer_ratio: f64,
    },
    /// Upright wire or tube over radials.
    Vertical {
        length_m: f64,
        base_height_m: f64,
        radials: u32,
        radial_m: f64,
    },
    /// Whip on an extension mast, perhaps loaded by a coil, perhaps leaning.
    Whip {
        length_m: f64,
        mast_m: f64,
        loading: Loading,
        /// Coil in microhenry; none means tuned to each frequency.
        coil_uh: Option<f64>,
        /// Quality factor of the coil (dimensionless).
        coil_q: f64,
        lean_deg: f64,
        lean_toward_deg: f64,
        counterpoises: u32,
        counterpoise_m: f64,
        counterpoise_height_m: f64,
    },
    /// Small tuned loop; `height_m` is its lowest point.
    SmallLoop {
        diameter_m: f64,
        turns: u32,
        conductor_diameter_mm: f64,
        height_m: f64,
        capacitor_min_pf: f64,
        capacitor_max_pf: f64,
        /// Quality factor of the capacitor (dimensionless).
        capacitor_q: f64,
    },
    /// Level loop of about one wavelength.
    HorizontalLoop { perimeter_m: f64, height_m: f64 },
    /// Upright triangle, apex up.
    DeltaLoop {
        perimeter_m: f64,
        apex_height_m: f64,
        base_height_m: f64,
    },
    /// Free list of straight wires, x east, y north, z up, fed in the middle of wire `feed_wire` (counted from 1).
    Wires { wires_m: Vec<[f64; 6]>, feed_wire: u32 },
    /// Not computed: a shape, a height and an efficiency that the operator states.
    Declared {
        shape: DeclaredShape,
        height_m: f64,
        /// Radiation efficiency (dimensionless), 0.0001 to 1.
        efficiency: f64,
    },
}

impl AntennaKind {
    /// The word of the outing file for this kind.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::FlatDipole { .. } => "flat-dipole",
            Self::InvertedV { .. } => "inverted-v",
            Self::LinkedDipole { .. } => "linked-dipole",
            Self::EndFed { .. } => "end-fed",
            Self::Vertical { .. } => "vertical",
            Self::Whip { .. } => "whip",
            Self::SmallLoop { .. } => "small-loop",
            Self::HorizontalLoop { .. } => "horizontal-loop",
            Self::DeltaLoop { .. } => "delta-loop",
            Self::Wires { .. } => "wires",
            Self::Declared { .. } => "declared",
        }
    }

    /// All words, in the order of the guide.
    pub const WORDS: [&'static str; 11] = [
        "flat-dipole",
        "inverted-v",
        "linked-dipole",
        "end-fed",
        "vertical",
        "whip",
        "small-loop",
        "horizontal-loop",
        "delta-loop",
        "wires",
        "declared",
    ];
}

/// A transformer between antenna and line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transformer {
    /// Impedance ratio, antenna side to line side (dimensionless): 1 for a choke, 4, 9, 49.
    pub ratio: f64,
    /// Loss in dB.
    pub loss_db: f64,
}

/// An antenna in the kit, or as it hangs at a site.
#[derive(Clone, Debug, PartialEq)]
pub struct Antenna {
    /// Short name for references and commands.
    pub id: Id,
    /// Name for people.
    pub name: String,
    /// Kind and measures.
    pub kind: AntennaKind,
    /// Metal and thickness.
    pub wire: Wire,
    /// Direction in which the wire runs from the feed, or the plane of a loop lies, degrees true; none means that the
    /// operator turns it as suits.
    pub azimuth_deg: Option<f64>,
    /// Frequencies for which it is meant, in MHz (a channel counts when within 5 %); empty means all that it can be
    /// matched to.
    pub usable_mhz: Vec<f64>,
    /// Feed line between tuner and antenna; none means directly at the transmitter.
    pub feedline: Option<Id>,
    /// Transformer at the feed.
    pub transformer: Option<Transformer>,
    /// Minutes to put it up.
    pub setup_min: f64,
    /// Anything worth remembering.
    pub notes: String,
}

impl Antenna {
    /// Whether it is meant for a frequency in MHz: no list, or one of the list within 5 %.
    #[must_use]
    pub fn serves(&self, freq_mhz: f64) -> bool {
        self.usable_mhz.is_empty() || self.usable_mhz.iter().any(|f| (freq_mhz / f - 1.0).abs() <= 0.05)
    }
}
