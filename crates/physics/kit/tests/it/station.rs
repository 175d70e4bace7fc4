//! A whole station: what an owner would ask, with answers that can be reasoned out.

use crate::common::station;
use farhop_kit::packing::{Person, cross_check, packing_list};
use farhop_kit::spares::{Limits, additions, best_spares, in_steps, leave_together, what_can_stay};
use farhop_kit::*;

fn day() -> Circumstances {
    Circumstances {
        hours_h: 30.0,
        ..Circumstances::default()
    }
}

fn ids(kit: &Kit, parts: &[PartIx]) -> Vec<String> {
    parts.iter().map(|p| kit.part(*p).id.to_string()).collect()
}

#[test]
fn single_points_and_what_they_take_down() {
    let kit = station();
    let points = single_points(&kit);
    let of = |id: &str| points.iter().find(|s| kit.part(s.part).id == id);
    let battery = of("battery").unwrap();
    assert!(battery.vital);
    assert_eq!(
        ids(&kit, &battery.parts),
        ["transceiver", "power-cable", "modem", "computer", "five-volt"]
    );
    assert_eq!(ids(&kit, &of("coax").unwrap().parts), ["dipole", "end-fed", "loop"]);
    assert!(!of("panel").unwrap().vital);
    for spared in ["watch", "phone", "mast", "tuner", "dipole", "loop", "cord"] {
        assert!(of(spared).is_none(), "{spared}");
    }
    let structure = Structure::new(&kit, &kit.carried()).unwrap();
    let cuts = CutSets::of(&structure, 3).unwrap();
    let singles = cuts.sets.iter().filter(|s| s.len() == 1).count();
    assert_eq!(singles, points.iter().filter(|s| s.vital).count());
    assert!(cuts.sets.iter().any(|s| ids(&kit, s) == ["watch", "phone"]));
}

#[test]
fn spares_that_help_only_together_are_found() {
    let kit = station();
    let model = Model::new(&kit, &Chances::of(&kit, &day()).unwrap(), &Outside::sure()).unwrap();
    let list = additions(&model, &Limits::mass(1.0)).unwrap();
    let has = |want: &[&str]| list.iter().any(|a| ids(&kit, &a.parts) == want);
    // The second power cable needs its own fuse: alone it is dead weight.
    assert!(!has(&["power-cable-2"]));
    assert!(has(&["power-cable-2", "fuse-2"]));
    assert!(has(&["audio-cable-2"]));
    let choice = best_spares(&model, &Limits::mass(1.0)).unwrap();
    assert!(choice.exact && choice.after > choice.before);
    // All six weigh 0.665 kg together, and each helps: even the jumper, for one antenna of three.
    assert_eq!(choice.parts.len(), 6);
    let steps = in_steps(&model, &choice);
    assert!((steps.last().unwrap().after - choice.after).abs() < 1e-12);
    let none = best_spares(&model, &Limits::mass(0.0)).unwrap();
    assert!(none.parts.is_empty() && (none.after - none.before).abs() < 1e-15);
    let cheap = Limits {
        price: Some(10.0),
        ..Limits::mass(1.0)
    };
    assert_eq!(best_spares(&model, &cheap).unwrap().not_known.len(), 6);
    assert!(best_spares(&model, &Limits::mass(f64::NAN)).is_err());
    assert!(best_spares(&model, &Limits::mass(-1.0)).is_err());
}

#[test]
fn the_loop_can_stay_and_the_radio_cannot() {
    let kit = station();
    let model = Model::new(&kit, &Chances::of(&kit, &day()).unwrap(), &Outside::sure()).unwrap();
    let stay: Vec<String> = what_can_stay(&model, 1.0)
        .unwrap()
        .iter()
        .map(|l| kit.part(l.part).id.to_string())
        .collect();
    assert!(stay.contains(&"loop".to_owned()) && stay.contains(&"cord".to_owned()));
    assert!(!stay.contains(&"transceiver".to_owned()));
    let panel = what_can_stay(&model, 1.0)
        .unwrap()
        .into_iter()
        .find(|l| kit.part(l.part).id == "panel")
        .unwrap();
    assert_eq!(panel.functions_lost, [3]);
    let together = leave_together(&model, 1.0).unwrap();
    assert!(together.loss_points <= 1.0 && together.mass_kg >= 1.1);
    assert!(!ids(&kit, &together.parts).contains(&"panel".to_owned()));
    assert!(what_can_stay(&model, 101.0).is_err());
}

#[test]
fn wet_hands_lower_the_chance() {
    let kit = station();
    let mut parts = kit.parts().to_vec();
    parts[0].weak_to = vec![WeakTo::Wet];
    let functions = kit.functions().to_vec();
    let kit = Kit::new(KitSpec { parts, functions }).unwrap();
    let chance = |wet: f64| {
        let circumstances = Circumstances {
            exposure: Exposure {
                wet,
                ..Exposure::default()
            },
            ..day()
        };
        success(&kit, &Chances::of(&kit, &circumstances).unwrap(), &Outside::sure())
            .unwrap()
            .total
    };
    assert!(chance(1.0) < chance(0.5) && chance(0.5) < chance(0.0));
}

#[test]
fn packing_weighs_what_is_taken_and_everything_is_touched() {
    let kit = station();
    let added = [kit.find("battery-2").unwrap()];
    let list = packing_list(&kit, &added);
    assert!((list.mass_kg - kit.carried_mass_kg() - 0.4).abs() < 1e-12);
    let steps = cross_check(&list);
    let carried = kit.parts().iter().filter(|p| p.carried).count() + 1;
    assert_eq!(steps.iter().filter(|s| !s.second_look).count(), carried);
    let vital = single_points(&kit).iter().filter(|s| s.vital).count();
    assert_eq!(steps.iter().filter(|s| s.second_look).count(), vital);
    assert!(steps.iter().all(|s| s.reads != s.touches));
    assert!(
        steps
            .iter()
            .filter(|s| !s.second_look)
            .all(|s| s.touches == Person::Other)
    );
}

/// The search cuts branches off; here nothing is cut off.
#[test]
fn best_of_many_candidates_against_all_subsets() {
    let mut compared = 0;
    for seed in 0..400 {
        let kit = farhop_lots::random_station(seed, 0.6).unwrap();
        let candidates: Vec<PartIx> = kit.candidates().collect();
        if candidates.len() != 13 {
            continue;
        }
        let chances = Chances::of(&kit, &Circumstances::default()).unwrap();
        let model = Model::new(&kit, &chances, &Outside::sure()).unwrap();
        for limit_kg in [0.6, 1.7] {
            let mut best = 0.0_f64;
            for set in 0..1_u32 << candidates.len() {
                let added = |i: &usize| set >> i & 1 == 1;
                let mut taken = kit.carried();
                let chosen = (0..candidates.len()).filter(added).map(|i| candidates[i]);
                let mass_kg: f64 = chosen
                    .map(|p| {
                        taken[p.index()] = true;
                        kit.part(p).mass_kg
                    })
                    .sum();
                if mass_kg <= limit_kg {
                    best = best.max(model.success(&taken));
                }
            }
            let got = best_spares(&model, &Limits::mass(limit_kg)).unwrap();
            assert!(
                (got.after - best).abs() < 1e-11,
                "{seed} {limit_kg}: {} {best}",
                got.after
            );
            assert!(got.evaluations < 2000);
            compared += 1;
        }
    }
    assert!(compared >= 20, "{compared}");
}
