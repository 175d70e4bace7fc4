//! What an administration or a region grants.

/// Where an entry comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// Document and place in it.
    pub text: String,
    /// Date or edition of the document.
    pub date: String,
    /// Written down without the document at hand: to be checked before anybody relies on it.
    pub from_memory: bool,
}

/// Standing of the amateur service in a band (Radio Regulations, article 5: primary in capitals, secondary in small letters).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Status {
    /// Primary.
    Primary,
    /// Primary beside other services.
    Shared,
    /// Secondary: no harm to primary users, no protection from them.
    Secondary,
}

impl Status {
    /// All with the word of the data files.
    pub const WORDS: [(&'static str, Self); 3] = [
        ("primary", Self::Primary),
        ("shared", Self::Shared),
        ("secondary", Self::Secondary),
    ];
}

/// What a power limit is a limit of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PowerBasis {
    /// Peak envelope power of the transmitter.
    Transmitter,
    /// Effective radiated power, against a half-wave dipole in free space.
    Erp,
    /// Equivalent isotropically radiated power.
    Eirp,
}

impl PowerBasis {
    /// All with the word of the data files.
    pub const WORDS: [(&'static str, Self); 3] = [
        ("transmitter", Self::Transmitter),
        ("erp", Self::Erp),
        ("eirp", Self::Eirp),
    ];
}

/// A power limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerLimit {
    /// Most power, W, above zero.
    pub power_w: f64,
    /// Of what.
    pub basis: PowerBasis,
}

/// A band that is granted, with the limits that bind in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// Lower edge, MHz.
    pub low_mhz: f64,
    /// Upper edge, MHz, above the lower one.
    pub high_mhz: f64,
    /// Standing.
    pub status: Status,
    /// Most power, where known.
    pub power: Option<PowerLimit>,
    /// Widest emission in Hz, where the rules say so.
    pub width_limit_hz: Option<f64>,
    /// Whether data may be sent; band parts for voice only say no.
    pub data: bool,
    /// What else to know.
    pub note: String,
    /// Where this entry comes from.
    pub source: Source,
}

/// A part of a band plan: custom, not law.
#[derive(Clone, Debug, PartialEq)]
pub struct Segment {
    /// Lower edge, MHz.
    pub low_mhz: f64,
    /// Upper edge, MHz, above the lower one.
    pub high_mhz: f64,
    /// Widest emission in Hz that the plan has there.
    pub width_limit_hz: f64,
    /// What it is meant for.
    pub note: String,
    /// Where this entry comes from.
    pub source: Source,
}

/// How often a station has to give its callsign.
#[derive(Clone, Debug, PartialEq)]
pub struct Identification {
    /// Longest time between two identifications, minutes.
    pub every_min: f64,
    /// Also at the end of each contact.
    pub at_end: bool,
    /// Where this comes from.
    pub source: Source,
}

/// What one administration or region grants.
#[derive(Clone, Debug, PartialEq)]
pub struct Allocation {
    /// Name in the outing file, for example `iaru-region-3`.
    pub name: String,
    /// Name for people.
    pub title: String,
    /// Where it comes from as a whole.
    pub source: Source,
    /// Identification, where known.
    pub identification: Option<Identification>,
    /// Bands, rising, none over another.
    pub bands: Vec<Band>,
    /// Band plan, rising; may be empty.
    pub segments: Vec<Segment>,
    /// What else to know.
    pub note: String,
}

/// Why data make no allocation.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum AllocationError {
    /// A band or segment whose edges are no numbers or in the wrong order.
    #[error("{name}: the edges {low} and {high} MHz make no band; the lower one comes first")]
    Edges {
        /// Which allocation.
        name: String,
        /// Lower edge as written.
        low: String,
        /// Upper edge as written.
        high: String,
    },
    /// Two bands lie over each other, or are not in rising order.
    #[error(
        "{name}: the band from {low} MHz begins below the end of the one before; write bands rising, without overlap"
    )]
    Order {
        /// Which allocation.
        name: String,
        /// Lower edge of the later band.
        low: String,
    },
    /// A limit that is not above zero.
    #[error("{name}: a limit of {value} is not above zero")]
    Limit {
        /// Which allocation.
        name: String,
        /// The value as written.
        value: String,
    },
    /// There is no band.
    #[error("{name}: there is no band in it")]
    Empty {
        /// Which allocation.
        name: String,
    },
}

impl Allocation {
    /// Checks edges, order and limits.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn checked(self) -> Result<Self, AllocationError> {
        let name = || self.name.clone();
        if self.bands.is_empty() {
            return Err(AllocationError::Empty { name: name() });
        }
        let bands: Vec<(f64, f64)> = self.bands.iter().map(|b| (b.low_mhz, b.high_mhz)).collect();
        let segments: Vec<(f64, f64)> = self.segments.iter().map(|s| (s.low_mhz, s.high_mhz)).collect();
        for edges in [&bands, &segments] {
            rising(&self.name, edges)?;
        }
        let of_bands = self
            .bands
            .iter()
            .flat_map(|b| [b.width_limit_hz, b.power.map(|p| p.power_w)]);
        let of_segments = self.segments.iter().map(|s| Some(s.width_limit_hz));
        let of_calls = self.identification.iter().map(|i| Some(i.every_min));
        for value in of_bands.chain(of_segments).chain(of_calls).flatten() {
            if !(value.is_finite() && value > 0.0) {
                return Err(AllocationError::Limit {
                    name: name(),
                    value: value.to_string(),
                });
            }
        }
        Ok(self)
    }

    /// The band that lies nearest to a frequency in MHz; none for a frequency that is not a number.
    #[must_use]
    pub(crate) fn nearest_band(&self, freq_mhz: f64) -> Option<&Band> {
        let away = |b: &&Band| (b.low_mhz - freq_mhz).max(freq_mhz - b.high_mhz).max(0.0);
        let number = freq_mhz.is_finite();
        self.bands
            .iter()
            .filter(|_| number)
            .min_by(|a, b| away(a).total_cmp(&away(b)))
    }
}

fn rising(name: &str, edges: &[(f64, f64)]) -> Result<(), AllocationError> {
    let mut end_mhz = 0.0;
    for (low, high) in edges {
        if !(low.is_finite() && high.is_finite() && *low > 0.0 && low < high) {
            return Err(AllocationError::Edges {
                name: name.to_owned(),
                low: low.to_string(),
                high: high.to_string(),
            });
        }
        if *low < end_mhz {
            return Err(AllocationError::Order {
                name: name.to_owned(),
                low: low.to_string(),
            });
        }
        end_mhz = *high;
    }
    Ok(())
}
