//! Which data links a channel can run, ready to be asked about messages.

use farhop_message::ladder_file::shipped;
use farhop_message::{Fading, FrameCurve, FrameKind, Ladder, Link, MessageError, Rung};
use farhop_num::DB_PER_POWER_NEPER;
use farhop_num::maths;
use farhop_outing::{Channel, Ladder as OwnLadder, Outing, Station};

use crate::delivery::gateway::gateway_of;

/// Names in the outing file and the ladders they stand for.
pub const MODE_NAMES: [(&str, &str); 3] = [("narrow", "narrow-500"), ("wide", "wide-2400"), ("slow", "slow-500")];

/// Bandwidth in Hz from which a channel runs the wide ladder unless told otherwise.
const WIDE_FROM_HZ: f64 = 2_000.0;
/// Below this distance rays leave steeply and several hops of unlike delay arrive together, km (Rec. ITU-R F.1487 has a
/// near-vertical setting of its own; the distance is common practice).
const NEAR_VERTICAL_KM: f64 = 300.0;
/// Geomagnetic latitude in degrees from which the disturbed setting is taken (Rec. ITU-R F.1487 parts its high-latitude
/// settings there; from memory).
const DISTURBED_LAT_DEG: f64 = 60.0;
/// A link chosen for a channel.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct LinkChoice {
    /// Name of the ladder.
    pub mode: String,
    /// Fading setting, by its table name.
    pub fading: &'static str,
    /// Frequencies in the station's scan.
    pub scan_count: u32,
    /// Seconds of one scan, in thousandths.
    scan_cycle_ms: u64,
}

/// The links that a channel can run, the usual one first.
#[must_use]
pub fn choices(
    outing: &Outing,
    station: &Station,
    channel: &Channel,
    distance_km: f64,
    geomagnetic_lat_deg: f64,
) -> Vec<LinkChoice> {
    let fading = fading_of(distance_km, geomagnetic_lat_deg);
    let choice = |mode: String| LinkChoice {
        mode,
        fading: fading.name(),
        scan_count: station.scan_count,
        scan_cycle_ms: (station.scan_cycle_s * 1_000.0).round() as u64,
    };
    modes_of(outing, channel).into_iter().map(choice).collect()
}

/// The link of a choice as a station meets it: with the modem's compression, and calls long enough for the station's scan.
///
/// # Errors
/// No such ladder, or its numbers are out of range.
pub fn adapted_link(outing: &Outing, station: &Station, choice: &LinkChoice) -> Result<Link, MessageError> {
    Ok(gateway_of(station).adapt(&link_of(outing, choice)?))
}

/// The fading setting of a path by its length in km and the geomagnetic latitude of its middle in degrees.
fn fading_of(distance_km: f64, geomagnetic_lat_deg: f64) -> Fading {
    if geomagnetic_lat_deg.abs() >= DISTURBED_LAT_DEG {
        Fading::Disturbed
    } else if distance_km < NEAR_VERTICAL_KM {
        Fading::NearVertical
    } else {
        Fading::Moderate
    }
}

/// The ladder of a channel's usual mode on a path.
///
/// # Errors
/// No such ladder, or its numbers are out of range.
pub fn usual_ladder(
    outing: &Outing,
    channel: &Channel,
    distance_km: f64,
    geomagnetic_lat_deg: f64,
) -> Result<Ladder, MessageError> {
    let mode = modes_of(outing, channel).into_iter().next().unwrap_or_default();
    ladder_of(outing, &mode, fading_of(distance_km, geomagnetic_lat_deg)).map(|link| link.ladder)
}

/// The modes of a channel: the one it names, else the usual one for its width; then the slow one as a second choice.
fn modes_of(outing: &Outing, channel: &Channel) -> Vec<String> {
    let usual = if channel.bandwidth_hz >= WIDE_FROM_HZ {
        "wide"
    } else {
        "narrow"
    };
    let runs = |mode: &str| {
        let modes = &outing.kit.modem.modes;
        modes.is_empty() || modes.iter().any(|m| m == mode)
    };
    match &channel.mode {
        Some(mode) => vec![mode.clone()],
        None => {
            let wanted = [usual, "slow"];
            let able: Vec<String> = wanted.iter().filter(|m| runs(m)).map(|m| (*m).to_owned()).collect();
            if able.is_empty() { vec![usual.to_owned()] } else { able }
        }
    }
}

/// The link of a choice, with the modem's compression.
fn link_of(outing: &Outing, choice: &LinkChoice) -> Result<Link, MessageError> {
    let mut link = ladder_of(
        outing,
        &choice.mode,
        Fading::from_name(choice.fading).unwrap_or(Fading::Moderate),
    )?;
    link.overhead = outing.kit.modem.steps.on_air();
    link.compression_ratio = 1.0 / outing.kit.modem.compression.max(0.1);
    Ok(link)
}

/// The link of a mode: a shipped ladder, or the outing's own.
fn ladder_of(outing: &Outing, mode: &str, fading: Fading) -> Result<Link, MessageError> {
    if let Some(own) = outing.ladder(mode) {
        return own_link(own, fading);
    }
    let name = MODE_NAMES
        .iter()
        .find(|(word, _)| *word == mode)
        .map_or(mode, |(_, name)| name);
    Ok(Link::with_defaults(shipped(name, fading)?))
}

/// Frame error rate (dimensionless) at the required SNR of an own ladder: the sense in which the built-in tables state theirs.
const OWN_FER: f64 = 0.1;
/// Scale of the frame error curve of an own ladder, dB: a flat Rayleigh outage falls as 1/SNR, 10/ln 10.
const OWN_SCALE_DB: f64 = DB_PER_POWER_NEPER;
/// Peak over mean power of an own ladder, dB: none, because its SNRs are taken as the operator measured them.
const OWN_PEAK_DB: f64 = 0.0;

fn own_link(own: &OwnLadder, fading: Fading) -> Result<Link, MessageError> {
    // FER(s) = 1 / (1 + exp((s - mid) / scale)) is OWN_FER at mid + scale ln((1 - FER) / FER).
    let offset_db = OWN_SCALE_DB * maths::ln((1.0 - OWN_FER) / OWN_FER);
    let kind = |snr_db: f64, seconds_s: f64| -> Result<FrameKind, MessageError> {
        let curve = FrameCurve::new(snr_db - offset_db, OWN_SCALE_DB, 0.0)?;
        Ok(FrameKind {
            seconds_s,
            pep_over_mean_db: OWN_PEAK_DB,
            curve,
        })
    };
    let frame_s = own.frame_s.max(0.1);
    let rungs = own.rungs.iter().enumerate().map(|(index, rung)| {
        Ok(Rung {
            name: format!("{}-{}", own.name, index + 1),
            net_bps: rung.rate_bit_per_s,
            frame: kind(rung.snr_db, frame_s)?,
        })
    });
    let slowest_db = own.rungs.iter().map(|r| r.snr_db).fold(f64::INFINITY, f64::min);
    let burst_s = (frame_s / 4.0).max(0.1);
    let ladder = Ladder {
        mode: own.name.clone(),
        bandwidth_hz: own.bandwidth_hz,
        fading,
        rungs: rungs.collect::<Result<_, MessageError>>()?,
        ack: kind(slowest_db, burst_s)?,
        call: kind(slowest_db, burst_s)?,
    };
    let mut link = Link::with_defaults(ladder);
    link.timing.call_s = own.handshake_s.max(burst_s);
    link.timing.turnaround_s = own.turnaround_s;
    link.patience.failed_cycles_max = own.retries.max(1);
    Ok(link)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

    use super::*;

    #[test]
    fn at_the_ratio_that_an_own_table_states_one_frame_in_ten_is_lost() {
        let own = OwnLadder {
            name: "mine".to_owned(),
            bandwidth_hz: 500.0,
            rungs: [(60.0, -3.0), (240.0, 6.0)]
                .map(|(rate_bit_per_s, snr_db)| farhop_outing::Rung { rate_bit_per_s, snr_db })
                .to_vec(),
            handshake_s: 12.0,
            frame_s: 4.0,
            turnaround_s: 0.5,
            retries: 0,
        };
        let link = own_link(&own, Fading::Moderate).unwrap();
        let ladder = &link.ladder;
        for (rung, stated) in ladder.rungs.iter().zip(&own.rungs) {
            assert!(
                (rung.frame.curve.success(stated.snr_db) - 0.9).abs() < 1e-9,
                "{}",
                rung.name
            );
            assert_eq!(
                (rung.net_bps, rung.frame.pep_over_mean_db),
                (stated.rate_bit_per_s, 0.0)
            );
        }
        // Calls and answers are as hardy as the slowest step, in bursts of a quarter of a frame.
        for kind in [&ladder.ack, &ladder.call] {
            assert!((kind.curve.success(-3.0) - 0.9).abs() < 1e-9);
            assert_eq!(kind.seconds_s, 1.0);
        }
        assert_eq!((link.timing.call_s, link.timing.turnaround_s), (12.0, 0.5));
        assert_eq!(link.patience.failed_cycles_max, 1, "once at least");
    }
}
