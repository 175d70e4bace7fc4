//! The handles of an antenna: its measures as a person reads them off a tape, and the antenna that follows when they are moved.

use std::collections::BTreeMap;

use farhop_earth::units::{Units, ft_from_m, m_from_ft};
use farhop_outing::antenna::{Slider, Slot};
use farhop_outing::{Antenna, AntennaKind};
use farhop_show::antenna::drawing::MOST_GROWN;
use maud::{Markup, html};

/// The least share of a measure that is tried (dimensionless).
const LEAST: f64 = 0.5;
/// Furthest lean that is tried, degrees.
const MOST_LEAN_DEG: f64 = 70.0;

/// Measures that are asked for, as on the tape: metres, or feet for a reader of those; directions and lean in degrees. What is not
/// asked stays as the outing says.
#[derive(Clone, Copy, Debug, Default)]
pub struct Moved {
    pub height: Option<f64>,
    pub length: Option<f64>,
    pub counterpoise: Option<f64>,
    pub lean: Option<f64>,
    pub direction: Option<f64>,
}

impl Moved {
    /// Whether anything is asked that could differ from the outing.
    pub fn any(&self) -> bool {
        [self.height, self.length, self.counterpoise, self.lean, self.direction]
            .iter()
            .any(Option::is_some)
    }

    fn of(&self, knob: Knob) -> Option<f64> {
        match knob {
            Knob::Height => self.height,
            Knob::Length => self.length,
            Knob::Under => self.counterpoise,
            Knob::Lean => self.lean,
            Knob::Direction => self.direction,
        }
        .filter(|v| v.is_finite())
    }
}

/// A handle by what it moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Knob {
    Height,
    Length,
    Under,
    Lean,
    Direction,
}

impl Knob {
    fn of(slider: Slider) -> Self {
        match slider {
            Slider::Height => Self::Height,
            Slider::Length => Self::Length,
            Slider::Under(_) => Self::Under,
            Slider::Lean => Self::Lean,
        }
    }

    fn name(self) -> &'static str {
        match self {
            Self::Height => "height",
            Self::Length => "length",
            Self::Under => "counterpoise",
            Self::Lean => "lean",
            Self::Direction => "direction",
        }
    }
}

/// A handle as it stands in the file.
struct Handle {
    label: &'static str,
    /// The largest measure that it moves, metres; degrees for lean and direction.
    value: f64,
}

fn handles(antenna: &Antenna) -> BTreeMap<Knob, Handle> {
    let mut all: BTreeMap<Knob, Handle> = BTreeMap::new();
    let mut kind = antenna.kind.clone();
    for measure in kind.measures() {
        let Some(slider) = measure.purpose.slider else { continue };
        let value = match measure.slot {
            Slot::Number(value) => *value,
            Slot::Lengths(lengths) => lengths.iter().copied().fold(0.0, f64::max),
            _ => continue,
        };
        let label = match slider {
            Slider::Height => "Height",
            Slider::Length => "Length",
            Slider::Under(label) => label,
            Slider::Lean => "Lean",
        };
        let handle = all.entry(Knob::of(slider)).or_insert(Handle { label, value });
        handle.value = handle.value.max(value);
    }
    if let Some((label, value)) = direction_of(antenna) {
        all.insert(Knob::Direction, Handle { label, value });
    }
    all
}

/// Where it points and what that is called, degrees true: its own direction, or that in which it leans; none where neither is stated.
fn direction_of(antenna: &Antenna) -> Option<(&'static str, f64)> {
    match &antenna.kind {
        AntennaKind::Whip(whip) if whip.lean_deg > 0.0 => Some(("Leans toward", whip.lean_toward_deg)),
        AntennaKind::Whip(_) => None,
        _ => antenna.azimuth_deg.map(|deg| ("Direction", deg)),
    }
}

/// The antenna with the measures that are asked for.
pub fn changed(antenna: &Antenna, moved: &Moved, units: Units) -> Antenna {
    let all = handles(antenna);
    let factor = |knob: Knob| {
        let now = all.get(&knob).map_or(0.0, |h| h.value);
        let asked = moved.of(knob).map(|v| from_tape(v, units));
        asked
            .filter(|_| now > 0.0)
            .map_or(1.0, |v| (v / now).clamp(LEAST, MOST_GROWN))
    };
    let mut other = antenna.clone();
    for measure in other.kind.measures() {
        let Some(slider) = measure.purpose.slider else { continue };
        match (measure.slot, Knob::of(slider)) {
            (Slot::Number(lean_deg), Knob::Lean) => {
                *lean_deg = moved
                    .lean
                    .filter(|l| l.is_finite())
                    .map_or(*lean_deg, |l| l.clamp(0.0, MOST_LEAN_DEG));
            }
            (Slot::Number(value), knob) => *value *= factor(knob),
            (Slot::Lengths(lengths), knob) => {
                let by = factor(knob);
                lengths.iter_mut().for_each(|value| *value *= by);
            }
            _ => {}
        }
    }
    if let Some(direction) = moved.of(Knob::Direction).filter(|_| direction_of(antenna).is_some()) {
        let deg = direction.rem_euclid(360.0);
        match &mut other.kind {
            AntennaKind::Whip(whip) => whip.lean_toward_deg = deg,
            _ => other.azimuth_deg = Some(deg),
        }
    }
    other.kind.settle();
    other
}

fn from_tape(value: f64, units: Units) -> f64 {
    match units {
        Units::Metric => value,
        Units::Imperial => m_from_ft(value),
    }
}

/// The handles as sliders: the largest of the measures that each moves, in metres or feet.
pub(crate) fn sliders(antenna: &Antenna, moved: &Moved, units: Units) -> Markup {
    html! {
        @for (knob, handle) in handles(antenna) {
            @let look = Look::of(knob, &handle, units);
            @let now = moved.of(knob).unwrap_or(look.now);
            label.slider {
                span { (handle.label) }
                input type="range" name=(knob.name()) min=(tenth(look.low)) max=(tenth(look.high)) step=(look.step) value=(tenth(now)) data-unit=(look.unit);
                output { (tenth(now)) (look.unit) }
            }
        }
    }
}

/// A handle in the reader's units.
struct Look {
    low: f64,
    high: f64,
    step: f64,
    now: f64,
    unit: &'static str,
}

impl Look {
    fn of(knob: Knob, handle: &Handle, units: Units) -> Self {
        match knob {
            Knob::Lean => Self {
                low: 0.0,
                high: MOST_LEAN_DEG,
                step: 5.0,
                now: handle.value,
                unit: "°",
            },
            Knob::Direction => Self {
                low: 0.0,
                high: 355.0,
                step: 5.0,
                now: handle.value,
                unit: "° true",
            },
            Knob::Height | Knob::Length | Knob::Under => {
                let (now, unit) = match units {
                    Units::Metric => (handle.value, " m"),
                    Units::Imperial => (ft_from_m(handle.value), " ft"),
                };
                // From the value itself in whole steps, so that the value as it stands in the file is one of them.
                let step = if now < 10.0 { 0.1 } else { 0.2 };
                let whole = |share: f64| now + ((now * share - now) / step).trunc() * step;
                Self {
                    low: whole(LEAST),
                    high: whole(MOST_GROWN),
                    step,
                    now,
                    unit,
                }
            }
        }
    }
}

fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}
