//! From distances and burns to their views.

use farhop_exposure::profile::{KeepOut, Quantity};
use farhop_outing::Outing;
use farhop_plan::safety::{BandSafety, NearSafety};

use crate::numbers::rounded;
use crate::safety::rules::rules_lines;
use crate::safety::view::{BandSafetyView, ContactView, DistanceView, FieldView, NearView, SafetyView};
use crate::safety::{text, words};

/// The view of one band.
#[must_use]
pub fn band(outing: &Outing, safety: &BandSafety) -> BandSafetyView {
    let site = outing.sites.get(safety.site);
    let antenna = outing.kit.antennas.get(safety.antenna);
    let far = |value: f64| value.is_finite().then(|| rounded(value, 2));
    BandSafetyView {
        site: site.map_or_else(String::new, |s| s.id.to_string()),
        site_name: site.map_or_else(String::new, |s| s.name.clone()),
        antenna: antenna.map_or_else(String::new, |a| a.id.to_string()),
        antenna_name: antenna.map_or_else(String::new, |a| a.name.clone()),
        freq_mhz: safety.sending.freq_mhz,
        channels_mhz: safety.channels_mhz.clone(),
        power_w: safety.sending.power_w,
        key_share: rounded(safety.sending.key_share, 3),
        near: safety.near.as_ref().ok().map(|n| near(n, safety.sending.power_w)),
        not_computed: safety.near.as_ref().err().cloned(),
        far_field_operator_m: far(safety.far_field_m.0),
        far_field_others_m: far(safety.far_field_m.1),
    }
}

fn near(near: &NearSafety, power_w: f64) -> NearView {
    let distances = [
        ("operator", &near.fcc.controlled),
        ("others", &near.fcc.public),
        ("operator", &near.icnirp.controlled),
        ("others", &near.icnirp.public),
    ];
    let contacts = near.contacts.iter().map(|c| ContactView {
        part: words::part(c.part),
        height_m: rounded(c.height_m, 2),
        volts_rms: rounded(c.rms_v, 1),
        burn: words::burn_key(c.burn),
    });
    let root_w = power_w.sqrt();
    let fields = near.profile.steps().iter().map(|s| FieldView {
        distance_m: rounded(s.distance_m, 2),
        e_v_per_m: rounded(s.e_v_per_m * root_w, 3),
        h_a_per_m: rounded(s.h_a_per_m * root_w, 5),
    });
    NearView {
        operator_m: near.controlled_m(),
        others_m: near.public_m(),
        anywhere: words::anywhere(near),
        distances: distances.into_iter().map(|(who, k)| distance(who, k)).collect(),
        contacts: contacts.collect(),
        fields: fields.collect(),
    }
}

fn distance(who: &'static str, own: &KeepOut) -> DistanceView {
    let (limit, limit_unit) = match own.quantity {
        Quantity::Electric => (own.limit.e_v_per_m, "V/m"),
        Quantity::Magnetic => (own.limit.h_a_per_m, "A/m"),
    };
    DistanceView {
        rule: own.limit.rule.name(),
        who,
        distance_m: rounded(own.distance_m, 3),
        told_m: own.told_m(),
        reach: words::reach_key(own.reach),
        field: words::quantity(own.quantity),
        limit: rounded(limit, 4),
        limit_unit,
        averaging_min: own.limit.averaging_min,
        counted_share: rounded(own.counted_share, 3),
    }
}

/// The whole view.
#[must_use]
pub fn safety_view(outing: &Outing, all: &[BandSafety], imperial: bool) -> SafetyView {
    SafetyView {
        outing: outing.header.name.clone(),
        answer: text::answer(outing, all, imperial),
        bands: all.iter().map(|s| band(outing, s)).collect(),
        rules: rules_lines(outing),
        cautions: crate::cautions::hazards(outing),
        basis: text::basis(outing),
    }
}
