//! `[kit]`: transceiver, line, tuner, modem, computer; the lists have their own modules.

use farhop_outing::{Computer, FeedLine, Kit, LineLoss, LineType, Modem, SMeter, Transceiver, Tuner, TunerKind};
use toml::de::DeTable;

use crate::fields::Fields;
use crate::session::{Session, Spot};
use crate::{antenna, part, power};

/// Reads the section; without one everything is default and the missing antenna is reported by the checks.
pub(crate) fn read(s: &mut Session, found: Option<Fields<'_>>) -> Kit {
    let nothing = DeTable::new();
    let mut f = found.unwrap_or_else(|| Fields::new(&nothing, "kit".to_owned(), 0..0, 0));
    let transceiver = section(s, &mut f, "transceiver", transceiver);
    let antennas = each(s, &mut f, "antenna", antenna::read);
    let feedlines = each(s, &mut f, "feedline", feedline);
    let tuner = section(s, &mut f, "tuner", tuner);
    let modem = section(s, &mut f, "modem", modem);
    let computer = f.inner(s, "computer").map(|mut inner| {
        let computer = computer(s, &mut inner);
        inner.finish(s);
        computer
    });
    let batteries = each(s, &mut f, "battery", power::battery);
    let panels = each(s, &mut f, "panel", power::panel);
    let converters = each(s, &mut f, "converter", power::converter);
    let loads = each(s, &mut f, "load", power::load);
    let parts = each(s, &mut f, "part", part::part);
    let functions = each(s, &mut f, "function", part::function);
    let spares_limit_kg = f.number_or(s, "spares_limit_kg", 1.0, "a kilogram more can usually be carried");
    f.finish(s);
    Kit {
        transceiver,
        antennas,
        feedlines,
        tuner,
        modem,
        computer,
        batteries,
        panels,
        converters,
        loads,
        parts,
        functions,
        spares_limit_kg,
    }
}

/// Reads every table of a list.
fn each<T>(
    s: &mut Session,
    f: &mut Fields<'_>,
    key: &str,
    read: impl Fn(&mut Session, Fields<'_>, usize) -> Option<T>,
) -> Vec<T> {
    let tables = f.tables(s, key);
    tables
        .into_iter()
        .enumerate()
        .filter_map(|(i, own)| read(s, own, i))
        .collect()
}

/// Reads a section that may be missing: its keys then have their defaults.
fn section<T>(
    s: &mut Session,
    f: &mut Fields<'_>,
    key: &str,
    read: impl FnOnce(&mut Session, &mut Fields<'_>) -> T,
) -> T {
    let nothing = DeTable::new();
    let Spot { source, span } = f.own_spot();
    let mut inner = f
        .inner(s, key)
        .unwrap_or_else(|| Fields::new(&nothing, f.path_of(key), span, source));
    let value = read(s, &mut inner);
    inner.finish(s);
    value
}

fn transceiver(s: &mut Session, f: &mut Fields<'_>) -> Transceiver {
    let name = f.text(s, "name").unwrap_or_else(|| "transceiver".to_owned());
    let power_levels_w = f.numbers(s, "power_levels_w").unwrap_or_else(|| {
        f.default(s, "power_levels_w", "[5]", "five watts is what this is made for");
        vec![5.0]
    });
    let highest = power_levels_w.last().copied().unwrap_or(5.0);
    let power_w = f.number(s, "power_w").unwrap_or(highest);
    let noise_figure_db = f.number_or(
        s,
        "noise_figure_db",
        12.0,
        "a usual receiver below 30 MHz (common practice)",
    );
    let full_power_swr = f.number_or(s, "full_power_swr", 2.0, "usual protection of the final stage");
    let no_power_swr = f.number_or(s, "no_power_swr", 5.0, "usual protection of the final stage");
    let receive_w = f.number_or(s, "receive_w", 2.5, "a small transceiver listening (common practice)");
    let transmit_draw_w = f.numbers(s, "transmit_draw_w").unwrap_or_else(|| {
        f.default(
            s,
            "transmit_draw_w",
            "receive_w + 2.5 × power",
            "40 % efficiency of the final stage (common practice)",
        );
        power_levels_w.iter().map(|level_w| receive_w + 2.5 * level_w).collect()
    });
    let most = transmit_draw_w.last().copied().unwrap_or(15.0);
    let tune_w = f.number(s, "tune_w").unwrap_or_else(|| {
        f.default(s, "tune_w", "as for full power", "a carrier is sent while tuning");
        most
    });
    Transceiver {
        name,
        power_levels_w,
        power_w,
        noise_figure_db,
        full_power_swr,
        no_power_swr,
        receive_w,
        transmit_draw_w,
        tune_w,
        sleep_w: f.number_or(s, "sleep_w", 0.0, "it is switched off between windows"),
        listen_h_per_day: listening(s, f),
        min_v: f.number_or(s, "min_v", 11.0, "usual for a 13.8 V set (common practice)"),
        min_receive_v: f.number_or(s, "min_receive_v", 9.5, "usual for a 13.8 V set (common practice)"),
        source: f.id(s, "source"),
        s_meter: s_meter(s, f),
    }
}

/// Hours a day on the watch besides calls: none, unless the file says so.
fn listening(s: &mut Session, f: &mut Fields<'_>) -> f64 {
    f.number(s, "listen_h_per_day").unwrap_or_else(|| {
        f.default(
            s,
            "listen_h_per_day",
            "0",
            "radio off between calls; each call has its own listening",
        );
        0.0
    })
}

/// IARU Region 1 Technical Recommendation R.1: S9 is -73 dBm below 30 MHz, one unit is 6 dB.
fn s_meter(s: &mut Session, f: &mut Fields<'_>) -> SMeter {
    SMeter {
        s9_dbm: f.number(s, "s9_dbm").unwrap_or(-73.0),
        unit_db: f.number(s, "s_unit_db").unwrap_or(6.0),
    }
}

fn feedline(s: &mut Session, mut f: Fields<'_>, number: usize) -> Option<FeedLine> {
    let id = f.need_id(s, number)?;
    let line = f.word_or(
        s,
        "line",
        &LineType::WORDS,
        ("rg-58", LineType::Rg58),
        "the usual cable",
    );
    let length_m = f.need_number(s, "length_m", "Length of the cable in metres.");
    let own = (line == LineType::Own).then(|| LineLoss {
        z0_ohm: f.need_number(s, "z0_ohm", "Characteristic impedance in ohm."),
        velocity_factor: f.need_number(s, "velocity_factor", "From 0 to 1, for example 0.66."),
        loss_10mhz_db_per_100m: f.need_number(s, "loss_10mhz_db_per_100m", "Matched loss at 10 MHz in dB per 100 m."),
    });
    f.finish(s);
    Some(FeedLine {
        id,
        line,
        own,
        length_m,
    })
}

fn tuner(s: &mut Session, f: &mut Fields<'_>) -> Tuner {
    let none = ("none", TunerKind::None);
    let kind = f.word_or(s, "kind", &TunerKind::WORDS, none, "no tuner is named");
    let bits = f.count(s, "bits").map_or(8, |n| u32::try_from(n).unwrap_or(u32::MAX));
    let there = kind != TunerKind::None;
    let mut number = |key: &str, usual: f64, why: &str| {
        if there {
            f.number_or(s, key, usual, why)
        } else {
            f.number(s, key).unwrap_or(usual)
        }
    };
    let coil_q = number("coil_q", 80.0, "small toroids (from memory)");
    let capacitor_q = number("capacitor_q", 500.0, "small ceramic capacitors (from memory)");
    let good_swr = number("good_swr", 1.5, "it stops searching there (common practice)");
    let idle_w = number("idle_w", 0.1, "latching relays");
    let switching_w = number("switching_w", 2.0, "relays while searching");
    let max_inductance_uh = f.number(s, "max_inductance_uh");
    let max_capacitance_pf = f.number(s, "max_capacitance_pf");
    Tuner {
        kind,
        max_inductance_uh,
        max_capacitance_pf,
        bits,
        coil_q,
        capacitor_q,
        good_swr,
        idle_w,
        switching_w,
    }
}

fn modem(s: &mut Session, f: &mut Fields<'_>) -> Modem {
    Modem {
        modes: f.texts(s, "modes"),
        compression: f.number_or(
            s,
            "compression",
            1.5,
            "plain text gets a third shorter (common practice)",
        ),
        idle_w: f.number_or(s, "idle_w", 0.5, "a small modem on its own supply"),
        active_w: f.number_or(s, "active_w", 1.5, "a small modem on its own supply"),
        min_v: f.number_or(s, "min_v", 4.5, "a modem on 5 V"),
        source: f.id(s, "source"),
    }
}

fn computer(s: &mut Session, f: &mut Fields<'_>) -> Computer {
    Computer {
        bright_w: f.number_or(s, "bright_w", 12.0, "a small laptop in the sun"),
        dim_w: f.number_or(s, "dim_w", 7.0, "a small laptop at night"),
        sleep_w: f.number_or(s, "sleep_w", 0.5, "a small laptop asleep"),
        min_v: f.number_or(s, "min_v", 4.5, "a computer on 5 V"),
        source: f.id(s, "source"),
    }
}
