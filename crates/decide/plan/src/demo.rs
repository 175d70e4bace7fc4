//! The demo, for tests.

use farhop_outing::Outing;

/// The outing of the embedded demo.
pub fn demo() -> Outing {
    let text = include_str!("../../../../examples/demo.toml");
    let reading = farhop_outing_file::read(text, "demo", &|name| Err(format!("no {name} here")));
    reading.outing.expect("the demo is sound")
}
