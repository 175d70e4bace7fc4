//! One target of the crate `farhop-hostile`, named as this program, fed by coverage.
#![no_main]

use libfuzzer_sys::fuzz_target;

/// Writes what the target is made to read into the folder that FARHOP_SAMPLES names, before the fuzzer looks there.
fn samples() {
    let Some(folder) = std::env::var_os("FARHOP_SAMPLES").map(std::path::PathBuf::from) else { return };
    for (number, sample) in (target().samples)().into_iter().enumerate() {
        std::fs::write(folder.join(format!("sample-{number}")), sample).expect("the folder of samples is there");
    }
}

fn target() -> farhop_hostile::Target {
    farhop_hostile::target(env!("CARGO_BIN_NAME")).expect("each program is named after its target")
}

fuzz_target!(init: samples(), |bytes: &[u8]| (target().feed)(bytes));
