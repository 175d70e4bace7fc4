//! What is wrong with the measures of an antenna.

use super::AntennaKind;
use super::measure::Slot;
use crate::limit::Limit;

impl AntennaKind {
    /// Names each measure outside its limits, and measures that do not go together: key (in a list with its place, counted
    /// from 0), cause, and what to do.
    pub fn check(&self, say: &mut dyn FnMut(&str, String, String)) {
        self.check_to_build(say);
        self.misfits_of_some_band(&mut |key, cause, hint| say(key, cause, hint.to_owned()));
    }

    /// As [`Self::check`], without what concerns other bands than the one on which it is built.
    pub fn check_to_build(&self, say: &mut dyn FnMut(&str, String, String)) {
        for measure in self.clone().measures() {
            let (key, limit) = (measure.key, measure.limit);
            let mut list = |i: usize, values: &[f64]| {
                for value in values {
                    inside(&format!("{key}[{i}]"), *value, limit, say);
                }
            };
            match measure.slot {
                Slot::Number(value) => {
                    inside(key, *value, limit, say);
                    if measure.aloft && *value == 0.0 {
                        let cause = format!("{key} is 0: the wire lies on the ground");
                        say(key, cause, "Write the real height; 0.05 is a wire on tussock.".into());
                    }
                }
                Slot::Maybe(value) => value.iter().for_each(|v| inside(key, *v, limit, say)),
                Slot::Count(count) => inside(key, f64::from(*count), limit, say),
                Slot::Lengths(all) => all.iter().enumerate().for_each(|(i, v)| list(i, &[*v])),
                Slot::Wires(all) => all.iter().enumerate().for_each(|(i, v)| list(i, v)),
                Slot::Word(_) => {}
            }
        }
        self.misfits(&mut |key, cause, hint| say(key, cause, hint.to_owned()));
    }
}

fn inside(key: &str, value_own_unit: f64, limit: Limit, say: &mut dyn FnMut(&str, String, String)) {
    if !limit.allows(value_own_unit) {
        let name = key.split('[').next().unwrap_or(key);
        say(
            key,
            format!("{name} is {value_own_unit}"),
            format!("It must be {limit}."),
        );
    }
}
