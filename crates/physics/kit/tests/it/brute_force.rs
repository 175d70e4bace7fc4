//! Random small kits against a visit to every state and every subset.

use crate::common::{Raw, chances, raw};
use farhop_kit::spares::{Limits, additions, best_spares, in_steps, leave_together, what_can_stay};
use farhop_kit::*;
use farhop_lots::sample;
use proptest::prelude::*;

fn bits(state: u32, n: usize) -> Vec<bool> {
    (0..n).map(|i| state >> i & 1 == 1).collect()
}

/// Minimal sets of carried parts whose failure stops a vital function, from all subsets.
fn cut_sets(raw: &Raw) -> Vec<Vec<usize>> {
    let n = raw.fails.len();
    let fatal = |failed: u32| {
        let whole: Vec<bool> = (0..n).map(|i| raw.carried[i] && failed >> i & 1 == 0).collect();
        !raw.vital(&whole)
    };
    let inside = |set: u32| (0..n).all(|i| set >> i & 1 == 0 || raw.carried[i]);
    let mut found: Vec<Vec<usize>> = (0..1_u32 << n)
        .filter(|set| inside(*set) && fatal(*set))
        .filter(|set| (0..n).all(|i| set >> i & 1 == 0 || !fatal(set & !(1 << i))))
        .map(|set| (0..n).filter(|i| set >> i & 1 == 1).collect())
        .collect();
    found.sort();
    found
}

fn as_numbers(cuts: &CutSets) -> Vec<Vec<usize>> {
    let mut sets: Vec<Vec<usize>> = cuts
        .sets
        .iter()
        .map(|s| s.iter().map(|p| p.index()).collect())
        .collect();
    sets.sort();
    sets
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn one_state(raw in raw(9, true), state in any::<u32>()) {
        let whole = bits(state, raw.fails.len());
        prop_assert_eq!(evaluate(&raw.kit(), &whole).vital, raw.vital(&whole));
    }

    #[test]
    fn chance(raw in raw(9, false)) {
        let kit = raw.kit();
        let chances = chances(&kit);
        let want = raw.chance(&raw.carried);
        let structure = Structure::new(&kit, &kit.carried()).unwrap();
        prop_assert!((structure.chance_vital(&chances.whole()) - want).abs() < 1e-12);
        let model = Model::new(&kit, &chances, &Outside::sure()).unwrap();
        prop_assert!((model.success(&kit.carried()) - want).abs() < 1e-12);
        prop_assert!((success(&kit, &chances, &Outside::sure()).unwrap().total - want).abs() < 1e-12);
    }

    #[test]
    fn minimal_cut_sets(raw in raw(8, false)) {
        let kit = raw.kit();
        let structure = Structure::new(&kit, &kit.carried()).unwrap();
        let all = CutSets::of(&structure, 99).unwrap();
        let want = cut_sets(&raw);
        prop_assert!(all.complete);
        prop_assert_eq!(as_numbers(&all), want.clone());
        let short = CutSets::of(&structure, 2).unwrap();
        let want_short: Vec<Vec<usize>> = want.iter().filter(|s| s.len() <= 2).cloned().collect();
        prop_assert_eq!(as_numbers(&short), want_short);
        if want.iter().any(|s| s.len() > 2) {
            prop_assert!(!short.complete);
        }
        let single: Vec<usize> = single_points(&kit).iter().map(|s| s.part.index()).collect();
        for set in want.iter().filter(|s| s.len() == 1) {
            prop_assert!(single.contains(&set[0]));
        }
    }

    #[test]
    fn importance_by_definition(raw in raw(8, true)) {
        let kit = raw.kit();
        let structure = Structure::new(&kit, &kit.carried()).unwrap();
        let cuts = CutSets::of(&structure, 99).unwrap();
        let n = raw.fails.len();
        let failure = 1.0 - raw.chance(&raw.carried);
        let sets = cut_sets(&raw);
        for got in importance(&kit, &structure, &chances(&kit), &cuts).unwrap() {
            let i = got.part.index();
            let with = |fails: f64| {
                let mut changed = raw.clone();
                changed.fails[i] = fails;
                changed.chance(&raw.carried)
            };
            prop_assert!((got.birnbaum - (with(0.0) - with(1.0))).abs() < 1e-12);
            let gain = 100.0 * (with(0.0) - raw.chance(&raw.carried));
            prop_assert!((got.gain_points - gain).abs() < 1e-9);
            let mut blamed = 0.0;
            for state in 0..1_u32 << n {
                let failed = bits(state, n);
                if sets.iter().any(|s| s.contains(&i) && s.iter().all(|p| failed[*p])) {
                    blamed += (0..n).map(|p| if failed[p] { raw.fails[p] } else { 1.0 - raw.fails[p] }).product::<f64>();
                }
            }
            if failure > 1e-9 {
                prop_assert!((got.fussell_vesely - blamed / failure).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn best_spares_against_all_subsets(raw in raw(9, false), limit_tenths in 0_u32..25) {
        let kit = raw.kit();
        let model = Model::new(&kit, &chances(&kit), &Outside::sure()).unwrap();
        let limit = f64::from(limit_tenths) / 10.0;
        let choice = best_spares(&model, &Limits::mass(limit)).unwrap();
        let n = raw.fails.len();
        let mut want = 0.0_f64;
        for state in 0..1_u32 << n {
            let added = bits(state, n);
            let mass: f64 = (0..n).filter(|i| added[*i] && !raw.carried[*i]).map(|i| raw.mass_kg[i]).sum();
            if (0..n).any(|i| added[i] && raw.carried[i]) || mass > limit + 1e-6 {
                continue;
            }
            let taken: Vec<bool> = (0..n).map(|i| added[i] || raw.carried[i]).collect();
            want = want.max(raw.chance(&taken));
        }
        prop_assert!(choice.exact);
        prop_assert!((choice.after - want).abs() < 1e-11, "{} {}", choice.after, want);
        prop_assert!((choice.before - raw.chance(&raw.carried)).abs() < 1e-12);
        prop_assert!(choice.mass_kg <= limit + 1e-6);
        let steps = in_steps(&model, &choice);
        let sum: f64 = steps.iter().map(|s| s.gain_points).sum();
        prop_assert!((sum - 100.0 * (choice.after - choice.before)).abs() < 1e-9);
        for addition in additions(&model, &Limits::mass(limit)).unwrap() {
            prop_assert!(addition.after <= choice.after + 1e-11);
            prop_assert!(addition.mass_kg <= limit + 1e-6);
        }
    }

    #[test]
    fn what_stays_costs_what_it_says(raw in raw(8, true), most in 0.0..100.0_f64) {
        let kit = raw.kit();
        let model = Model::new(&kit, &chances(&kit), &Outside::sure()).unwrap();
        let all = raw.chance(&raw.carried);
        let loss = |gone: &[PartIx]| {
            let taken: Vec<bool> = (0..raw.fails.len()).map(|i| gone.iter().all(|p| p.index() != i)).collect();
            100.0 * (all - raw.chance(&taken))
        };
        let single = what_can_stay(&model, most).unwrap();
        for i in kit.indices() {
            let listed = single.iter().find(|l| l.part == i);
            let want = loss(&[i]);
            prop_assert!((want - most).abs() < 1e-9 || listed.is_some() == (want < most));
            if let Some(l) = listed {
                prop_assert!((l.loss_points - want).abs() < 1e-9);
            }
        }
        let together = leave_together(&model, most).unwrap();
        prop_assert!((together.loss_points - loss(&together.parts)).abs() < 1e-9);
        prop_assert!(together.loss_points <= most);
    }

    #[test]
    fn sky_and_energy_by_subset(raw in raw(8, true), a in 0_usize..8, step in 1_usize..7, p in prop::array::uniform4(0.0..1.0_f64)) {
        let n = raw.fails.len();
        let (a, b) = (a % n, (a % n + 1 + step % (n - 1)) % n);
        prop_assume!(a != b);
        // Without stand-ins "available" is "works", which is easy to write down a second time.
        let raw = Raw { stands: Vec::new(), ..raw };
        let kit = raw.kit();
        let mut table = p;
        table[1] = table[1].max(table[0]);
        table[2] = table[2].max(table[0]);
        table[3] = table[3].max(table[1]).max(table[2]);
        let ids = [format!("p{a}"), format!("p{b}")];
        let at = |x: bool, y: bool| table[usize::from(x) + 2 * usize::from(y)];
        let sky = PerAvailable::new(&kit, &[&ids[0], &ids[1]], |s| at(s[0], s[1])).unwrap();
        let energy = PerAvailable::new(&kit, &[&ids[1]], |s| if s[0] { 0.9 } else { 0.4 }).unwrap();
        let mut want = 0.0;
        for state in 0..1_u32 << n {
            let whole = bits(state, n);
            let weight: f64 = (0..n).map(|i| if whole[i] { 1.0 - raw.fails[i] } else { raw.fails[i] }).product();
            let works = evaluate(&kit, &whole).works;
            if raw.vital(&whole) {
                want += weight * at(works[a], works[b]) * if works[b] { 0.9 } else { 0.4 };
            }
        }
        let got = success(&kit, &chances(&kit), &Outside { energy, sky }).unwrap();
        prop_assert!((got.total - want).abs() < 1e-12);
        prop_assert!((got.total - got.kit * got.energy * got.sky).abs() < 1e-12);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(30))]

    #[test]
    fn drawing_lots_agrees(raw in raw(12, true), seed in any::<u64>()) {
        let kit = raw.kit();
        let chances = chances(&kit);
        let exact = Structure::new(&kit, &kit.carried()).unwrap().chance_vital(&chances.whole());
        let got = sample(&kit, &chances, 4000, seed);
        // 5 standard errors: one false alarm in two million draws.
        prop_assert!((got.chance - exact).abs() < 5.0 * got.standard_error, "{got:?} {exact}");
        prop_assert_eq!(got, sample(&kit, &chances, 4000, seed));
    }
}
