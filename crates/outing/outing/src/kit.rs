//! What is carried: transceiver, antennas, line, tuner, modem, computer; power and parts have their own modules.

use crate::antenna::Antenna;
use crate::id::Id;
use crate::power::{Battery, Converter, Load, Panel};
use farhop_gear::SessionOverhead;
use farhop_gear::{Function, LineType, Part};

/// How a reading of the S-meter becomes a power.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SMeter {
    /// Power at the antenna socket for S9, in dBm (IARU Region 1 below 30 MHz: -73 dBm).
    pub s9_dbm: f64,
    /// Step of one S unit in dB (IARU Region 1: 6 dB).
    pub unit_db: f64,
}

/// The transceiver.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Transceiver {
    /// Name for people.
    pub name: String,
    /// Power settings in watts, smallest first, at least one.
    pub power_levels_w: Vec<f64>,
    /// The usual setting in watts; one of the levels.
    pub power_w: f64,
    /// Noise figure of the receiver in dB.
    pub noise_figure_db: f64,
    /// SWR (dimensionless) up to which it gives full power.
    pub full_power_swr: f64,
    /// SWR (dimensionless) from which it gives next to nothing.
    pub no_power_swr: f64,
    /// Draw while receiving, in watts.
    pub receive_w: f64,
    /// Draw while transmitting, in watts, one for each power level.
    pub transmit_draw_w: Vec<f64>,
    /// Draw while tuning, in watts.
    pub tune_w: f64,
    /// Draw while asleep, in watts.
    pub sleep_w: f64,
    /// Hours a day that it is on and listening besides calls, in hours; 0 means off between calls.
    pub listen_h_per_day: f64,
    /// Lowest supply voltage at which it still transmits, in volts.
    pub min_v: f64,
    /// Lowest supply voltage at which it still receives, in volts.
    pub min_receive_v: f64,
    /// Battery or converter it hangs on; none means the first battery.
    pub source: Option<Id>,
    /// Meaning of its S-meter.
    pub s_meter: SMeter,
}

/// Own constants of a line.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LineLoss {
    /// Characteristic impedance in ohm.
    pub z0_ohm: f64,
    /// Velocity factor (dimensionless), 0 to 1.
    pub velocity_factor: f64,
    /// Matched loss in dB per 100 m at 10 MHz.
    pub loss_10mhz_db_per_100m: f64,
}

/// A piece of feed line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FeedLine {
    /// Short name for references.
    pub id: Id,
    /// Type.
    pub line: LineType,
    /// Own constants, present exactly when the type is [`LineType::Own`].
    pub own: Option<LineLoss>,
    /// Length in metres.
    pub length_m: f64,
}

/// What kind of tuner.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum TunerKind {
    /// None: the antenna must match by itself.
    #[default]
    None,
    /// Automatic reversible L network with relays.
    Automatic,
    /// Manual T network.
    ManualT,
    /// Manual L network.
    ManualL,
}

impl TunerKind {
    /// All kinds with the word of the outing file.
    pub const WORDS: [(&'static str, Self); 4] = [
        ("none", Self::None),
        ("automatic", Self::Automatic),
        ("manual-t", Self::ManualT),
        ("manual-l", Self::ManualL),
    ];
}

/// The tuner. Numbers that are none take the defaults of a portable tuner of its kind.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tuner {
    /// Kind.
    pub kind: TunerKind,
    /// Largest inductance in microhenry.
    pub max_inductance_uh: Option<f64>,
    /// Largest capacitance in picofarad.
    pub max_capacitance_pf: Option<f64>,
    /// Relay-switched steps of the inductor and of the capacitor (bits each).
    pub bits: u32,
    /// Quality factor of its coils (dimensionless).
    pub coil_q: f64,
    /// Quality factor of its capacitors (dimensionless).
    pub capacitor_q: f64,
    /// SWR (dimensionless) at which it stops searching.
    pub good_swr: f64,
    /// Draw while idle, in watts.
    pub idle_w: f64,
    /// Draw while switching, in watts.
    pub switching_w: f64,
}

/// The modem between computer and transceiver.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Modem {
    /// Rate ladders that it can run; empty means the built-in ones.
    pub modes: Vec<String>,
    /// How much smaller the usual message gets by compression (dimensionless): 1 none, 2 half as long.
    pub compression: f64,
    /// How far the middle of its tones lies above the frequency on the dial, Hz: positive on the upper sideband, negative on the
    /// lower one. None means that the dial shows the centre of the channel.
    pub dial_offset_hz: Option<f64>,
    /// What a session takes besides calls and text.
    pub steps: SessionOverhead,
    /// Draw while idle, in watts.
    pub idle_w: f64,
    /// Draw while in a contact, in watts.
    pub active_w: f64,
    /// Lowest supply voltage in volts.
    pub min_v: f64,
    /// Battery or converter it hangs on; none means the first battery.
    pub source: Option<Id>,
}

/// The computer that writes and sends the messages.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Computer {
    /// Draw with a bright screen, in watts.
    pub bright_w: f64,
    /// Draw with a dim screen, in watts.
    pub dim_w: f64,
    /// Draw asleep, in watts.
    pub sleep_w: f64,
    /// Lowest supply voltage in volts.
    pub min_v: f64,
    /// Battery or converter it hangs on; none means the first battery.
    pub source: Option<Id>,
}

/// The whole kit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Kit {
    /// The transceiver.
    pub transceiver: Transceiver,
    /// Antennas, at least one.
    pub antennas: Vec<Antenna>,
    /// Feed lines.
    pub feedlines: Vec<FeedLine>,
    /// The tuner.
    pub tuner: Tuner,
    /// The modem.
    pub modem: Modem,
    /// The computer; none when the modem is worked by something without a draw of its own.
    pub computer: Option<Computer>,
    /// Batteries.
    pub batteries: Vec<Battery>,
    /// Solar panels.
    pub panels: Vec<Panel>,
    /// Converters.
    pub converters: Vec<Converter>,
    /// Further loads.
    pub loads: Vec<Load>,
    /// Parts for the graph of needs; a part that bears the id of a piece of equipment is that piece.
    pub parts: Vec<Part>,
    /// What the kit must be able to do.
    pub functions: Vec<Function>,
    /// Mass in kg that may be added as spares.
    pub spares_limit_kg: f64,
}

impl Kit {
    /// Ids that a load can hang on: batteries and converters.
    pub(crate) fn source_ids(&self) -> impl Iterator<Item = &str> {
        let batteries = self.batteries.iter().map(|x| x.id.as_str());
        batteries.chain(self.converters.iter().map(|x| x.id.as_str()))
    }

    /// Whether the piece of equipment or part with this id is carried: yes, unless a part with its id says otherwise.
    #[must_use]
    pub fn carries(&self, id: &str) -> bool {
        self.parts
            .iter()
            .find(|p| p.id.as_str() == id)
            .is_none_or(|p| p.carried)
    }

    /// The antenna with an id.
    #[must_use]
    pub fn antenna(&self, id: &str) -> Option<&Antenna> {
        self.antennas.iter().find(|a| a.id.as_str() == id)
    }

    /// The feed line with an id.
    #[must_use]
    pub fn feedline(&self, id: &str) -> Option<&FeedLine> {
        self.feedlines.iter().find(|l| l.id.as_str() == id)
    }
}
