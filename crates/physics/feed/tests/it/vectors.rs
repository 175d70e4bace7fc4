//! The vectors under `validation/feed`: scikit-rf on lines, networks and chains, and a visit to every tuner state.
//!
//! Tolerances are those of the sidecars: the digits written in the files, far inside the project's bars.

use farhop_feed::ladder::Ladder;
use farhop_feed::ladder::{Part, PartPlace, PartRole, capacitor_siemens, coil_ohm};
use farhop_feed::swr::swr;
use farhop_feed::tuner::AutoTuner;
use farhop_feed::{Complex64, Line, LineConstants, LineType, Tuner};
use farhop_vectors::Row;

/// Share of the magnitude that an impedance may be off.
const IMPEDANCE_SHARE: f64 = 1e-6;
/// Line losses, dB.
const LINE_DB: f64 = 1e-6;
/// Losses through S parameters near total reflection, dB.
const NETWORK_DB: f64 = 1e-5;

fn table(name: &str) -> Vec<Row> {
    let rows = farhop_vectors::table(&format!("feed/{name}"));
    assert!(rows.len() >= 40, "{name} has only {} rows", rows.len());
    rows
}

fn number(row: &Row, column: usize) -> f64 {
    row.value(column)
}

fn pair(row: &Row, column: usize) -> Complex64 {
    Complex64::new(number(row, column), number(row, column + 1))
}

fn close(got: Complex64, want: Complex64, row: &Row) {
    assert!(
        (got - want).norm() < IMPEDANCE_SHARE * want.norm(),
        "{got} for {want} in {row:?}"
    );
}

fn series(role: PartRole, impedance_ohm: Complex64) -> Part {
    Part {
        role,
        place: PartPlace::Series,
        impedance_ohm,
    }
}

fn shunt(role: PartRole, impedance_ohm: Complex64) -> Part {
    Part {
        role,
        place: PartPlace::Shunt,
        impedance_ohm,
    }
}

fn l_network(side: &str, coil: Complex64, capacitor: Complex64) -> Ladder {
    let (coil, capacitor) = (series(PartRole::Inductor, coil), shunt(PartRole::Capacitor, capacitor));
    match side {
        "antenna" => Ladder::new(vec![coil, capacitor]),
        "radio" => Ladder::new(vec![capacitor, coil]),
        other => panic!("side {other}"),
    }
}

#[test]
fn lines() {
    for row in table("lines.csv") {
        let n = |column| number(&row, column);
        let line = Line::new(LineConstants::new(n(1), n(2), n(3), n(4)).unwrap(), n(5)).unwrap();
        let seen = line.transform(pair(&row, 7), n(6)).unwrap();
        close(seen.input_ohm, pair(&row, 9), &row);
        assert!((seen.matched_loss_db - n(11)).abs() < LINE_DB, "{row:?}");
        assert!((seen.loss_db - n(12)).abs() < LINE_DB, "{} in {row:?}", seen.loss_db);
    }
}

#[test]
fn networks() {
    for row in table("networks.csv") {
        let n = |column| number(&row, column);
        let capacitor = |c_pf| capacitor_siemens(c_pf, n(6), n(1)).inv();
        let coil = coil_ohm(n(2), n(5), n(1));
        let ladder = match &row[0] {
            "tee" => Ladder::new(vec![
                series(PartRole::Capacitor, capacitor(n(3))),
                shunt(PartRole::Inductor, coil),
                series(PartRole::AntennaCapacitor, capacitor(n(4))),
            ]),
            side => l_network(side, coil, capacitor(n(3))),
        };
        close(ladder.look_in(pair(&row, 7)).unwrap().0, pair(&row, 9), &row);
        let loss_db = ladder.loss_db(pair(&row, 7)).unwrap();
        assert!((loss_db - n(11)).abs() < NETWORK_DB, "{loss_db} in {row:?}");
    }
}

#[test]
fn chains() {
    for row in table("chains.csv") {
        let n = |column| number(&row, column);
        let freq_mhz = n(0);
        let open = Line::new(LineConstants::named(LineType::Ladder450).unwrap(), n(5))
            .unwrap()
            .transform(pair(&row, 6), freq_mhz)
            .unwrap();
        let coax = Line::new(LineConstants::named(LineType::Rg174).unwrap(), n(4))
            .unwrap()
            .transform(open.input_ohm, freq_mhz)
            .unwrap();
        let capacitor = capacitor_siemens(n(3), 700.0, freq_mhz).inv();
        let ladder = l_network(&row[1], coil_ohm(n(2), 120.0, freq_mhz), capacitor);
        close(ladder.look_in(coax.input_ohm).unwrap().0, pair(&row, 8), &row);
        let loss_db = open.loss_db + coax.loss_db + ladder.loss_db(coax.input_ohm).unwrap();
        assert!((loss_db - n(10)).abs() < NETWORK_DB, "{loss_db} in {row:?}");
    }
}

#[test]
fn states() {
    let tuner = Tuner::Auto(AutoTuner::portable());
    for row in table("states.csv") {
        let n = |column| number(&row, column);
        let answer = tuner.solve(pair(&row, 1), n(0)).unwrap();
        assert!(
            (answer.lowest_swr.swr / n(3) - 1.0).abs() < 1e-6,
            "{} in {row:?}",
            answer.lowest_swr.swr
        );
        assert_eq!(answer.accepts(), n(4) > 0.0, "{row:?}");
        if let Some(best) = &answer.least_loss {
            assert!((best.loss_db - n(5)).abs() < 1e-6, "{} in {row:?}", best.loss_db);
            assert!(swr(best.input_ohm, 50.0) <= 1.5 + 1e-9);
        }
    }
}
