//! `[learned]`.

use super::{ID_HINT, ID_MEANS};
use crate::conditions::{Learned, LearnedNoise, LearnedStation};
use crate::limits::{FREQ_MHZ, LEARNED_DB, LEARNED_SCALE, Limit};

/// Days that own journals can tell of.
const DAYS: Limit = Limit::new(0.0, 100_000.0, "days");

/// Minutes over forecast minutes.
const SESSION_FACTOR: Limit = Limit::new(0.2, 5.0, "");

rows! { Learned, "learned", Forecast;
    file: Text => .means("file with the keys below, in place of them").left_out("the keys stand here");
    calls => .must("On how many calls does it rest?").means("calls on which it rests").sometimes()
        .left_out("must be given, unless `file` is");
    own_station_db => .within(LEARNED_DB).means("own station: real minus forecast signal").left_out("nothing");
    fof2_ratio => .within(LEARNED_SCALE).means("true over forecast foF2").left_out("nothing");
    absorption_ratio => .within(LEARNED_SCALE).means("true over forecast absorption").left_out("nothing");
    noise => .means("`[{ mhz = 7.05, offset_db = [3, 2] }]`").left_out("nothing");
    station in stations => .means("`[{ id = \"larch\", days = 9, on_days = 7, calls = 11, busy = 2 }]`").left_out("nothing");
    session_factor => .within(SESSION_FACTOR).means("minutes of own sessions over those of the forecast").left_out("1");
    sessions = 0 => .means("sessions on which that rests");
}

rows! { LearnedNoise, "learned.noise", Forecast;
    mhz in freq_mhz => .must("The frequency in MHz.").within(FREQ_MHZ).means("frequency");
    offset_db => .must("Write the offset and its spread in dB: [3, 2].").within(LEARNED_DB)
        .means("measured minus forecast noise");
}

rows! { LearnedStation, "learned.station", Forecast;
    id in station (_, around) = around.nameless.clone() => .must(ID_HINT).names().means(ID_MEANS);
    days => .must("On how many days was it called or heard?").within(DAYS).means("days on which it was called or heard");
    on_days => .must("On how many of these was it on?").within(DAYS).means("days of these on which it was on");
    calls = 0 => .means("calls of which it is known whether it was busy");
    busy = 0 => .means("calls of these in which it was");
}
