//! Words for what the forecast says.

use farhop_plan::ChanceWord;
use farhop_plan::book::GainSource;
use farhop_plan::limit::Limit;
use farhop_plan::schedule::Factor;
use farhop_plan::strip::{Carrier, CarrierLayer};
use farhop_propagation::Support;

/// The strongest mode in words: `F2, 1 hop`.
#[must_use]
pub fn carrier(carrier: &Carrier) -> String {
    let layer = match carrier.layer {
        CarrierLayer::Ground => return "ground wave".to_owned(),
        CarrierLayer::E => "E layer",
        CarrierLayer::SporadicE => "sporadic E",
        CarrierLayer::F2 => "F2 layer",
    };
    format!(
        "{layer}, {} {}",
        carrier.hops,
        if carrier.hops == 1 { "hop" } else { "hops" }
    )
}

/// Shares of days in words: `on 30 % of days by F2, 24 % by sporadic E; 47 % by some layer`. Shares below half a percent are left out.
#[must_use]
pub(crate) fn shares_in_words(shares: &[(f64, &str)], any: f64, all: &str) -> String {
    let shown: Vec<String> = shares
        .iter()
        .filter(|(share, _)| *share >= 0.005)
        .map(|(share, by)| format!("{:.0} % by {by}", share * 100.0))
        .collect();
    match &shown[..] {
        [] => "on no day".to_owned(),
        [only] => format!("on {}", only.replacen(" %", " % of days", 1)),
        [first, others @ ..] => format!(
            "on {}, {}; {:.0} % {all}",
            first.replacen(" %", " % of days", 1),
            others.join(", "),
            any * 100.0
        ),
    }
}

/// Which layers turn a frequency back, however weak the signal, in words.
#[must_use]
pub fn support(support: &Support) -> String {
    let layers = [(support.f2, "F2"), (support.e, "E"), (support.sporadic_e, "sporadic E")];
    shares_in_words(&layers, support.any, "by some layer")
}

/// What limits the chance, in words, with the figure.
#[must_use]
pub fn limit(limit: &Limit) -> String {
    match limit {
        Limit::Nothing => "nothing much: the signal has room to spare".to_owned(),
        Limit::NotServed => "the station does not listen at that hour".to_owned(),
        Limit::AboveMuf { support } => {
            format!(
                "the frequency is near or above the MUF: the layer carries it on {:.0} % of days",
                support * 100.0
            )
        }
        Limit::Absorption { absorption_db } => {
            format!("the sunlit D region takes {absorption_db:.0} dB: later or higher in frequency is better")
        }
        Limit::Aurora { auroral_db } => format!("aurora takes {auroral_db:.0} dB"),
        Limit::Horizon { horizon_db } => {
            format!("the skyline toward the station takes {horizon_db:.0} dB: move to where it is lower")
        }
        Limit::NoiseAtStation => "noise where the station listens: they hear you worse than you hear them".to_owned(),
        Limit::NoiseAtSite => "noise at your site: you hear them worse than they hear you".to_owned(),
        Limit::Antenna { gain_dbi } => {
            format!("the antenna sends little that way ({gain_dbi:+.0} dBi): hang it higher or choose another")
        }
        Limit::Distance => "a long way on little power: wait for a quieter hour or shorten the message".to_owned(),
        Limit::OutsideModel => "outside what this can forecast".to_owned(),
    }
}

macro_rules! limit_keys {
    ($($limit:pat => $key:literal,)*) => {
        /// Every word that `limit_key` gives.
        pub const LIMIT_KEYS: [&str; [$($key),*].len()] = [$($key),*];

        /// One word for the same, for narrow columns and JSON.
        #[must_use]
        pub(crate) fn limit_key(limit: &Limit) -> &'static str {
            match limit {
                $($limit => $key,)*
            }
        }
    };
}
limit_keys! {
    Limit::Nothing => "nothing",
    Limit::NotServed => "not-served",
    Limit::AboveMuf { .. } => "above-muf",
    Limit::Absorption { .. } => "absorption",
    Limit::Aurora { .. } => "aurora",
    Limit::Horizon { .. } => "horizon",
    Limit::NoiseAtStation => "noise-at-station",
    Limit::NoiseAtSite => "noise-at-site",
    Limit::Antenna { .. } => "antenna",
    Limit::Distance => "distance",
    Limit::OutsideModel => "outside-model",
}

/// Every word beside a chance, from the least to the most.
#[must_use]
pub fn chance_words() -> Vec<&'static str> {
    ChanceWord::ALL.into_iter().map(ChanceWord::word).collect()
}

/// The trade's word for a place in the order to try.
#[must_use]
pub fn rank(place: usize) -> &'static str {
    match place {
        0 => "primary",
        1 => "alternate",
        2 => "contingency",
        _ => "emergency",
    }
}

/// What costs a chance most, as the object of a sentence.
#[must_use]
pub fn factor(factor: Factor) -> &'static str {
    match factor {
        Factor::Sky => "the sky (signal and noise)",
        Factor::Stations => "stations that may be off or busy",
        Factor::Charge => "the battery",
        Factor::Parts => "a fault of the own station",
        Factor::Time => "too little time between ready and deadline",
    }
}

/// Where the figures of an antenna come from, in JSON.
#[must_use]
pub(crate) fn gain_source_key(source: GainSource) -> &'static str {
    match source {
        GainSource::Computed => "computed",
        GainSource::Declared => "declared",
    }
}

/// Where the figures of an antenna come from, for people.
#[must_use]
pub(crate) fn gain_source(source: GainSource) -> &'static str {
    match source {
        GainSource::Computed => "computed for the wire as it hangs there",
        GainSource::Declared => "as declared, not computed",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_of_days_are_said_in_one_line() {
        let of = |f2, sporadic_e, any| {
            support(&Support {
                f2,
                e: 0.0,
                sporadic_e,
                any,
            })
        };
        assert_eq!(
            of(0.3, 0.24, 0.468),
            "on 30 % of days by F2, 24 % by sporadic E; 47 % by some layer"
        );
        assert_eq!(of(0.3, 0.004, 0.303), "on 30 % of days by F2");
        assert_eq!(of(0.0, 0.0, 0.0), "on no day");
    }
}
