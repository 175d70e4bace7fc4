//! An outing's antenna in the words of the engine.

use farhop_antenna::templates::{Built, CoilPlace, Course, Material};
use farhop_antenna::{Conductor, Ground, Template};
use farhop_earth::GroundConstants;
use farhop_outing::{Antenna, AntennaKind, EndFedShape, Loading, WireMetal};

/// Bearing of the engine's x axis on site, degrees true; none where the operator turns the antenna as suits.
///
/// A free list of wires is measured toward east and north, so that its x axis points east unless an azimuth turns it. A whip
/// that leans has a direction even where its counterpoises have none: they are then taken to lie below the lean.
#[must_use]
pub fn axis_bearing_deg(antenna: &Antenna) -> Option<f64> {
    antenna.azimuth_deg.or(match antenna.kind {
        AntennaKind::Wires { .. } => Some(EAST_DEG),
        AntennaKind::Whip {
            lean_deg,
            lean_toward_deg,
            ..
        } if lean_deg > 0.0 => Some(lean_toward_deg),
        _ => None,
    })
}

/// Bearing of east, degrees true.
const EAST_DEG: f64 = 90.0;

/// Impedance ratio between the wires' feed and the line (dimensionless): the transformer's, or that of an end-fed wire's own.
#[must_use]
pub fn feed_ratio(antenna: &Antenna) -> f64 {
    match (antenna.transformer, &antenna.kind) {
        (Some(transformer), _) => transformer.ratio,
        (None, AntennaKind::EndFed { transformer_ratio, .. }) => *transformer_ratio,
        (None, _) => 1.0,
    }
}

/// The engine's template for an antenna; none for one whose behaviour is declared.
#[must_use]
pub fn template_of(antenna: &Antenna) -> Option<Template> {
    Some(match &antenna.kind {
        AntennaKind::FlatDipole { length_m, height_m } => Template::FlatDipole {
            length_m: *length_m,
            height_m: *height_m,
        },
        AntennaKind::InvertedV {
            length_m,
            apex_height_m,
            end_height_m,
        } => Template::InvertedV {
            length_m: *length_m,
            apex_height_m: *apex_height_m,
            end_height_m: *end_height_m,
        },
        AntennaKind::LinkedDipole {
            leg_lengths_m,
            apex_height_m,
            end_height_m,
        } => Template::LinkedDipole {
            leg_lengths_m: leg_lengths_m.clone(),
            apex_height_m: *apex_height_m,
            end_height_m: *end_height_m,
        },
        AntennaKind::EndFed { .. } => end_fed(&antenna.kind)?,
        AntennaKind::Vertical {
            length_m,
            base_height_m,
            radials,
            radial_m,
        } => Template::Vertical {
            length_m: *length_m,
            base_height_m: *base_height_m,
            radials: *radials,
            radial_m: *radial_m,
        },
        AntennaKind::Whip { .. } => whip(&antenna.kind, axis_bearing_deg(antenna).unwrap_or(0.0))?,
        AntennaKind::SmallLoop { .. } => small_loop(&antenna.kind)?,
        AntennaKind::HorizontalLoop { perimeter_m, height_m } => Template::HorizontalLoop {
            perimeter_m: *perimeter_m,
            height_m: *height_m,
        },
        AntennaKind::DeltaLoop {
            perimeter_m,
            apex_height_m,
            base_height_m,
        } => Template::DeltaLoop {
            perimeter_m: *perimeter_m,
            apex_height_m: *apex_height_m,
            base_height_m: *base_height_m,
        },
        AntennaKind::Wires { wires_m, feed_wire } => Template::Wires {
            wires_m: wires_m
                .iter()
                .map(|w| [[w[0], w[1], w[2]], [w[3], w[4], w[5]]])
                .collect(),
            feed_wire: feed_wire.saturating_sub(1) as usize,
        },
        AntennaKind::Declared { .. } => return None,
    })
}

fn end_fed(kind: &AntennaKind) -> Option<Template> {
    let AntennaKind::EndFed {
        wire_m,
        shape,
        feed_height_m,
        far_height_m,
        corner_height_m,
        counterpoise_m,
        transformer_ratio,
    } = kind
    else {
        return None;
    };
    let course = match shape {
        EndFedShape::Sloping => Course::Sloping,
        EndFedShape::LShaped => Course::LShaped,
        EndFedShape::Flat => Course::Flat,
    };
    Some(Template::EndFed {
        wire_m: *wire_m,
        course,
        feed_height_m: *feed_height_m,
        far_height_m: *far_height_m,
        corner_height_m: *corner_height_m,
        counterpoise_m: *counterpoise_m,
        transformer_ratio: *transformer_ratio,
    })
}

fn whip(kind: &AntennaKind, azimuth_deg: f64) -> Option<Template> {
    let AntennaKind::Whip {
        length_m,
        mast_m,
        loading,
        coil_uh,
        coil_q,
        lean_deg,
        lean_toward_deg,
        counterpoises,
        counterpoise_m,
        counterpoise_height_m,
    } = kind
    else {
        return None;
    };
    let coil_place = match loading {
        Loading::None => CoilPlace::None,
        Loading::Base => CoilPlace::Base,
        Loading::Centre => CoilPlace::Centre,
    };
    Some(Template::Whip {
        length_m: *length_m,
        mast_m: *mast_m,
        coil_place,
        coil_uh: *coil_uh,
        coil_q: *coil_q,
        lean_deg: *lean_deg,
        lean_from_axis_deg: lean_toward_deg - azimuth_deg,
        counterpoises: *counterpoises,
        counterpoise_m: *counterpoise_m,
        counterpoise_height_m: *counterpoise_height_m,
    })
}

fn small_loop(kind: &AntennaKind) -> Option<Template> {
    let AntennaKind::SmallLoop {
        diameter_m,
        turns,
        conductor_diameter_mm,
        height_m,
        capacitor_min_pf,
        capacitor_max_pf,
        capacitor_q,
    } = kind
    else {
        return None;
    };
    Some(Template::SmallLoop {
        diameter_m: *diameter_m,
        turns: *turns,
        conductor_diameter_mm: *conductor_diameter_mm,
        height_m: *height_m,
        capacitor_min_pf: *capacitor_min_pf,
        capacitor_max_pf: *capacitor_max_pf,
        capacitor_q: *capacitor_q,
    })
}

/// The wires of an antenna over a ground on a frequency in MHz.
///
/// # Errors
/// Says in words why the measures make no antenna there; an antenna whose behaviour is declared has no wires.
pub fn built_at(antenna: &Antenna, ground: GroundConstants, freq_mhz: f64) -> Result<Built, String> {
    let template = wires_of(antenna)?;
    template
        .build(material_of(antenna), ground_of(ground), freq_mhz)
        .map_err(|e| e.to_string())
}

/// The template of an antenna that has wires.
pub(super) fn wires_of(antenna: &Antenna) -> Result<Template, String> {
    template_of(antenna).ok_or_else(|| format!("{} is declared, not built of wires", antenna.name))
}

/// Metal and thickness in the engine's words.
pub(super) fn material_of(antenna: &Antenna) -> Material {
    let conductor = match antenna.wire.metal {
        WireMetal::Copper => Conductor::Copper,
        WireMetal::CopperClad => Conductor::CopperClad,
        WireMetal::Stainless => Conductor::Stainless,
        WireMetal::Aluminium => Conductor::Aluminium,
    };
    Material {
        conductor,
        radius_m: antenna.wire.diameter_mm / 2_000.0,
    }
}

/// Ground constants in the engine's words.
pub(super) fn ground_of(ground: GroundConstants) -> Ground {
    Ground::Real {
        eps_r: ground.eps_r,
        sigma_s_per_m: ground.sigma_s_per_m,
    }
}
