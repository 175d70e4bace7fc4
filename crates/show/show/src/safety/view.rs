//! Exposure as JSON sees it: everything, with its working.

use farhop_exposure::profile::{KeepOut, Quantity, Step};
use farhop_outing::Outing;
use farhop_plan::safety::{BandSafety, Contact, NearSafety};

use crate::names::{antenna_id, antenna_name, site_id, site_name};
use crate::numbers::rounded;
use crate::reader::Units;
use crate::safety::rules::rules_lines;
use crate::safety::{text, words};
use crate::views::views;

views! {
    /// A distance for one rule and one population.
    DistanceView(who: &'static str, own: &KeepOut) where {
        let (limit, unit) = match own.quantity {
            Quantity::Electric => (own.limit.e_v_per_m, "V/m"),
            Quantity::Magnetic => (own.limit.h_a_per_m, "A/m"),
        };
    } {
        /// The rule that asks for it.
        rule: &'static str = own.limit.rule.name(),
        /// `operator` or `others`.
        who: &'static str = who,
        /// As computed.
        distance_m: f64 = rounded(own.distance_m, 3),
        /// As told: a twentieth more, up to the next tenth of a metre.
        told_m: f64 = own.told_m(),
        /// `nearer` (holds at the nearest place looked at), `found`, `farther` (continued as 1/R).
        reach: &'static str = words::reach_key(own.reach),
        /// `electric` or `magnetic`.
        field: &'static str = words::quantity(own.quantity),
        /// The limit, V/m or A/m rms.
        limit: f64 = rounded(limit, 4),
        limit_unit: &'static str = unit,
        /// Averaging time; none where the field itself counts.
        averaging_min: Option<f64> = own.limit.averaging_min,
        /// Share of the power that counts, 0 to 1.
        counted_share: f64 = rounded(own.counted_share, 3),
    }

    /// A part within reach.
    ContactView(contact: &Contact) {
        part: &'static str = words::part(contact.part),
        height_m: f64 = rounded(contact.height_m, 2),
        volts_rms: f64 = rounded(contact.rms_v, 1),
        /// `unnamed`, `may-burn`, `burns`.
        burn: &'static str = words::burn_key(contact.burn),
    }

    /// The strongest field at a distance, key down.
    FieldView(step: &Step, root_w: f64) {
        distance_m: f64 = rounded(step.distance_m, 2),
        e_v_per_m: f64 = rounded(step.e_v_per_m * root_w, 3),
        h_a_per_m: f64 = rounded(step.h_a_per_m * root_w, 5),
    }

    /// What follows from near fields.
    NearView(near: &NearSafety, power_w: f64) where {
        let distances = [
            ("operator", &near.fcc.controlled),
            ("others", &near.fcc.public),
            ("operator", &near.icnirp.controlled),
            ("others", &near.icnirp.public),
        ];
    } {
        /// Distance for the operator, the stricter of both rules.
        operator_m: f64 = near.controlled_m(),
        /// Distance for everybody else, the stricter of both rules.
        others_m: f64 = near.public_m(),
        /// The wires hang so high that the limits hold wherever somebody stands on the ground.
        anywhere: bool = words::anywhere(near),
        distances: Vec<DistanceView> = distances.into_iter().map(|(who, k)| DistanceView::new(who, k)).collect(),
        contacts: Vec<ContactView> = near.contacts.iter().map(ContactView::new).collect(),
        fields: Vec<FieldView> = near.profile.steps().iter().map(|s| FieldView::new(s, power_w.sqrt())).collect(),
    }

    /// One antenna at one site on one band.
    BandSafetyView(outing: &Outing, safety: &BandSafety) where {
        let far = |value: f64| value.is_finite().then(|| rounded(value, 2));
    } {
        site: String = site_id(outing, safety.site),
        site_name: String = site_name(outing, safety.site).to_owned(),
        antenna: String = antenna_id(outing, safety.antenna),
        antenna_name: String = antenna_name(outing, safety.antenna).to_owned(),
        /// The channel that was computed.
        freq_mhz: f64 = safety.sending.freq_mhz,
        channels_mhz: Vec<f64> = safety.channels_mhz.clone(),
        /// Power into the antenna: all of the transmitter's.
        power_w: f64 = safety.sending.power_w,
        /// Share of the time with the key down while sending, 0 to 1.
        key_share: f64 = rounded(safety.sending.key_share, 3),
        /// None where no near field can be computed.
        near: Option<NearView> = safety.near.as_ref().ok().map(|n| NearView::new(n, safety.sending.power_w)),
        /// Why not.
        not_computed: Option<String> = safety.near.as_ref().err().map(ToString::to_string),
        /// The far-field formula alone: rough, and too small close to small antennas.
        far_field_operator_m: Option<f64> = far(safety.far_field_m.0),
        far_field_others_m: Option<f64> = far(safety.far_field_m.1),
    }

    /// `farhop exposure`.
    SafetyView(outing: &Outing, all: &[BandSafety], units: Units) {
        outing: String = outing.header.name.clone(),
        /// The answer in one sentence.
        answer: String = text::answer(outing, all, units),
        bands: Vec<BandSafetyView> = all.iter().map(|s| BandSafetyView::new(outing, s)).collect(),
        /// What the rules of the operator's administration say.
        rules: Vec<String> = rules_lines(outing),
        /// What to mind besides fields.
        cautions: Vec<String> = crate::cautions::hazards(outing),
        /// What the figures rest on.
        basis: Vec<String> = text::basis(outing, units),
    }
}

/// The whole view.
#[must_use]
pub fn safety_view(outing: &Outing, all: &[BandSafety], units: Units) -> SafetyView {
    SafetyView::new(outing, all, units)
}
