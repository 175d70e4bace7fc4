//! Words for the feed.

use farhop_feed::advise::Change;
use farhop_feed::ladder::PartRole;
use farhop_feed::tuner::{CapacitorSide, Setting};
use farhop_feed::{AntennaChange, Caution, Complex64, FeedChain, Place, Stage, Tuner, TuningStep};
use farhop_num::maths;
use farhop_outing::antenna::Facing;
use farhop_outing::{Antenna, FeedLine};

use crate::reader::Units;

/// `34 -820j`.
#[must_use]
pub fn ohms(r_ohm: f64, x_ohm: f64) -> String {
    let r = if r_ohm < 9.95 {
        format!("{r_ohm:.1}")
    } else {
        format!("{r_ohm:.0}")
    };
    format!("{r} {:+.0}j", x_ohm.round() + 0.0)
}

/// An SWR as a meter would show it.
#[must_use]
pub fn swr(value: Option<f64>) -> String {
    match value {
        Some(swr) if swr < 9.95 => format!("{swr:.1}"),
        Some(swr) if swr < 99.5 => format!("{swr:.0}"),
        _ => "over 99".into(),
    }
}

/// Watts with as many digits as mean something.
#[must_use]
pub fn watts(value_w: f64) -> String {
    if value_w >= 9.95 {
        format!("{value_w:.0} W")
    } else if value_w >= 0.095 {
        format!("{value_w:.1} W")
    } else if value_w >= 0.000_95 {
        format!("{:.0} mW", value_w * 1e3)
    } else {
        "<1 mW".into()
    }
}

/// The way from transmitter to antenna in words.
#[must_use]
pub fn way(chain: &FeedChain, line: Option<&FeedLine>, units: Units) -> String {
    let tuner = match chain.tuner {
        Tuner::None => "no tuner",
        Tuner::Auto(_) => "automatic tuner",
        Tuner::HandL(_) => "hand-set L tuner",
        Tuner::HandT(_) => "hand-set T tuner",
    };
    let mut parts = vec![tuner.to_owned()];
    for stage in &chain.after_tuner {
        parts.push(match stage {
            Stage::Line(own) => format!(
                "{} of {}",
                units.length(own.length_m()),
                line.map_or("line", |l| l.line.name())
            ),
            Stage::Transformer(own) if own.values().ratio == 1.0 => "1:1 choke".into(),
            Stage::Transformer(own) => format!("{:.0}:1 transformer", own.values().ratio),
        });
    }
    parts.join(", ")
}

/// Side of the capacitor in an L network.
#[must_use]
pub fn side(of: CapacitorSide) -> &'static str {
    match of {
        CapacitorSide::Antenna => "antenna",
        CapacitorSide::Radio => "radio",
    }
}

/// How the tuner stands, in words.
#[must_use]
pub fn setting(setting: &Setting) -> String {
    let l_network = |at: CapacitorSide, l_uh: f64, c_pf: f64| {
        let at = side(at);
        match (l_uh > 0.0, c_pf > 0.0) {
            (false, false) => "straight through".to_owned(),
            (true, false) => format!("{l_uh:.2} µH in series"),
            (false, true) => format!("{c_pf:.0} pF across"),
            (true, true) => format!("{l_uh:.2} µH in series, {c_pf:.0} pF across the {at} side"),
        }
    };
    match *setting {
        Setting::Bypass => "straight through".into(),
        Setting::Relays { side, l_uh, c_pf, .. } | Setting::HandL { side, l_uh, c_pf } => l_network(side, l_uh, c_pf),
        Setting::HandT {
            c_radio_pf,
            l_uh,
            c_antenna_pf,
        } => format!("{c_radio_pf:.0} pF at the radio, {l_uh:.2} µH across, {c_antenna_pf:.0} pF at the antenna"),
    }
}

/// A part in JSON and in words.
#[must_use]
pub fn part(role: PartRole) -> &'static str {
    match role {
        PartRole::Inductor => "tuner coil",
        PartRole::Capacitor => "tuner capacitor",
        PartRole::AntennaCapacitor => "tuner capacitor at the antenna",
        PartRole::Winding => "transformer winding",
        PartRole::Core => "transformer core",
    }
}

/// Where it can be touched.
#[must_use]
pub fn place(place: Place) -> &'static str {
    match place {
        Place::FeedPoint => "feed point",
        Place::TunerTerminal => "tuner's antenna socket",
        Place::TransformerTerminal => "transformer's antenna side",
    }
}

/// A caution in words; none for what the sentence of the band says already.
#[must_use]
pub fn caution(caution: &Caution) -> Option<String> {
    Some(match *caution {
        Caution::NotMatched { .. } => return None,
        Caution::TouchVoltage {
            place: at, volts_rms, ..
        } => format!("the {} burns: {volts_rms:.0} V", place(at)),
        Caution::PartVoltage {
            role,
            volts_rms,
            limit_volts_rms,
        } => format!(
            "the {} bears {volts_rms:.0} V, and parts of its kind are good for {limit_volts_rms:.0} V",
            part(role)
        ),
        Caution::PartCurrent {
            role,
            amps_rms,
            limit_amps_rms,
        } => format!(
            "the {} carries {amps_rms:.1} A, and parts of its kind are good for {limit_amps_rms:.1} A",
            part(role)
        ),
        Caution::OutsideTunerRange {
            load_ohm,
            least_ohm,
            most_ohm,
        } => format!(
            "its load of {:.0} ohm is outside the {least_ohm:.0} to {most_ohm:.0} ohm that such tuners are made for",
            maths::norm(load_ohm)
        ),
        Caution::FoldsBack { forward_w, full_w } => format!(
            "the transmitter folds back from {} to {}",
            watts(full_w),
            watts(forward_w)
        ),
        Caution::HeavyLoss { .. } => "more than half of the power heats line, transformer and tuner".into(),
        Caution::OutsideFitRange {
            least_mhz, most_mhz, ..
        } => format!("losses of lines and transformers are known for {least_mhz} to {most_mhz:.0} MHz"),
    })
}

/// A change in words: `lengthen the wire by 2.1 m`.
#[must_use]
pub fn change(change: &Change, chain: &FeedChain, antenna: &Antenna, units: Units) -> String {
    let by = |delta_m: f64, longer: &str, shorter: &str, what: &str| {
        let verb = if delta_m >= 0.0 { longer } else { shorter };
        format!("{verb} {what} by {}", length(delta_m.abs(), units))
    };
    match *change {
        Change::Antenna(AntennaChange::None) => "leave it as it is".into(),
        Change::Antenna(AntennaChange::WireLength { delta_m }) => {
            let both = if antenna.kind.facing() == Facing::Across {
                ", half of that at each end"
            } else {
                ""
            };
            format!("{}{both}", by(delta_m, "lengthen", "shorten", "the wire"))
        }
        Change::Antenna(AntennaChange::Height { delta_m }) => by(delta_m, "raise", "lower", antenna.kind.high_point()),
        Change::Antenna(AntennaChange::Counterpoise { delta_m }) => {
            by(delta_m, "lengthen", "shorten", "the counterpoise")
        }
        Change::LineLength { delta_m, .. } => by(delta_m, "lengthen", "shorten", "the feed line"),
        Change::Transformer { kind } => {
            let there = chain.after_tuner.iter().any(|s| matches!(s, Stage::Transformer(_)));
            let how = if there { "put a" } else { "add a" };
            let instead = if there {
                " in place of the transformer"
            } else {
                " at the antenna"
            };
            format!("{how} {}{instead}", kind.name())
        }
    }
}

/// Changes are found to 10 cm.
fn length(value_m: f64, units: Units) -> String {
    match units {
        Units::Imperial => format!("{:.1} ft", farhop_earth::units::ft_from_m(value_m)),
        Units::Metric => units.length(value_m),
    }
}

/// A step of tuning in words; none for what is said beside the bands.
#[must_use]
pub fn step(step: &TuningStep) -> Option<String> {
    Some(match step {
        TuningStep::KeepClear { .. } | TuningStep::ExpectNoMatch { .. } => return None,
        TuningStep::ChooseClearFrequency { .. } => {
            "listen, and choose a clear frequency near the one to be used".into()
        }
        TuningStep::SetPower { power_w } => format!("turn the power down to {}", watts(*power_w)),
        TuningStep::SendConstantCarrier => "send a constant carrier, no data, no speech".into(),
        TuningStep::StartTuner => "start the tuner".into(),
        TuningStep::SetKnobs { .. } => "set the knobs as forecast, then by the meter".into(),
        TuningStep::WaitForSwr { swr } => format!("wait for a match of {swr:.1} or better"),
        TuningStep::GiveUpAfter { seconds_s } => {
            format!("stop the carrier if it has not come within {seconds_s:.0} s")
        }
        TuningStep::RestorePower { power_w } => format!("back to {}", watts(*power_w)),
    })
}

/// The parts of an impedance, in words.
#[must_use]
pub fn complex(z_ohm: Complex64) -> String {
    ohms(z_ohm.re, z_ohm.im)
}
