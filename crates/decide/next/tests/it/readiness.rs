//! What the kit of an outing says, against closed forms of series and parallel systems (M. Rausand and A. Høyland, "System
//! Reliability Theory", 2nd ed., ch. 4) worked out here from the chances of the parts.

use farhop_kit::fault::{Advice, Symptom};
use farhop_kit::spares::Limits;
use farhop_outing::Outing;

use farhop_plan::analysis::Analysis;
use farhop_plan::declared_book::DeclaredBook;
use farhop_plan::readiness::{FaultSearch, KitModel, Readiness};

fn outing(extra: &str) -> Outing {
    let text = format!("{BASE}{extra}");
    let reading = farhop_outing_file::read(&text, "test", &|_| Err(String::new()));
    assert!(reading.outing.is_some(), "{:?}", reading.problems);
    reading.outing.unwrap()
}

fn model_of(outing: &Outing) -> KitModel {
    KitModel::of(outing, &Analysis::in_turn(outing, &DeclaredBook).unwrap()).unwrap()
}

fn whole(model: &KitModel, id: &str) -> f64 {
    1.0 - model.chances.failures()[model.kit.find(id).unwrap().index()].all_pieces
}

const BASE: &str = r#"
[outing]
name = "Short walk"
start = 2026-12-12T00:00
end = 2026-12-12T08:00
time_zone = "UTC"

[[site]]
id = "knoll"
place = "-43.48,170.90"

[[station]]
id = "larch"
callsign = "Q0LAR"
place = "-42.96,170.69"
channels = [{ mhz = 5.356, bandwidth_hz = 500 }]

[[message]]
id = "hello"
bytes = 300

[kit.transceiver]
power_levels_w = [5]
power_w = 5

[kit.tuner]
kind = "none"

[kit.modem]
modes = ["narrow"]

[kit.computer]

[[kit.battery]]
id = "battery"
chemistry = "lifepo4"
cells = 4
capacity_ah = 6

[[kit.antenna]]
id = "wire"
kind = "declared"
efficiency = 0.8
"#;

#[test]
fn a_kit_without_parts_is_a_plain_chain_whose_chances_multiply() {
    let model = model_of(&outing(""));
    let readiness = Readiness::new(&model, &Limits::mass(1.0)).unwrap();
    let want: f64 = ["transceiver", "modem", "computer", "battery", "wire"]
        .iter()
        .map(|id| whole(&model, id))
        .product();
    assert!(
        (readiness.success.kit - want).abs() < 1e-12,
        "{} {want}",
        readiness.success.kit
    );
    assert_eq!(readiness.single_points.iter().filter(|p| p.vital).count(), 5);
    let hardest = model.hardest.unwrap();
    let want = want * readiness.success.energy * hardest.chance;
    assert!((readiness.success.total - want).abs() < 1e-12);
    assert!(model.notes.iter().any(|n| n.contains("[[kit.function]]")));
}

const PARTS: &str = r#"
[[kit.part]]
id = "battery"
class = "battery"
mass_kg = 0.7

[[kit.part]]
id = "transceiver"
class = "electronics"
needs = ["cable"]
mass_kg = 0.5

[[kit.part]]
id = "cable"
class = "cable"
needs = ["battery"]
mass_kg = 0.1
recovery = ["Bend it and watch the display."]

[[kit.part]]
id = "cable-2"
class = "cable"
needs = ["battery"]
stands_in_for = ["cable"]
carried = false
mass_kg = 0.1

[[kit.part]]
id = "book"
class = "other"
mass_kg = 0.4

[[kit.function]]
id = "send"
needs = ["transceiver"]
"#;

#[test]
fn a_spare_cable_makes_two_in_parallel() {
    let model = model_of(&outing(PARTS));
    let readiness = Readiness::new(&model, &Limits::mass(0.2)).unwrap();
    let fails = |id: &str| 1.0 - whole(&model, id);
    let before = whole(&model, "battery") * whole(&model, "transceiver") * whole(&model, "cable");
    let after = whole(&model, "battery") * whole(&model, "transceiver") * (1.0 - fails("cable") * fails("cable-2"));
    let outside = readiness.success.total / readiness.success.kit;
    assert!((readiness.success.kit - before).abs() < 1e-12);
    assert!((readiness.choice.after - after * outside).abs() < 1e-12);
    let step = readiness.first_step().unwrap();
    assert_eq!(model.kit.part(step.parts[0]).id, "cable-2");
    assert!((step.gain_points - 100.0 * outside * (after - before)).abs() < 1e-9);
    let stay: Vec<&str> = readiness
        .stay_together
        .parts
        .iter()
        .map(|p| model.kit.part(*p).id.as_str())
        .collect();
    assert_eq!(stay, ["book"]);
}

#[test]
fn nothing_is_added_where_nothing_may_be() {
    let model = model_of(&outing(PARTS));
    let readiness = Readiness::new(&model, &Limits::mass(0.05)).unwrap();
    assert!(readiness.choice.parts.is_empty() && readiness.additions.is_empty());
    assert!(Readiness::new(&model, &Limits::mass(f64::NAN)).is_err());
}

#[test]
fn without_any_battery_left_nothing_is_sent() {
    let mut parts = outing(PARTS).into_parts();
    for part in &mut parts.kit.parts {
        if part.id.as_str() == "battery" {
            part.fail_per_outing = Some(1.0);
        }
    }
    let model = model_of(&Outing::new(parts).unwrap());
    let readiness = Readiness::new(&model, &Limits::mass(1.0)).unwrap();
    assert!(readiness.success.total.abs() < 1e-12);
}

#[test]
fn a_dead_radio_leads_to_the_cable_and_its_note() {
    let model = KitModel::alone(&outing(PARTS)).unwrap();
    let mut search = FaultSearch {
        symptoms: vec![Symptom::RadioDead],
        ..FaultSearch::default()
    };
    let first = search.diagnose(&model).unwrap();
    assert!(
        matches!(first.advice, Advice::Check(_) | Advice::Treat(_)),
        "{:?}",
        first.advice
    );
    search.answer(
        "cable",
        farhop_kit::fault::CheckKind::Itself,
        farhop_kit::fault::Finding::Bad,
    );
    let found = search.diagnose(&model).unwrap();
    let cable = model.kit.find("cable").unwrap();
    assert_eq!(found.advice, Advice::Mend(cable));
    assert_eq!(found.recovery[0].notes, ["Bend it and watch the display."]);
}
