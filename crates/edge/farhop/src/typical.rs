//! Antennas with usual measures, for a look without an outing file.

use farhop_outing::{Antenna, AntennaKind, EndFedShape, Id, Loading, Wire, WireMetal};

/// The kind with usual field measures (common practice), if it has any.
pub fn antenna(word: &str) -> Option<Antenna> {
    let (kind, said) = kind(word)?;
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

fn kind(word: &str) -> Option<(AntennaKind, &'static str)> {
    Some(match word {
        "flat-dipole" => (
            AntennaKind::FlatDipole {
                length_m: 20.2,
                height_m: 5.0,
            },
            "20.2 m long, 5 m up",
        ),
        "inverted-v" => (
            AntennaKind::InvertedV {
                length_m: 20.2,
                apex_height_m: 6.5,
                end_height_m: 1.5,
            },
            "20.2 m, apex 6.5 m up",
        ),
        "linked-dipole" => (
            AntennaKind::LinkedDipole {
                leg_lengths_m: vec![5.05, 7.0, 10.1, 13.4, 19.8],
                apex_height_m: 6.5,
                end_height_m: 1.5,
            },
            "five bands, apex 6.5 m up",
        ),
        "end-fed" => (
            AntennaKind::EndFed {
                wire_m: 21.6,
                shape: EndFedShape::Sloping,
                feed_height_m: 0.6,
                far_height_m: 7.0,
                corner_height_m: 7.0,
                counterpoise_m: 6.5,
                transformer_ratio: 9.0,
            },
            "21.6 m sloping to 7 m",
        ),
        "vertical" => (
            AntennaKind::Vertical {
                length_m: 6.8,
                base_height_m: 0.05,
                radials: 4,
                radial_m: 5.0,
            },
            "6.8 m, four radials",
        ),
        "whip" => (
            AntennaKind::Whip {
                length_m: 2.5,
                mast_m: 1.0,
                loading: Loading::Base,
                coil_uh: None,
                coil_q: 200.0,
                lean_deg: 0.0,
                lean_toward_deg: 0.0,
                counterpoises: 2,
                counterpoise_m: 5.0,
                counterpoise_height_m: 0.1,
            },
            "2.5 m on a 1 m mast, coil at its foot",
        ),
        "small-loop" => (
            AntennaKind::SmallLoop {
                diameter_m: 0.95,
                turns: 1,
                conductor_diameter_mm: 10.0,
                height_m: 1.0,
                capacitor_min_pf: 10.0,
                capacitor_max_pf: 1_500.0,
                capacitor_q: 1_500.0,
            },
            "0.95 m across, 1 m up",
        ),
        "horizontal-loop" => (
            AntennaKind::HorizontalLoop {
                perimeter_m: 42.0,
                height_m: 5.0,
            },
            "42 m around, 5 m up",
        ),
        "delta-loop" => (
            AntennaKind::DeltaLoop {
                perimeter_m: 42.0,
                apex_height_m: 10.0,
                base_height_m: 2.0,
            },
            "42 m around, apex 10 m up",
        ),
        _ => return None,
    })
}
