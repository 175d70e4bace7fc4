//! Which tries are possible, and what each costs.

use farhop_earth::UtcTime;
use farhop_message::db::snr_in_bandwidth_db;
use farhop_message::{Ladder, Link};
use farhop_outing::{Message, Outing, Priority};

use crate::belief::Response;

/// Longest time on the air that one message is given in a try, minutes: beyond it hands and battery get cold (a judgement).
const LONGEST_AIR_MIN: f64 = 15.0;
/// Shortest time to insist on calling, minutes: calls until a careful operator changes something (common practice).
const LEAST_INSIST_MIN: f64 = 3.0;
/// Most that a message may need above a bare link, dB.
const MOST_ABOVE_DB: f64 = 40.0;
/// Steps of the table of rates, dB.
pub const RATE_STEP_DB: f64 = 2.0;
/// Share of the time transmitting while calling, and while sending (dimensionless; common practice, from memory).
const DUTY: (f64, f64) = (0.5, 0.8);

/// A message that still has to get through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pending {
    /// Index in the outing.
    pub message: usize,
    /// Bytes still to be sent.
    pub bytes: f64,
    /// What it is worth (dimensionless).
    pub weight: f64,
    /// What an hour of delay takes off its worth (share, dimensionless).
    pub hourly: f64,
}

impl Pending {
    /// A message of the outing, whole.
    #[must_use]
    pub fn of(outing: &Outing, message: usize) -> Option<Self> {
        let of = outing.messages.get(message)?;
        // Judgements: an emergency is worth four high messages, eight normal and sixteen low ones, and waits least.
        let (weight, hourly) = match of.priority {
            Priority::Emergency => (16.0, 0.2),
            Priority::High => (4.0, 0.06),
            Priority::Normal => (2.0, 0.02),
            Priority::Low => (1.0, 0.005),
        };
        Some(Self {
            message,
            bytes: of.size_bytes as f64,
            weight,
            hourly,
        })
    }

    /// What is left of its worth after some hours (share, dimensionless).
    #[must_use]
    pub fn worth_after(&self, hours_h: f64) -> f64 {
        (1.0 - self.hourly).powf(hours_h.max(0.0))
    }
}

/// What a try costs and gives for one message.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Try {
    /// Place in the list of pending messages.
    pub pending: usize,
    /// Signal that it needs above a bare link, dB.
    pub margin_db: f64,
    /// Bits that cross the air for it.
    pub air_bits: f64,
}

/// One possible try: a route in an hour.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// The route in that hour.
    pub response: Response,
    /// When it can begin.
    pub start: UtcTime,
    /// Minutes to insist on calling.
    pub insist_min: f64,
    /// The messages that it can carry, most urgent first.
    pub tries: Vec<Try>,
    /// Rate in bit/s by signal above a bare link, in steps of `RATE_STEP_DB`.
    pub rates_bps: Vec<f64>,
    /// Energy when it fails, Wh.
    pub fail_wh: f64,
    /// Energy for each further minute of sending, Wh.
    pub send_wh_per_min: f64,
}

impl Candidate {
    /// Minutes on the air for a message once the link holds, at a signal `above_db` (dB) over what a bare link needs.
    #[must_use]
    pub fn air_min(&self, of: &Try, above_db: f64) -> f64 {
        let above_db = above_db.max(of.margin_db);
        let place = (above_db / RATE_STEP_DB).floor().max(0.0) as usize;
        let rate_bps = self
            .rates_bps
            .get(place)
            .or(self.rates_bps.last())
            .copied()
            .unwrap_or(0.0);
        (of.air_bits / rate_bps.max(1e-9) / 60.0).min(LONGEST_AIR_MIN)
    }
}

/// What the candidates are made for.
pub struct Ask<'a> {
    /// The outing.
    pub outing: &'a Outing,
    /// From when.
    pub now: UtcTime,
    /// Until when somebody calls.
    pub until: UtcTime,
    /// What has to get through, most urgent first.
    pub pending: &'a [Pending],
    /// The usual ladder of a route.
    pub ladder: &'a dyn Fn(&Response) -> Option<Ladder>,
}

/// Signal in dB above a bare link that a message of some bits needs so that it is through in a quarter of an hour. None where no
/// signal is enough.
fn margin_db(rates_bps: &[f64], air_bits: f64) -> Option<f64> {
    let quick = |rate_bps: &f64| air_bits / rate_bps.max(1e-9) / 60.0 <= LONGEST_AIR_MIN;
    rates_bps
        .iter()
        .position(quick)
        .map(|place| place as f64 * RATE_STEP_DB)
}

/// Rates of a link by signal above `from_db` (dB in a channel of `bandwidth_hz`, Hz), bit/s.
fn rates_bps(link: &Link, bandwidth_hz: f64, from_db: f64) -> Vec<f64> {
    let steps = (MOST_ABOVE_DB / RATE_STEP_DB) as usize;
    let rate = |step: usize| {
        let snr_db = from_db + step as f64 * RATE_STEP_DB;
        let snr_db = snr_in_bandwidth_db(snr_db, bandwidth_hz, link.ladder.bandwidth_hz);
        link.operating(snr_db, snr_db).goodput_bps
    };
    (0..=steps).map(rate).collect()
}

/// The tries that responses allow.
#[must_use]
pub fn candidates(responses: &[Response], ask: &Ask<'_>) -> Vec<Candidate> {
    responses.iter().filter_map(|r| candidate(r, ask)).collect()
}

fn candidate(response: &Response, ask: &Ask<'_>) -> Option<Candidate> {
    let half_hour_s = crate::strip::STEP_S / 2;
    let (opens, closes) = (response.at.add_s(-half_hour_s), response.at.add_s(half_hour_s));
    let start = opens.max(ask.now);
    if !response.served || closes <= ask.now || start >= ask.until {
        return None;
    }
    let station = ask.outing.stations.get(response.route.station)?;
    let channel = station.channels.get(response.route.channel)?;
    let link = Link::with_defaults((ask.ladder)(response)?);
    let insist_min = (f64::from(link.patience.calls_max) * link.call_cycle_s() / 60.0 + station.scan_cycle_s / 60.0)
        .max(LEAST_INSIST_MIN);
    let fits = |message: &Message| {
        let wanted = message.to.is_empty() || message.to.contains(&station.id);
        let ready = message.ready.is_none_or(|ready| ready <= start);
        // What is late already is late at any hour, and is still to be sent.
        let in_time = start < message.deadline || message.deadline <= ask.now;
        wanted && ready && in_time
    };
    let rates = rates_bps(&link, channel.bandwidth_hz, response.required_snr_db);
    let one = |(place, pending): (usize, &Pending)| {
        let message = ask.outing.messages.get(pending.message)?;
        if !fits(message) {
            return None;
        }
        let bytes = pending.bytes / ask.outing.kit.modem.compression.max(1e-3);
        let air_bits = 8.0 * (link.air_bytes(bytes) + link.handshake_bytes);
        Some(Try {
            pending: place,
            margin_db: margin_db(&rates, air_bits)?,
            air_bits,
        })
    };
    let tries: Vec<Try> = ask.pending.iter().enumerate().filter_map(one).collect();
    if tries.is_empty() {
        return None;
    }
    let (draw_w, receive_w) = draws_w(ask.outing);
    let watts = |duty: f64| duty * draw_w + (1.0 - duty) * receive_w;
    Some(Candidate {
        response: response.clone(),
        start,
        insist_min,
        tries,
        rates_bps: rates,
        fail_wh: watts(DUTY.0) * insist_min / 60.0,
        send_wh_per_min: watts(DUTY.1) / 60.0,
    })
}

/// Draw of the transceiver while sending at its usual power, and while receiving, W.
fn draws_w(outing: &Outing) -> (f64, f64) {
    let set = &outing.kit.transceiver;
    let place = set.power_levels_w.iter().position(|p| *p == set.power_w).unwrap_or(0);
    let sending = set.transmit_draw_w.get(place).or(set.transmit_draw_w.last());
    (sending.copied().unwrap_or(3.0 * set.power_w), set.receive_w)
}
