//! Numbers and chances as the card prints them.

use farhop_outing::Kit;
use farhop_plan::{Chance, ChanceWord};

/// A frequency in MHz as kHz with one decimal; with more only where the channel has them.
#[must_use]
pub fn khz(freq_mhz: f64) -> String {
    let fine = format!("{:.3}", freq_mhz * 1e3);
    let shown = fine.trim_end_matches('0');
    let decimals = shown.split_once('.').map_or(0, |(_, d)| d.len());
    if decimals < 1 {
        format!("{:.1}", freq_mhz * 1e3)
    } else {
        shown.to_owned()
    }
}

/// How frequencies are meant on a card: the centre of the channel, or what the dial shows.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Dial {
    /// Middle of the tones above the dial, Hz; none where the centre is printed.
    pub offset_hz: Option<f64>,
}

impl Dial {
    /// As the modem of a kit makes it.
    #[must_use]
    pub fn of(kit: &Kit) -> Self {
        Self {
            offset_hz: kit.modem.dial_offset_hz,
        }
    }

    /// A channel as it is printed, kHz.
    #[must_use]
    pub fn khz(self, freq_mhz: f64) -> String {
        khz(freq_mhz - self.offset_hz.unwrap_or(0.0) * 1e-6)
    }

    /// What the printed number is.
    #[must_use]
    pub fn told(self) -> String {
        match self.offset_hz {
            None => "kHz: centre of the channel.".to_owned(),
            Some(offset_hz) if offset_hz < 0.0 => {
                format!(
                    "kHz: on the dial, {:.0} Hz above the centre (lower sideband).",
                    -offset_hz
                )
            }
            Some(offset_hz) => format!("kHz: on the dial, {offset_hz:.0} Hz below the centre (upper sideband)."),
        }
    }
}

/// A bearing of three figures; north is 000.
#[must_use]
pub fn degrees(bearing_deg: f64) -> String {
    format!("{:03.0}°", bearing_deg.rem_euclid(360.0).round().rem_euclid(360.0))
}

/// How many of three dots are full.
#[must_use]
pub fn dots(chance: Chance) -> usize {
    match chance.word() {
        ChanceWord::Hardly => 0,
        ChanceWord::Unlikely => 1,
        ChanceWord::Even => 2,
        ChanceWord::Likely | ChanceWord::VeryLikely => 3,
    }
}

/// `4 in 10`: a chance in tenths, held between 1 and 9 because nothing is certain.
#[must_use]
pub(crate) fn in_ten(probability: f64) -> String {
    format!("{:.0} in 10", (10.0 * probability).round().clamp(1.0, 9.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_as_they_are_dialled_and_walked() {
        assert_eq!(khz(7.0495), "7049.5");
        assert_eq!(khz(3.594), "3594.0");
        assert_eq!(khz(5.36625), "5366.25");
        assert_eq!(khz(14.0), "14000.0");
        assert_eq!(degrees(359.7), "000°");
        assert_eq!(degrees(7.2), "007°");
        assert_eq!(degrees(-10.0), "350°");
    }

    #[test]
    fn a_dial_is_below_the_centre_on_the_upper_sideband_and_above_it_on_the_lower_one() {
        let dial = |offset_hz| Dial { offset_hz };
        assert_eq!(dial(None).khz(7.0495), "7049.5");
        assert_eq!(dial(Some(1_500.0)).khz(7.0495), "7048.0");
        assert_eq!(dial(Some(-1_500.0)).khz(7.0495), "7051.0");
        assert!(dial(Some(1_500.0)).told().contains("1500 Hz below the centre (upper"));
        assert!(dial(Some(-1_500.0)).told().contains("1500 Hz above the centre (lower"));
    }

    #[test]
    fn dots_change_where_the_words_do() {
        let full = |p: f64| dots(Chance::new(p));
        assert_eq!([0.05, 0.10, 0.33, 0.66, 0.95].map(full), [0, 1, 2, 3, 3]);
    }
}
