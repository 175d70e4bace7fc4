//! A frequency written shortly: the channel of a station that is meant.

use farhop_outing::Station;

/// A frequency that fits no channel in digits is still taken for the only one within this share of it (dimensionless).
const NEAR_SHARE: f64 = 0.005;
/// Closer than this, in MHz, two frequencies are the same.
const SAME_MHZ: f64 = 1e-6;

/// The channel of a station that a typed frequency means: one it rounds to or begins like, else the only one close by.
pub(crate) fn channel_mhz(station: &Station, typed: &str, freq_mhz: f64) -> Result<f64, String> {
    let channels: Vec<f64> = station.channels.iter().map(|c| c.freq_mhz).collect();
    let fitting: Vec<f64> = channels.iter().copied().filter(|c| fits(*c, typed, freq_mhz)).collect();
    let near: Vec<f64> = channels
        .iter()
        .copied()
        .filter(|c| (c / freq_mhz - 1.0).abs() <= NEAR_SHARE)
        .collect();
    if let Some(same) = channels.iter().find(|c| (*c - freq_mhz).abs() < SAME_MHZ) {
        return Ok(*same);
    }
    let candidates = if fitting.is_empty() { near } else { fitting };
    match candidates.as_slice() {
        [one] => Ok(*one),
        [] => Err(format!(
            "{typed} MHz is no channel of {}: it has {}. Another frequency: write `exact` behind it",
            station.id,
            list(&channels, ", ")
        )),
        many => Err(format!(
            "{typed} MHz may be {} of {}; write a digit more",
            list(many, " or "),
            station.id
        )),
    }
}

/// Whether the channel rounds to what was typed, or begins like it; a number without decimals means the whole megahertz.
fn fits(channel_mhz: f64, typed: &str, freq_mhz: f64) -> bool {
    let digits: String = typed
        .replace(',', ".")
        .chars()
        .take_while(|c| c.is_ascii_digit() || *c == '.')
        .collect();
    // In kHz the digits are not those of the channel in MHz.
    if digits.parse() != Ok(freq_mhz) {
        return (channel_mhz - freq_mhz).abs() <= 0.001;
    }
    let decimals = digits.split_once('.').map_or(0, |(_, after)| after.len());
    if decimals == 0 {
        return channel_mhz.trunc() == freq_mhz;
    }
    let half_step_mhz = 0.5 * 10f64.powi(-i32::try_from(decimals).unwrap_or(9));
    let rounds = (channel_mhz - freq_mhz).abs() <= half_step_mhz + SAME_MHZ;
    rounds || format!("{channel_mhz:.6}").starts_with(&digits)
}

fn list(freqs_mhz: &[f64], between: &str) -> String {
    freqs_mhz.iter().map(f64::to_string).collect::<Vec<_>>().join(between)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn means(typed: &str) -> Result<f64, String> {
        let text = include_str!("../../../../../examples/demo.toml");
        let reading = farhop_outing_file::read(text, "demo", &|_| Err(String::new()));
        let outing = reading.outing.unwrap();
        // 3.5955, 5.3580, 7.0515 and 10.1435 MHz.
        let station = outing.station("alder").unwrap();
        channel_mhz(station, typed, crate::short::words::mhz(typed).unwrap())
    }

    #[test]
    fn short_frequencies_mean_the_channel_they_round_to_or_begin_like() {
        for (typed, mhz) in [
            ("3", 3.5955),
            ("3.5", 3.5955),
            ("3.6", 3.5955),
            ("3,6", 3.5955),
            ("3.59", 3.5955),
            ("3596", 3.5955),
            ("3595.5", 3.5955),
            ("5", 5.358),
            ("5.3", 5.358),
            ("5.4", 5.358),
            ("7", 7.0515),
            ("7.05", 7.0515),
            ("7.07", 7.0515),
            ("10", 10.1435),
            ("10.1435", 10.1435),
            ("10143.5kHz", 10.1435),
        ] {
            assert_eq!(means(typed), Ok(mhz), "{typed}");
        }
    }

    #[test]
    fn what_is_no_channel_is_told_with_those_that_are() {
        for typed in ["4", "6", "7.2", "14", "14.1", "1.8"] {
            let error = means(typed).unwrap_err();
            assert!(
                error.contains("3.5955, 5.358, 7.0515, 10.1435") && error.contains("exact"),
                "{error}"
            );
        }
    }
}
