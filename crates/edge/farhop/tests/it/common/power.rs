//! Outings and calls for the tests of energy and batteries.

use farhop_outing::{Outing, OutingParts};
use farhop_plan::Chance;
use farhop_plan::power::Call;

pub fn path(name: &str) -> String {
    super::run::example(&format!("{name}.toml"))
}

pub fn parts(name: &str) -> OutingParts {
    let text = std::fs::read_to_string(path(name)).unwrap();
    let reading = farhop_outing_file::read(&text, name, &|_| Err("no other file".to_owned()));
    reading.outing.unwrap().into_parts()
}

pub fn outing(parts: OutingParts) -> Outing {
    Outing::new(parts).unwrap()
}

/// A call of ten minutes' listening and `air_s` of sending.
pub fn call(message: usize, site: usize, send_s: f64, air_s: f64) -> Call {
    Call {
        message,
        site,
        send: 0,
        chance: Chance::new(0.8),
        listen_s: send_s - 605.0,
        tune_s: send_s - 5.0,
        send_s,
        end_s: send_s + air_s,
        duty: 0.5,
    }
}

pub fn demo_calls() -> Vec<Call> {
    vec![
        call(0, 1, 30_000.0, 120.0),
        call(1, 1, 40_000.0, 600.0),
        call(4, 1, 100_000.0, 1_800.0),
    ]
}
