//! `[outing]`.

use super::Topic::{Energy, Wording};
use crate::limits::FRACTION;
use farhop_earth::units::Units;

use crate::outing::Header;

const DATE_HINT: &str = "Write a date such as 2026-12-12, or a local time such as 2026-12-12T08:00.";

rows! { Header, "outing", Forecast;
    name = "Outing".to_owned() => .means("for people").why("no name is given").topic(Wording).form("Name");
    start => .must(DATE_HINT).means("first time, local; years 1900 to 2029").form("Start, local time");
    end => .must(DATE_HINT).date_ends().means("last time, local; at most 31 days after the start").form("End, local time");
    time_zone = "UTC".to_owned() => .means("IANA name such as `\"Pacific/Auckland\"`").form("Time zone")
        .why("no zone is given; times are read and shown as universal time");
    units = Units::Metric => .means("what is shown").why("unless feet and pounds are asked for").topic(Wording);
    callsign in operator.callsign => .means("your own").form("Callsign");
    allocation in operator.allocation => .left_out("none: only distress and time-signal frequencies are refused")
        .means("table of bands that binds you: `iaru-region-1` to `-3`, `germany`, `new-zealand`, `united-kingdom`, \
                `united-states`, `united-states-general`; channels outside it are refused ([safety](safety.md))");
    reserve = 0.2 => .within(FRACTION).means("share of the battery that must be left at the end").topic(Energy)
        .why("a fifth of the battery stays for the way home (common practice)").form("Reserve of the battery, 0 to 1");
    notes => .means("free words");
}
