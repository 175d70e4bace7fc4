//! The checks as data.

use crate::{Case, Say, kit, place, power, radiator, sky, station, time};

/// Where a check looks.
type Look = fn(&Case<'_>, &mut Say<'_>);

/// A cross-check.
#[derive(Clone, Copy)]
pub struct Check {
    /// Short name, as tests and programs know it.
    pub id: &'static str,
    /// Why what it sees is odd.
    pub why: &'static str,
    /// What to do.
    pub to_do: &'static str,
    /// Where it looks in an outing; none for what only a log can hold.
    pub(crate) look: Option<Look>,
}

impl PartialEq for Check {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
    }
}

impl Eq for Check {}

impl std::fmt::Debug for Check {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Check({})", self.id)
    }
}

/// The check with an id.
#[must_use]
pub fn check_of(id: &str) -> Option<&'static Check> {
    CHECKS.iter().find(|c| c.id == id)
}

const fn check(id: &'static str, why: &'static str, to_do: &'static str, look: Look) -> Check {
    Check {
        id,
        why,
        to_do,
        look: Some(look),
    }
}

const fn logged(id: &'static str, why: &'static str, to_do: &'static str) -> Check {
    Check {
        id,
        why,
        to_do,
        look: None,
    }
}

const PLACE: &str = "Look the position up again: latitude first, south and west negative.";
const HOURS: &str = "Look at the hours once more: 06:30 is in the morning, 18:30 in the evening.";
const METRES: &str = "Metres are meant; a key that ends in _ft is in feet.";

/// All checks.
pub static CHECKS: [Check; 62] = [
    check(
        "zone-longitude",
        "clocks there are at most three and a half hours from the sun",
        "Write the zone of the place, for example \"Pacific/Auckland\", or correct the longitude.",
        time::zone_longitude,
    ),
    check(
        "zone-sign",
        "in Etc zones the sign is turned round: Etc/GMT-12 is twelve hours AHEAD of Greenwich",
        "Write the zone of the place by its name, for example \"Pacific/Auckland\".",
        time::zone_sign,
    ),
    check(
        "zone-missing",
        "times without an offset are then read as universal time",
        "Write time_zone, for example \"Europe/Oslo\"; \"UTC\" if that is meant.",
        time::zone_missing,
    ),
    check(
        "deadline-early",
        "nobody can be at a site by then",
        HOURS,
        time::deadline_early,
    ),
    check(
        "deadline-short",
        "there is little time to send it in",
        HOURS,
        time::deadline_short,
    ),
    check(
        "stay-short",
        "there is little time to put an antenna up",
        HOURS,
        time::stay_short,
    ),
    check("outing-short", "an outing lasts longer", HOURS, time::outing_short),
    check(
        "walk-long",
        "that is longer than the stay, or two days on foot",
        "Hours are meant, not minutes.",
        time::walk_long,
    ),
    check(
        "hours-at-night",
        "seen from there it serves at night only",
        "hours_utc is universal time, not the local time of the station.",
        time::hours_at_night,
    ),
    check(
        "event-far",
        "it lies days away from the outing and counts for nothing there",
        "Look at its date, the year too.",
        time::event_far,
    ),
    check(
        "sign-lost",
        "with the other sign it would be among the stations",
        PLACE,
        place::sign_lost,
    ),
    check(
        "swapped",
        "with latitude and longitude changed over it would be among the others",
        PLACE,
        place::swapped,
    ),
    check(
        "station-sign",
        "with the other sign it would be near",
        PLACE,
        place::station_sign,
    ),
    check(
        "all-far",
        "five watts seldom carry mail so far",
        "Look at the positions of the site and of the stations.",
        place::all_far,
    ),
    check(
        "locator-coarse",
        "so short a locator is a large area, and its middle is taken",
        "Write six signs or more, or latitude and longitude.",
        place::locator_coarse,
    ),
    check(
        "whole-degrees",
        "whole degrees are seldom a place",
        PLACE,
        place::whole_degrees,
    ),
    check(
        "height-jump",
        "so steep a land there is not",
        "Heights above the sea are in metres; a key that ends in _ft is in feet.",
        place::height_jump,
    ),
    check(
        "height-odd",
        "nobody operates there",
        "Heights above the sea are in metres; a key that ends in _ft is in feet.",
        place::height_odd,
    ),
    check(
        "skyline-steep",
        "only rays that go nearly straight up get out",
        "Pairs are [bearing, height angle], both in degrees; write what you see from where the antenna hangs.",
        place::skyline_steep,
    ),
    check(
        "ridge-high",
        "there is no such mountain",
        "horizon_distance_km is the distance to the ridge; the second number of a pair is its height angle in degrees.",
        place::ridge_high,
    ),
    check(
        "k-against-a",
        "K and A say the same thing in two scales, and these do not fit",
        "Keep the newer of the two.",
        sky::k_against_a,
    ),
    check(
        "fof2-odd",
        "the maps expect something quite different at that hour and place",
        "Look at the time (local unless it has an offset), the sign of the position, and whether it is foF2 and not the MUF.",
        sky::fof2_odd_in,
    ),
    check(
        "fof2-far",
        "so far away it says nothing about your sky",
        PLACE,
        sky::fof2_far,
    ),
    check(
        "activity-odd",
        "data expect something quite different for that date",
        "`ssn` is the smoothed sunspot number, `flux_sfu` the flux at 10.7 cm.",
        sky::activity_odd,
    ),
    check(
        "noise-odd",
        "no receiver shows that between stations",
        "Noise is in dBm at the antenna socket: -120 to -80 is usual.",
        sky::noise_odd,
    ),
    check(
        "temperature-odd",
        "that is seldom seen",
        "Degrees Celsius are meant; a key that ends in _f is Fahrenheit.",
        kit::temperature_odd,
    ),
    check(
        "night-warmer",
        "nights are colder than days",
        "Look whether the two are changed over.",
        kit::night_warmer,
    ),
    check(
        "band-unusual",
        "amateurs have no band there",
        "Frequencies are in MHz. If your licence has it, name its `allocation`.",
        station::band_unusual,
    ),
    check(
        "channel-twice",
        "the station has this frequency twice",
        "Write each frequency once.",
        station::channel_twice,
    ),
    check(
        "width-odd",
        "no mode for mail has that width",
        "Widths are in Hz: 500 or 2400 are usual.",
        station::width_odd,
    ),
    check(
        "station-power",
        "a station that takes mail has 20 to 1 000 watts",
        "Watts are meant.",
        station::station_power,
    ),
    check(
        "station-mast",
        "few stations have so high a mast",
        METRES,
        station::station_mast,
    ),
    check(
        "station-chance",
        "then calling it is not worth while",
        "A chance is from 0 to 1: 0.1 is one in ten.",
        station::station_chance,
    ),
    check(
        "message-size",
        "that is no usual mail by radio",
        "Bytes are meant: a short page is 1 000 to 3 000.",
        kit::message_size,
    ),
    check(
        "power-odd",
        "small sets have one to twenty watts",
        "Watts are meant: 0.5 is half a watt.",
        kit::power_odd,
    ),
    check(
        "noise-figure",
        "receivers for HF have 5 to 25 dB",
        "Decibels of noise figure are meant.",
        kit::noise_figure,
    ),
    check(
        "draw-odd",
        "a transmitter wastes half of what it draws, and a receiver draws half a watt to ten",
        "Watts are meant, not amperes or milliwatts.",
        power::draw_odd,
    ),
    check(
        "computer-draw",
        "no computer that is carried draws that",
        "Watts are meant.",
        power::computer_draw,
    ),
    check(
        "no-modem",
        "without a modem no mail goes out",
        "Add [kit.modem], with its draws if you know them.",
        kit::no_modem,
    ),
    check(
        "no-battery",
        "then nothing is known of how long the power lasts",
        "Add a [[kit.battery]] with its `capacity_ah`.",
        kit::no_battery,
    ),
    check(
        "battery-size",
        "that is not carried up a hill",
        "Ampere-hours as printed on it are meant; 1 000 mAh are 1 Ah.",
        power::battery_size,
    ),
    check(
        "battery-volts",
        "the set does not run from that",
        "`cells` are those in series: 4 of lifepo4, 3 of lithium-ion, 6 of lead make 12 V.",
        power::battery_volts,
    ),
    check(
        "battery-low",
        "it does not leave home full",
        "`start_charge` and `health` are from 0 to 1.",
        power::battery_low,
    ),
    check(
        "panel-size",
        "that is not carried up a hill",
        "Watts as printed on the panel are meant.",
        power::panel_size,
    ),
    check(
        "load-odd",
        "it would empty the battery in an hour",
        "Watts are meant, and hours a day.",
        power::load_odd,
    ),
    check(
        "mass-odd",
        "nobody puts that into a pack",
        "Kilograms are meant: 80 g are 0.08.",
        kit::mass_odd,
    ),
    check(
        "antenna-in-no-function",
        "whether it fails counts for nothing then, while the others count",
        "Name it in the function that sends.",
        kit::antenna_in_no_function,
    ),
    check(
        "leg-lengths",
        "no length is resonant on a stated band",
        "leg_lengths_m are of ONE leg in metres, from the middle to the tip: 71 divided by MHz.",
        radiator::leg_lengths,
    ),
    check(
        "dipole-length",
        "it is resonant on no stated band",
        "length_m is from tip to tip in metres: 143 divided by MHz.",
        radiator::dipole_length,
    ),
    check(
        "antenna-high",
        "no mast that is carried is so high",
        METRES,
        radiator::antenna_high,
    ),
    check(
        "wire-long",
        "that is a lot of wire to carry",
        METRES,
        radiator::wire_long,
    ),
    check(
        "wire-thick",
        "antenna wire has 0.3 to 5 millimetres",
        "Millimetres are meant, not a gauge.",
        radiator::wire_thick,
    ),
    check(
        "loop-large",
        "a small loop is smaller than that at its highest frequency",
        METRES,
        radiator::loop_large,
    ),
    check(
        "ratio-differs",
        "the two speak of the same transformer",
        "transformer_ratio and the ratio in transformer are the same number.",
        radiator::ratio_differs,
    ),
    check(
        "line-long",
        "so much cable is seldom carried",
        METRES,
        radiator::line_long,
    ),
    logged(
        "log-minutes",
        "a session takes minutes, a message is hundreds of bytes",
        "If they are changed over, enter it again: bytes with a b, minutes with min.",
    ),
    logged(
        "log-power",
        "your set gives less",
        "If it is a slip, take it back with `farhop log --undo` and enter it again.",
    ),
    logged(
        "log-volt",
        "your batteries have nothing near that",
        "If it is a slip, take it back with `farhop log --undo` and enter it again.",
    ),
    logged(
        "log-panel",
        "your panels give less at full sun",
        "Amperes are meant; milliamperes with mA.",
    ),
    logged(
        "log-swr",
        "meters do not read that well",
        "If it is a slip, take it back with `farhop log --undo` and enter it again.",
    ),
    logged("log-place", "it is far from every site of the outing", PLACE),
    logged("log-snr", "that is seldom reported", "Decibels are meant."),
];
