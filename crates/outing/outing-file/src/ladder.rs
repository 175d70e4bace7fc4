//! `[[ladder]]`.

use farhop_outing::{Ladder, Rung};

use crate::fields::Fields;
use crate::session::Session;

pub(crate) fn read(s: &mut Session, mut f: Fields<'_>, number: usize) -> Ladder {
    if !f.has("name") {
        f.known("name");
        f.missing(s, "name", "Channels and the modem call it by its name.");
    }
    let name = f.text(s, "name").unwrap_or_else(|| format!("ladder {}", number + 1));
    f.label(&name);
    let bandwidth_hz = f.need_number(
        s,
        "bandwidth_hz",
        "The width in Hz that it occupies and that its SNR refers to.",
    );
    let rungs = f.groups::<2>(s, "rungs", "pairs of bit/s and dB: [[60, -3], [300, 4]]");
    if rungs.is_none() {
        f.missing(
            s,
            "rungs",
            "Write pairs of net bit/s and required SNR in dB: [[60, -3], [300, 4]].",
        );
    }
    let rungs = rungs.unwrap_or_default();
    let ladder = Ladder {
        name,
        bandwidth_hz,
        rungs: rungs
            .into_iter()
            .map(|[rate_bit_per_s, snr_db]| Rung { rate_bit_per_s, snr_db })
            .collect(),
        handshake_s: f.number_or(s, "handshake_s", 15.0, "a usual call and handshake (from memory)"),
        frame_s: f.number_or(s, "frame_s", 4.0, "a usual frame (from memory)"),
        turnaround_s: f.number_or(
            s,
            "turnaround_s",
            0.5,
            "a usual pause between sending and receiving (from memory)",
        ),
        retries: f.count_or(s, "retries", 10, "a usual limit (from memory)"),
    };
    f.finish(s);
    ladder
}
