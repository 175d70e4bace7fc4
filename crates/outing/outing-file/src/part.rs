//! `[[kit.part]]` and `[[kit.function]]`.

use farhop_outing::{Function, Part, PartClass, WeakTo};

use crate::fields::Fields;
use crate::session::Session;

/// Usual time to change a part in minutes.
const CHANGEOVER_MIN: f64 = 5.0;

pub(crate) fn part(s: &mut Session, mut f: Fields<'_>, number: usize) -> Option<Part> {
    let id = f.need_id(s, number)?;
    let stands_in_for = f.ids(s, "stands_in_for");
    let changeover_min = if stands_in_for.is_empty() {
        f.number(s, "changeover_min").unwrap_or(CHANGEOVER_MIN)
    } else {
        f.number_or(
            s,
            "changeover_min",
            CHANGEOVER_MIN,
            "time to change a part (common practice)",
        )
    };
    let part = Part {
        name: f.text(s, "name").unwrap_or_else(|| id.to_string()),
        id,
        class: f.word_or(
            s,
            "class",
            &PartClass::WORDS,
            ("other", PartClass::Other),
            "no class is given",
        ),
        role: None,
        needs: f.needs(s),
        stands_in_for,
        changeover_min,
        check_min: f.number_or(s, "check_min", 2.0, "time to check a part (common practice)"),
        mass_kg: f.number_or(s, "mass_kg", 0.0, "no mass is given, so it is left out of sums"),
        volume_l: f.number(s, "volume_l"),
        price: f.number(s, "price"),
        fail_per_outing: f.number(s, "fail_per_outing"),
        fail_per_hour: f.number(s, "fail_per_hour"),
        weak_to: f.words(s, "weak_to", &WeakTo::WORDS),
        recovery: f.texts(s, "recovery"),
        bag: f.text(s, "bag").unwrap_or_else(|| "pack".to_owned()),
        carried: if f.has("carried") {
            f.truth_or(s, "carried", true, "")
        } else {
            true
        },
        count: if f.has("count") {
            f.count_or(s, "count", 1, "")
        } else {
            1
        },
    };
    f.known("carried");
    f.known("count");
    f.finish(s);
    Some(part)
}

pub(crate) fn function(s: &mut Session, mut f: Fields<'_>, number: usize) -> Option<Function> {
    let id = f.need_id(s, number)?;
    let function = Function {
        name: f.text(s, "name").unwrap_or_else(|| id.to_string()),
        id,
        needs: f.needs(s),
        vital: if f.has("vital") {
            f.truth_or(s, "vital", true, "")
        } else {
            true
        },
    };
    f.known("vital");
    f.finish(s);
    Some(function)
}
