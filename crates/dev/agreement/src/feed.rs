//! Agreement of the feed crate with scikit-rf, with a visit to every tuner state, and with closed forms.

use std::path::Path;

use farhop_feed::ladder::{Ladder, Part, PartPlace, PartRole, capacitor_siemens, coil_ohm};
use farhop_feed::tuner::{ManualL, ManualLValues, Setting};
use farhop_feed::{Complex64, Line, LineConstants, LineType, Tuner};

use crate::row::{fail, table};
use crate::{AgreementError, Row, Spread};

const AREA: &str = "feed";
const IMPEDANCE_BAR_PERCENT: f64 = 0.1;
const LOSS_BAR_DB: f64 = 0.01;
const JUDGE: &str = "scikit-rf 2.2.0";

/// The rows of the feed crate.
///
/// # Errors
/// A vector file is missing or malformed.
pub fn rows(root: &Path) -> Result<Vec<Row>, AgreementError> {
    let folder = root.join("validation/feed");
    let mut rows = Vec::new();
    rows.extend(lines(&folder)?);
    rows.extend(networks(&folder)?);
    rows.extend(chains(&folder)?);
    rows.extend(states(&folder)?);
    rows.push(two_equations()?);
    Ok(rows)
}

fn text(row: &csv::StringRecord, column: usize) -> &str {
    row.get(column).unwrap_or_default()
}

fn number(row: &csv::StringRecord, column: usize) -> Result<f64, AgreementError> {
    text(row, column)
        .parse()
        .map_err(|_| fail(format!("column {column} is not a number in {row:?}")))
}

fn pair(row: &csv::StringRecord, column: usize) -> Result<Complex64, AgreementError> {
    Ok(Complex64::new(number(row, column)?, number(row, column + 1)?))
}

fn percent_off(got: Complex64, want: Complex64) -> f64 {
    100.0 * (got - want).norm() / want.norm()
}

fn bar_row(what: &str, against: &str, errors: Vec<f64>, unit: &'static str, bar: f64) -> Row {
    let spread = Spread::of(errors);
    Row {
        area: AREA,
        what: what.into(),
        against: against.into(),
        met: Some(spread.n > 0 && spread.worst <= bar),
        spread,
        unit,
        bar: format!("worst <= {bar} {unit}"),
    }
}

fn lines(folder: &Path) -> Result<Vec<Row>, AgreementError> {
    let (mut impedance, mut matched, mut loss) = (Vec::new(), Vec::new(), Vec::new());
    for row in table(folder, "lines.csv")? {
        let n = |column| number(&row, column);
        let constants = LineConstants::new(n(1)?, n(2)?, n(3)?, n(4)?).map_err(fail)?;
        let line = Line::new(constants, n(5)?).map_err(fail)?;
        let seen = line.transform(pair(&row, 7)?, n(6)?).map_err(fail)?;
        impedance.push(percent_off(seen.input_ohm, pair(&row, 9)?));
        matched.push((seen.matched_loss_db - n(11)?).abs());
        loss.push((seen.loss_db - n(12)?).abs());
    }
    Ok(vec![
        bar_row(
            "line, transformed impedance",
            JUDGE,
            impedance,
            "%",
            IMPEDANCE_BAR_PERCENT,
        ),
        bar_row("line, matched loss", JUDGE, matched, "dB", LOSS_BAR_DB),
        bar_row("line, loss with any load", JUDGE, loss, "dB", LOSS_BAR_DB),
    ])
}

fn part(role: PartRole, place: PartPlace, impedance_ohm: Complex64) -> Part {
    Part {
        role,
        place,
        impedance_ohm,
    }
}

fn l_network(side: &str, coil: Complex64, capacitor: Complex64) -> Result<Ladder, AgreementError> {
    let coil = part(PartRole::Inductor, PartPlace::Series, coil);
    let capacitor = part(PartRole::Capacitor, PartPlace::Shunt, capacitor);
    match side {
        "antenna" => Ok(Ladder::new(vec![coil, capacitor])),
        "radio" => Ok(Ladder::new(vec![capacitor, coil])),
        other => Err(fail(format!("unknown side `{other}`"))),
    }
}

fn networks(folder: &Path) -> Result<Vec<Row>, AgreementError> {
    let (mut impedance, mut loss) = (Vec::new(), Vec::new());
    for row in table(folder, "networks.csv")? {
        let n = |column| number(&row, column);
        let (freq_mhz, q_capacitor) = (n(1)?, n(6)?);
        let capacitor = |c_pf| capacitor_siemens(c_pf, q_capacitor, freq_mhz).inv();
        let coil = coil_ohm(n(2)?, n(5)?, freq_mhz);
        let ladder = match text(&row, 0) {
            "tee" => Ladder::new(vec![
                part(PartRole::Capacitor, PartPlace::Series, capacitor(n(3)?)),
                part(PartRole::Inductor, PartPlace::Shunt, coil),
                part(PartRole::AntennaCapacitor, PartPlace::Series, capacitor(n(4)?)),
            ]),
            side => l_network(side, coil, capacitor(n(3)?))?,
        };
        let load_ohm = pair(&row, 7)?;
        impedance.push(percent_off(ladder.look_in(load_ohm).map_err(fail)?.0, pair(&row, 9)?));
        loss.push((ladder.loss_db(load_ohm).map_err(fail)? - n(11)?).abs());
    }
    Ok(vec![
        bar_row(
            "L and T network, impedance",
            JUDGE,
            impedance,
            "%",
            IMPEDANCE_BAR_PERCENT,
        ),
        bar_row("L and T network, loss", JUDGE, loss, "dB", LOSS_BAR_DB),
    ])
}

fn chains(folder: &Path) -> Result<Vec<Row>, AgreementError> {
    let (mut impedance, mut loss) = (Vec::new(), Vec::new());
    for row in table(folder, "chains.csv")? {
        let n = |column| number(&row, column);
        let freq_mhz = n(0)?;
        let through = |kind: LineType, length_m, load_ohm| {
            let constants = LineConstants::named(kind).ok_or_else(|| fail(format!("{kind:?} has no constants")))?;
            Line::new(constants, length_m)
                .and_then(|line| line.transform(load_ohm, freq_mhz))
                .map_err(fail)
        };
        let open = through(LineType::Ladder450, n(5)?, pair(&row, 6)?)?;
        let coax = through(LineType::Rg174, n(4)?, open.input_ohm)?;
        let capacitor = capacitor_siemens(n(3)?, 700.0, freq_mhz).inv();
        let ladder = l_network(text(&row, 1), coil_ohm(n(2)?, 120.0, freq_mhz), capacitor)?;
        impedance.push(percent_off(
            ladder.look_in(coax.input_ohm).map_err(fail)?.0,
            pair(&row, 8)?,
        ));
        let tuner_db = ladder.loss_db(coax.input_ohm).map_err(fail)?;
        loss.push((open.loss_db + coax.loss_db + tuner_db - n(10)?).abs());
    }
    Ok(vec![
        bar_row(
            "tuner, coax and ladder line in a row, impedance",
            JUDGE,
            impedance,
            "%",
            IMPEDANCE_BAR_PERCENT,
        ),
        bar_row(
            "tuner, coax and ladder line in a row, loss",
            JUDGE,
            loss,
            "dB",
            LOSS_BAR_DB,
        ),
    ])
}

fn states(folder: &Path) -> Result<Vec<Row>, AgreementError> {
    let (mut swr, mut loss) = (Vec::new(), Vec::new());
    let tuner = Tuner::portable();
    for row in table(folder, "states.csv")? {
        let answer = tuner.solve(pair(&row, 1)?, number(&row, 0)?).map_err(fail)?;
        swr.push(100.0 * (answer.lowest_swr.swr / number(&row, 3)? - 1.0).abs());
        let expected = (number(&row, 4)? > 0.0).then(|| number(&row, 5)).transpose()?;
        match (answer.least_loss, expected) {
            (Some(best), Some(expected_db)) => loss.push((best.loss_db - expected_db).abs()),
            (None, None) => {}
            // One found a match and the other did not: as wrong as can be.
            _ => loss.push(f64::INFINITY),
        }
    }
    let judge = "numpy, all 131 072 states";
    Ok(vec![
        bar_row("tuner search, lowest SWR", judge, swr, "%", 0.0001),
        bar_row("tuner search, least loss within SWR 1.5", judge, loss, "dB", 0.000_1),
    ])
}

/// Q = √(R/50 − 1), X_L = 50 Q, X_C = R / Q for R above 50 Ω; X_L = Q R, X_C = 50 / Q, Q = √(50/R − 1) below.
fn two_equations() -> Result<Row, AgreementError> {
    let values = ManualLValues {
        q_coil: 1e6,
        q_capacitor: 1e6,
        l_most_uh: 60.0,
        c_most_pf: 6000.0,
        ..ManualLValues::typical()
    };
    let tuner = Tuner::HandL(ManualL::new(values).map_err(fail)?);
    let mut errors = Vec::new();
    for freq_mhz in [3.6, 7.1, 14.1, 28.3] {
        let omega = std::f64::consts::TAU * freq_mhz;
        for resistance_ohm in [5.0, 10.0, 25.0, 100.0, 300.0, 1000.0, 3000.0] {
            let load_ohm = Complex64::new(resistance_ohm, 0.0);
            let answer = tuner.solve(load_ohm, freq_mhz).map_err(fail)?;
            let Setting::HandL { l_uh, c_pf, .. } = answer.chosen().setting else {
                return Err(fail("the hand-set L gave another kind of setting"));
            };
            let (coil_ohm, capacitor_ohm) = if resistance_ohm > 50.0 {
                let q = (resistance_ohm / 50.0 - 1.0).sqrt();
                (50.0 * q, resistance_ohm / q)
            } else {
                let q = (50.0 / resistance_ohm - 1.0).sqrt();
                (resistance_ohm * q, 50.0 / q)
            };
            errors.push(100.0 * (l_uh * omega / coil_ohm - 1.0).abs());
            errors.push(100.0 * (1e6 / (c_pf * omega) / capacitor_ohm - 1.0).abs());
        }
    }
    Ok(bar_row(
        "hand-set L, reactances",
        "two equations of the L match",
        errors,
        "%",
        IMPEDANCE_BAR_PERCENT,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_bar_is_met() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..");
        for row in rows(&root).unwrap() {
            println!("{row:?}");
            assert_eq!(row.met, Some(true), "{row:?}");
        }
    }
}
