//! An antenna with the measures that were taken on the hill.

use farhop_outing::{Antenna, AntennaKind};

use crate::hang::Measures;

impl Measures {
    /// These measures, and those of `earlier` where these say nothing.
    #[must_use]
    pub fn or(self, earlier: Self) -> Self {
        Self {
            apex_height_m: self.apex_height_m.or(earlier.apex_height_m),
            end_height_m: self.end_height_m.or(earlier.end_height_m),
            height_m: self.height_m.or(earlier.height_m),
            feed_height_m: self.feed_height_m.or(earlier.feed_height_m),
            far_height_m: self.far_height_m.or(earlier.far_height_m),
            corner_height_m: self.corner_height_m.or(earlier.corner_height_m),
            base_height_m: self.base_height_m.or(earlier.base_height_m),
            length_m: self.length_m.or(earlier.length_m),
            azimuth_deg: self.azimuth_deg.or(earlier.azimuth_deg),
        }
    }

    /// Words of the measures that a kind of antenna does not have: `apex` of a level dipole.
    #[must_use]
    pub fn foreign_to(&self, kind: &AntennaKind) -> Vec<&'static str> {
        let mut kind = kind.clone();
        let slots = slots(&mut kind);
        let named = [
            ("apex", self.apex_height_m.is_some(), slots.apex.is_some()),
            ("ends", self.end_height_m.is_some(), slots.end.is_some()),
            ("height", self.height_m.is_some(), slots.height.is_some()),
            ("feed", self.feed_height_m.is_some(), slots.feed.is_some()),
            ("far end", self.far_height_m.is_some(), slots.far.is_some()),
            ("corner", self.corner_height_m.is_some(), slots.corner.is_some()),
            ("base", self.base_height_m.is_some(), slots.base.is_some()),
            ("length", self.length_m.is_some(), slots.length.is_some()),
        ];
        named
            .iter()
            .filter(|(_, said, has)| *said && !*has)
            .map(|n| n.0)
            .collect()
    }
}

/// The antenna with the measures in their places; those that its kind does not have change nothing.
#[must_use]
pub fn measured(antenna: &Antenna, measures: &Measures) -> Antenna {
    let mut antenna = antenna.clone();
    antenna.azimuth_deg = measures.azimuth_deg.or(antenna.azimuth_deg);
    corner_follows(&mut antenna.kind, measures);
    let slots = slots(&mut antenna.kind);
    for (slot, said) in [
        (slots.apex, measures.apex_height_m),
        (slots.end, measures.end_height_m),
        (slots.height, measures.height_m),
        (slots.feed, measures.feed_height_m),
        (slots.far, measures.far_height_m),
        (slots.corner, measures.corner_height_m),
        (slots.base, measures.base_height_m),
        (slots.length, measures.length_m),
    ] {
        if let (Some(slot), Some(value_m)) = (slot, said) {
            *slot = value_m;
        }
    }
    antenna
}

/// The corner of a wire without one stands as high as its far end, and goes on doing so.
fn corner_follows(kind: &mut AntennaKind, measures: &Measures) {
    if let AntennaKind::EndFed {
        far_height_m,
        corner_height_m,
        ..
    } = kind
        && let Some(far) = measures.far_height_m
        && corner_height_m == far_height_m
    {
        *corner_height_m = far;
    }
}

/// Where a kind of antenna keeps each measure.
#[derive(Default)]
struct Slots<'a> {
    apex: Option<&'a mut f64>,
    end: Option<&'a mut f64>,
    height: Option<&'a mut f64>,
    feed: Option<&'a mut f64>,
    far: Option<&'a mut f64>,
    corner: Option<&'a mut f64>,
    base: Option<&'a mut f64>,
    length: Option<&'a mut f64>,
}

fn slots(kind: &mut AntennaKind) -> Slots<'_> {
    match kind {
        AntennaKind::FlatDipole { length_m, height_m }
        | AntennaKind::HorizontalLoop {
            perimeter_m: length_m,
            height_m,
        } => Slots {
            length: Some(length_m),
            height: Some(height_m),
            ..Slots::default()
        },
        AntennaKind::SmallLoop { height_m, .. } | AntennaKind::Declared { height_m, .. } => Slots {
            height: Some(height_m),
            ..Slots::default()
        },
        AntennaKind::Vertical {
            length_m,
            base_height_m: base_m,
            ..
        }
        | AntennaKind::Whip {
            length_m,
            mast_m: base_m,
            ..
        } => Slots {
            length: Some(length_m),
            base: Some(base_m),
            ..Slots::default()
        },
        sloping => slots_of_sloping(sloping),
    }
}

/// The kinds whose ends stand at different heights.
fn slots_of_sloping(kind: &mut AntennaKind) -> Slots<'_> {
    match kind {
        AntennaKind::InvertedV {
            length_m,
            apex_height_m,
            end_height_m,
        } => Slots {
            length: Some(length_m),
            apex: Some(apex_height_m),
            end: Some(end_height_m),
            ..Slots::default()
        },
        // Its legs are cut; only the heights are taken anew on the hill.
        AntennaKind::LinkedDipole {
            apex_height_m,
            end_height_m,
            ..
        } => Slots {
            apex: Some(apex_height_m),
            end: Some(end_height_m),
            ..Slots::default()
        },
        AntennaKind::EndFed {
            wire_m,
            feed_height_m,
            far_height_m,
            corner_height_m,
            ..
        } => Slots {
            length: Some(wire_m),
            feed: Some(feed_height_m),
            far: Some(far_height_m),
            corner: Some(corner_height_m),
            ..Slots::default()
        },
        AntennaKind::DeltaLoop {
            perimeter_m,
            apex_height_m,
            base_height_m,
        } => Slots {
            length: Some(perimeter_m),
            apex: Some(apex_height_m),
            base: Some(base_height_m),
            ..Slots::default()
        },
        _ => Slots::default(),
    }
}
