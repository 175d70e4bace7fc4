//! Whether the transmitter can be keyed: the sag of the voltage at each call, and in the cold.

use farhop_energy::sag::{Sag, least_charge_share, sag};
use farhop_energy::{EnergyInput, Load, LoadKind, LoadState, TransmitDraw};

use crate::power::loads::{RECEIVER, TRANSMITTER};
use crate::power::timeline::Segment;

/// Keying at a charge and temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Keying {
    /// Charge, 0 to 1 (dimensionless).
    pub charge_share: f64,
    /// Temperature of the battery, °C.
    pub temp_c: f64,
    /// The voltages.
    pub sag: Sag,
}

/// How much charge keying needs at a temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeastCharge {
    /// Temperature of the battery, °C.
    pub temp_c: f64,
    /// Lowest charge at which the transmitter stays on (dimensionless, 0 to 1); none if it does not even on a full battery.
    pub share: Option<f64>,
}

/// The transceiver with everything else that draws beside it from the same battery during a call.
pub struct Keyed<'a> {
    input: &'a EnergyInput,
    load: Load,
    state: LoadState,
    source: usize,
}

impl<'a> Keyed<'a> {
    /// From an input; `segment` is a stretch of sending, if there is one. None if there is no transmitter.
    #[must_use]
    pub fn new(input: &'a EnergyInput, rf_power_w: f64, segment: Option<&Segment>) -> Option<Self> {
        let transmitter = input.loads.iter().find(|l| l.id == TRANSMITTER)?;
        let source = input.sources.iter().position(|s| s.id == transmitter.source)?;
        let others_w = segment.map_or_else(|| receive_w(input), |s| others_w(input, s, &transmitter.source));
        let LoadKind::Radio { transmit, .. } = transmitter.kind else {
            return None;
        };
        let others = farhop_energy::Draw::Power(others_w);
        let mut load = transmitter.clone();
        load.kind = LoadKind::Radio {
            sleep: others,
            receive: others,
            transmit: TransmitDraw {
                overhead_w: transmit.overhead_w + others_w,
                ..transmit
            },
        };
        // The others draw through the moment of keying too.
        if let Some(inrush) = &mut load.inrush {
            let spec = input.sources.get(source).map(|s| s.battery.spec())?;
            inrush.current_a += others_w / (f64::from(spec.cells) * spec.chemistry.nominal_cell_v());
        }
        Some(Self {
            input,
            load,
            state: LoadState::Transmit { rf_power_w, duty: 1.0 },
            source,
        })
    }

    /// The voltages at a charge (0 to 1, dimensionless) and battery temperature (°C).
    #[must_use]
    pub fn at(&self, charge_share: f64, temp_c: f64) -> Option<Keying> {
        let battery = &self.input.sources.get(self.source)?.battery;
        sag(battery, &self.load, self.state, charge_share, temp_c).map(|sag| Keying {
            charge_share,
            temp_c,
            sag,
        })
    }

    /// The least charge at a battery temperature (°C).
    #[must_use]
    pub fn least(&self, temp_c: f64) -> Option<LeastCharge> {
        let battery = &self.input.sources.get(self.source)?.battery;
        let share = least_charge_share(battery, &self.load, self.state, temp_c);
        Some(LeastCharge { temp_c, share })
    }
}

fn receive_w(input: &EnergyInput) -> f64 {
    let receiver = input.loads.iter().find(|l| l.id == RECEIVER);
    let draw = receiver.and_then(|l| l.kind.draw(LoadState::Receive));
    draw.map_or(0.0, |d| d.power_w(12.0))
}

/// What draws beside the transmitter from a battery in a stretch, W.
fn others_w(input: &EnergyInput, segment: &Segment, source: &str) -> f64 {
    let beside = input.loads.iter().zip(&segment.draws_w);
    beside
        .filter(|(l, _)| l.id != TRANSMITTER && l.source == source)
        .map(|(_, w)| w)
        .sum()
}
