//! The words for distances and burns, the same everywhere.

use farhop_exposure::contact::Burn;
use farhop_exposure::profile::{KeepOut, Quantity, Reach};
use farhop_plan::safety::{Contact, NearSafety, Part};

use crate::reader::Units;

/// The part in words.
#[must_use]
pub fn part(part: Part) -> &'static str {
    match part {
        Part::Wire => "wire",
        Part::Feed => "feed point",
        Part::Capacitor => "capacitor",
        Part::Coil => "coil",
    }
}

/// What a touch does, in words.
#[must_use]
pub fn burn(burn: Burn) -> &'static str {
    match burn {
        Burn::Unnamed => "not named as a hazard",
        Burn::May => "may burn",
        Burn::Will => "burns",
    }
}

/// What a touch does, in JSON.
#[must_use]
pub(crate) fn burn_key(burn: Burn) -> &'static str {
    match burn {
        Burn::Unnamed => "unnamed",
        Burn::May => "may-burn",
        Burn::Will => "burns",
    }
}

/// Which field binds.
#[must_use]
pub fn quantity(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Electric => "electric",
        Quantity::Magnetic => "magnetic",
    }
}

/// How a distance is known, in JSON.
#[must_use]
pub(crate) fn reach_key(reach: Reach) -> &'static str {
    match reach {
        Reach::Nearer => "nearer",
        Reach::Found => "found",
        Reach::Farther => "farther",
    }
}

/// Whether the limits hold wherever somebody stands on the ground.
#[must_use]
pub fn anywhere(near: &NearSafety) -> bool {
    let all = [
        near.fcc.controlled,
        near.fcc.public,
        near.icnirp.controlled,
        near.icnirp.public,
    ];
    near.out_of_reach && all.iter().all(|k: &KeepOut| k.reach == Reach::Nearer)
}

/// Volts without false digits: `46 V`, `1040 V`.
#[must_use]
pub fn volts(rms_v: f64) -> String {
    match rms_v {
        v if v >= 100.0 => format!("{:.0} V", (v / 10.0).round() * 10.0),
        v => format!("{v:.0} V"),
    }
}

/// The worst part within reach that is a hazard: `capacitor 1040 V, burns`.
#[must_use]
pub(crate) fn worst_contact(near: &NearSafety) -> Option<&Contact> {
    near.contacts.first().filter(|c| c.burn > Burn::Unnamed)
}

/// `0.9 m`, for people.
#[must_use]
pub fn told(distance_m: f64, units: Units) -> String {
    match units {
        // Whole feet, rounded up: a distance to keep is never told shorter.
        Units::Imperial => format!("{:.0} ft", farhop_earth::units::ft_from_m(distance_m).ceil()),
        Units::Metric => units.length(distance_m),
    }
}
