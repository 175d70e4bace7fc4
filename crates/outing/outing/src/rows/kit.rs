//! `[kit]`: transceiver, line, tuner, modem, computer; power and parts have their own rows.

use super::ID_HINT;
use super::ID_MEANS;
use super::Topic::{Energy, Kit as Packing};
use super::reader::TableReader;
use super::row::{About, Found, check, section};
use crate::check::Check;
use crate::kit::{Computer, FeedLine, Kit, LineLoss, Modem, Transceiver, Tuner, TunerKind};
use crate::limits::{
    self, DAY_H, DIAL_HZ, DRAW_W, LEVEL_DBM, LOSS_DB, Limit, MASS_KG, POWER_W, RATIO, STEP_S, SUPPLY_V,
};
use farhop_gear::{LineType, SessionOverhead};

/// What `source` means, wherever it stands.
pub(super) const SOURCE_MEANS: &str = "battery or converter that feeds it";
pub(super) const FIRST_BATTERY: &str = "the first battery";
const PROTECTION: &str = "usual protection of the final stage";
const SET_VOLTS: &str = "usual for a 13.8 V set (common practice)";
const OWN_SUPPLY: &str = "a small modem on its own supply";
const A_SESSION: &str = "a usual session (common practice, no source)";
/// Relays in each bank of a tuner.
const BITS: Limit = Limit::new(1.0, 10.0, "");

rows! { Kit, "kit", Forecast;
    transceiver => .means("the set");
    antenna in antennas => .means("wires, whips and loops");
    feedline in feedlines => .means("cables from the set to them");
    tuner => .means("tuner");
    modem => .means("what turns text into tones");
    computer => .means("what runs the modem; leave it out when nothing with a draw of its own does");
    battery in batteries => .means("batteries");
    panel in panels => .means("solar panels");
    converter in converters => .means("converters from one voltage to another");
    load in loads => .means("anything else that draws");
    part in parts => .means("what needs what");
    function in functions => .means("what the kit must be able to do");
    spares_limit_kg = 1.0 => .within(MASS_KG).means("mass that you would still carry as spares").topic(Packing)
        .why("a kilogram more can usually be carried");
}

rows! { Transceiver, "kit.transceiver", Energy;
    name = "transceiver".to_owned() => .means("for people");
    power_levels_w = vec![5.0] => .within(POWER_W).means("settings, smallest first").topic(super::Topic::Forecast)
        .why("five watts is what this is made for").form("Settings of power, W, smallest first");
    power_w (set) = set.power_levels_w.last().copied().unwrap_or(5.0) => .within(POWER_W).means("the usual one")
        .left_out("the highest").form("Power, W");
    noise_figure_db = 12.0 => .within(limits::NOISE_FIGURE_DB).means("of the receiver").topic(super::Topic::Forecast)
        .why("a usual receiver below 30 MHz (common practice)").form("Noise figure, dB");
    full_power_swr = 2.0 => .within(RATIO).means("SWR up to which it gives full power").topic(super::Topic::Forecast)
        .why(PROTECTION);
    no_power_swr = 5.0 => .within(RATIO).means("SWR from which it gives next to nothing").topic(super::Topic::Forecast)
        .why(PROTECTION);
    receive_w = 2.5 => .within(DRAW_W).means("draw while receiving")
        .why("a small transceiver listening (common practice)").form("Draw while it listens, W");
    transmit_draw_w (set) = set.power_levels_w.iter().map(|level_w| set.receive_w + 2.5 * level_w).collect()
        => .within(DRAW_W).means("draw for each power level").left_out("receive_w + 2.5 × power")
        .why("40 % efficiency of the final stage (common practice)");
    tune_w (set) = set.transmit_draw_w.last().copied().unwrap_or(15.0) => .within(DRAW_W).means("draw while tuning")
        .left_out("as for full power").why("a carrier is sent while tuning");
    sleep_w = 0.0 => .within(DRAW_W).means("draw while asleep").why("it is switched off between windows");
    listen_h_per_day = 0.0 => .within(DAY_H).means("hours a day that it is on and listening besides calls")
        .why("radio off between calls; each call has its own listening");
    min_v = 11.0 => .within(SUPPLY_V).means("lowest supply to transmit").why(SET_VOLTS).form("Lowest voltage to send, V");
    min_receive_v = 9.5 => .within(SUPPLY_V).means("lowest supply to receive").why(SET_VOLTS);
    source => .means(SOURCE_MEANS).left_out(FIRST_BATTERY);
    // IARU Region 1 Technical Recommendation R.1: S9 is -73 dBm below 30 MHz, one unit is 6 dB.
    s9_dbm in s_meter.s9_dbm = -73.0 => .within(LEVEL_DBM).means("S9 of its S-meter (IARU Region 1)");
    s_unit_db in s_meter.unit_db = 6.0 => .within(LOSS_DB).means("one S unit (IARU Region 1)");
}

rows! { FeedLine, "kit.feedline", Forecast;
    id (_, around) = around.nameless.clone() => .must(ID_HINT).names().means(ID_MEANS);
    line = LineType::Rg58 => .means("type; `own` has the constants below").why("the usual cable").form("Type");
    length_m => .must("Length of the cable in metres.").within(limits::LINE_LENGTH_M).means("length").form("Length, m");
    z0_ohm: Number => .reading(own_line).checked(own_line_check).within(limits::LINE_OHM).left_out(OWN_ONLY)
        .means("characteristic impedance of an own line");
    velocity_factor: Number => .within(limits::EFFICIENCY).means("velocity factor of an own line").left_out(OWN_ONLY);
    loss_10mhz_db_per_100m: Number => .within(LOSS_DB).means("matched loss of an own line").left_out(OWN_ONLY);
}

const OWN_ONLY: &str = "must be given for `own`";

rows! { LineLoss, "kit.feedline", Forecast;
    z0_ohm => .must("Characteristic impedance in ohm.").within(limits::LINE_OHM);
    velocity_factor => .must("From 0 to 1, for example 0.66.").within(limits::EFFICIENCY);
    loss_10mhz_db_per_100m => .must("Matched loss at 10 MHz in dB per 100 m.").within(LOSS_DB);
}

fn own_line(line: &mut FeedLine, from: &mut dyn TableReader, _: &About) -> Found {
    line.own = (line.line == LineType::Own).then(|| section(from));
    Found::Given
}

fn own_line_check(line: &FeedLine, c: &mut Check, _: &About) {
    if let Some(own) = &line.own {
        check(c, own);
    }
}

rows! { Tuner, "kit.tuner", Forecast;
    kind = TunerKind::None => .means("what it is").why("no tuner is named").form("Tuner");
    bits = 8 => .within(BITS).means("relays in each bank");
    coil_q = 80.0 => .within(limits::QUALITY).means("quality of its coils").when(there).why("small toroids (from memory)");
    capacitor_q = 500.0 => .within(limits::QUALITY).means("quality of its capacitors").when(there)
        .why("small ceramic capacitors (from memory)");
    good_swr = 1.5 => .within(RATIO).means("where it stops searching").when(there)
        .why("it stops searching there (common practice)");
    idle_w = 0.1 => .within(DRAW_W).means("draw while idle").topic(Energy).when(there).why("latching relays");
    switching_w = 2.0 => .within(DRAW_W).means("draw while searching").topic(Energy).when(there)
        .why("relays while searching");
    max_inductance_uh => .within(limits::COIL_UH).means("reach of its coils").left_out("a portable one");
    max_capacitance_pf => .within(limits::CAPACITOR_PF).means("reach of its capacitors").left_out("a portable one");
}

fn there(tuner: &Tuner) -> bool {
    tuner.kind != TunerKind::None
}

rows! { Modem, "kit.modem", Energy;
    modes => .means("rate ladders that it can run").left_out("the built-in ones");
    compression = 1.5 => .within(RATIO).means("how much shorter messages get: 2 is half as long")
        .form("How much shorter it makes messages").topic(super::Topic::Forecast).why("plain text gets a third shorter (common practice)");
    dial_offset_hz => .within(DIAL_HZ).means("the middle of its tones above the frequency on the dial; the card then prints the dial")
        .topic(super::Topic::Forecast).left_out("the card prints the centre of the channel");
    settle_s in steps.settle_s = SessionOverhead::USUAL.settle_s => .within(STEP_S).means("to settle and tune before the first call")
        .topic(super::Topic::Forecast).why(A_SESSION);
    listen_s in steps.listen_s = SessionOverhead::USUAL.listen_s => .within(STEP_S).means("to listen and write before the first call")
        .topic(super::Topic::Forecast).why(A_SESSION);
    handshake_s in steps.handshake_s = SessionOverhead::USUAL.handshake_s => .within(STEP_S).means("from the answer until the link is made")
        .topic(super::Topic::Forecast).why(A_SESSION);
    greeting_s in steps.greeting_s = SessionOverhead::USUAL.greeting_s => .within(STEP_S).means("until the station has greeted and let you in")
        .topic(super::Topic::Forecast).why(A_SESSION);
    offers_s in steps.offers_s = SessionOverhead::USUAL.offers_s => .within(STEP_S).means("until both sides have said what they have")
        .topic(super::Topic::Forecast).why(A_SESSION);
    acknowledge_s in steps.acknowledge_s = SessionOverhead::USUAL.acknowledge_s => .within(STEP_S).means("from the last byte to the word that it is kept")
        .topic(super::Topic::Forecast).why(A_SESSION);
    sign_off_s in steps.sign_off_s = SessionOverhead::USUAL.sign_off_s => .within(STEP_S).means("to take leave")
        .topic(super::Topic::Forecast).why(A_SESSION);
    idle_w = 0.5 => .within(DRAW_W).means("draw while idle").why(OWN_SUPPLY).form("Draw while idle, W");
    active_w = 1.5 => .within(DRAW_W).means("draw in a contact").why(OWN_SUPPLY).form("Draw in a contact, W");
    min_v = 4.5 => .within(SUPPLY_V).means("lowest supply").why("a modem on 5 V");
    source => .means(SOURCE_MEANS).left_out(FIRST_BATTERY);
}

rows! { Computer, "kit.computer", Energy;
    bright_w = 12.0 => .within(DRAW_W).means("draw with a bright screen").why("a small laptop in the sun")
        .form("Draw with a bright screen, W");
    dim_w = 7.0 => .within(DRAW_W).means("draw with a dim screen").why("a small laptop at night")
        .form("Draw with a dim screen, W");
    sleep_w = 0.5 => .within(DRAW_W).means("draw asleep").why("a small laptop asleep");
    min_v = 4.5 => .within(SUPPLY_V).means("lowest supply").why("a computer on 5 V");
    source => .means(SOURCE_MEANS).left_out(FIRST_BATTERY);
}
