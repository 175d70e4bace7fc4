//! The five-step scales of the bulletins: radio blackouts R1 to R5, storms of the magnetic field G1 to G5, proton storms S1 to S5.
//!
//! ```text
//! Space weather for the past 24 hours has been minor.
//! Geomagnetic storms reaching the G1 level occurred.
//! Space weather for the next 24 hours is predicted to be moderate.
//! Geomagnetic storms reaching the G2 level are likely.
//! ```
//!
//! or, in a bulletin about one event, lines with its times:
//!
//! ```text
//! Threshold Reached: 2026 Nov 25 1205 UTC
//! Scale: R2 - Moderate
//! ```
//!
//! Wording and steps from memory.

use farhop_earth::UtcTime;

use super::time::issued as instant;

const DAY_S: i64 = 86_400;

/// What a level is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scale {
    /// R: a flare's X-rays take the sunlit side.
    RadioBlackout,
    /// G: the magnetic field is disturbed.
    MagneticStorm,
    /// S: protons reach the polar caps.
    ProtonStorm,
}

impl Scale {
    /// Its letter.
    #[must_use]
    pub fn letter(self) -> char {
        match self {
            Self::RadioBlackout => 'R',
            Self::MagneticStorm => 'G',
            Self::ProtonStorm => 'S',
        }
    }

    fn of(letter: char) -> Option<Self> {
        [Self::RadioBlackout, Self::MagneticStorm, Self::ProtonStorm]
            .into_iter()
            .find(|scale| scale.letter() == letter)
    }

    /// The word without which a sentence is not about it.
    fn word(self) -> &'static str {
        match self {
            Self::RadioBlackout => "blackout",
            Self::MagneticStorm => "geomagnetic",
            Self::ProtonStorm => "radiation",
        }
    }
}

/// Whether the instant of a level is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Timing {
    /// It began at `from`.
    Exact,
    /// It was observed somewhere between `from` and `until`.
    Observed,
    /// It is foretold for somewhere between `from` and `until`.
    Foretold,
}

/// A level that a bulletin states.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// Of which scale.
    pub scale: Scale,
    /// The step (dimensionless), 1 to 5.
    pub step: u8,
    /// First instant.
    pub from: UtcTime,
    /// Last instant; none where that is not said.
    pub until: Option<UtcTime>,
    /// How well its time is known.
    pub timing: Timing,
}

impl Level {
    /// As people write it: `G2`.
    #[must_use]
    pub fn words(&self) -> String {
        format!("{}{}", self.scale.letter(), self.step)
    }

    /// K index (dimensionless) at which a magnetic storm of this step begins: 5 to 9.
    #[must_use]
    pub fn k_index(&self) -> Option<f64> {
        (self.scale == Scale::MagneticStorm).then(|| f64::from(self.step) + 4.0)
    }

    /// X-ray class at which a blackout of this step begins.
    #[must_use]
    pub fn flare_class(&self) -> Option<&'static str> {
        let classes = ["M1", "M5", "X1", "X10", "X20"];
        let index = usize::from(self.step).checked_sub(1)?;
        (self.scale == Scale::RadioBlackout).then(|| classes.get(index).copied())?
    }

    /// Flux of protons above 10 MeV at which a proton storm of this step begins, protons/(cm² s sr).
    #[must_use]
    pub(crate) fn proton_flux(&self) -> Option<f64> {
        (self.scale == Scale::ProtonStorm).then(|| 10f64.powi(i32::from(self.step)))
    }
}

/// Every level in a text; `issued` is when it was issued, without which sentences have no time.
pub(super) fn read(text: &str, issued: Option<UtcTime>) -> Vec<Level> {
    let mut found = of_event(text);
    if let Some(issued) = issued {
        found.extend(of_sentences(text, issued));
    }
    let mut once: Vec<Level> = Vec::new();
    for level in found {
        if !once.contains(&level) {
            once.push(level);
        }
    }
    once
}

/// A bulletin about one event: lines with times, and a line with the scale.
fn of_event(text: &str) -> Vec<Level> {
    let after = |names: &[&str]| {
        text.lines().find_map(|line| {
            let (name, rest) = line.split_once(':')?;
            let name = name.trim().to_lowercase();
            names.contains(&name.as_str()).then(|| instant(rest.trim()))?
        })
    };
    let Some(from) = after(&["threshold reached", "begin time", "valid from"]) else {
        return Vec::new();
    };
    let until = after(&["end time", "valid to", "now valid until"]);
    let scales = text.lines().filter(|line| line.to_lowercase().contains("scale:"));
    scales
        .flat_map(tokens)
        .map(|(scale, step)| Level {
            scale,
            step,
            from,
            until: until.filter(|until| *until > from),
            timing: Timing::Exact,
        })
        .collect()
}

/// The sentences about the past and the next day.
fn of_sentences(text: &str, issued: UtcTime) -> Vec<Level> {
    let plain: Vec<&str> = text
        .lines()
        .filter(|l| !l.trim_start().starts_with([':', '#']))
        .flat_map(str::split_whitespace)
        .collect();
    let plain = plain.join(" ");
    let mut timing = Timing::Observed;
    let mut found = Vec::new();
    for sentence in plain.split(". ") {
        let lower = sentence.to_lowercase();
        if lower.contains("past 24 hours") {
            timing = Timing::Observed;
        } else if lower.contains("next 24 hours") {
            timing = Timing::Foretold;
        }
        let from = if timing == Timing::Observed {
            issued.add_s(-DAY_S)
        } else {
            issued
        };
        for (scale, step) in tokens(sentence).filter(|(scale, _)| lower.contains(scale.word())) {
            found.push(Level {
                scale,
                step,
                from,
                until: Some(from.add_s(DAY_S)),
                timing,
            });
        }
    }
    found
}

/// Words such as `G2`.
fn tokens(text: &str) -> impl Iterator<Item = (Scale, u8)> + '_ {
    text.split(|c: char| !c.is_alphanumeric()).filter_map(|word| {
        let mut signs = word.chars();
        let scale = Scale::of(signs.next()?)?;
        let step = signs.next()?.to_digit(10).filter(|step| (1..=5).contains(step))?;
        signs
            .next()
            .is_none()
            .then(|| u8::try_from(step).ok().map(|step| (scale, step)))?
    })
}
