//! Antennas with usual measures, for a look without an outing file.

use farhop_outing::{Antenna, AntennaKind, Id, Wire, WireMetal};

/// The kind with usual field measures (common practice), if it has any.
pub fn antenna(word: &str) -> Option<Antenna> {
    let kind = AntennaKind::usual(word)?;
    let said = kind.usual_said()?;
    Some(Antenna {
        id: Id::new(word).ok()?,
        name: format!("Usual {word}, {said}"),
        kind,
        wire: Wire {
            metal: WireMetal::Copper,
            diameter_mm: 1.0,
        },
        azimuth_deg: None,
        usable_mhz: Vec::new(),
        feedline: None,
        transformer: None,
        setup_min: 15.0,
        notes: String::new(),
    })
}
