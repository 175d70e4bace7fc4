//! Kits for tests, and answers by visiting every state.
#![allow(dead_code, reason = "each test file uses its own share")]
use farhop_kit::*;
use proptest::prelude::*;

pub fn function(id: &str, needs: Vec<Need>) -> Function {
    Function {
        id: Id::ours(id),
        name: id.into(),
        needs,
        vital: true,
    }
}

/// A part that fails with a given chance, whatever the hours.
pub fn part(id: &str, fails: f64, needs: Vec<Need>) -> Part {
    Part {
        needs,
        fail_per_outing: Some(fails),
        fail_per_hour: Some(0.0),
        ..Part::new(id, PartClass::Other)
    }
}

pub fn chances(kit: &Kit) -> Chances {
    Chances::of(kit, &Circumstances::default()).unwrap()
}

/// Random kit as plain numbers, so that a failing case can be read.
#[derive(Clone, Debug)]
pub struct Raw {
    pub fails: Vec<f64>,
    /// For each part: needs, each a list of later parts; later ones only, so there is no circle.
    pub needs: Vec<Vec<Vec<usize>>>,
    /// (stand-in, for): any two different parts, circles included.
    pub stands: Vec<(usize, usize)>,
    pub functions: Vec<Vec<Vec<usize>>>,
    pub carried: Vec<bool>,
    pub mass_kg: Vec<f64>,
}

impl Raw {
    pub fn kit(&self) -> Kit {
        let name = |i: &usize| format!("p{i}");
        let needs = |n: &Vec<Vec<usize>>| n.iter().map(|any| Need::any(any.iter().map(name))).collect::<Vec<_>>();
        let parts = (0..self.fails.len()).map(|i| Part {
            stands_in_for: self
                .stands
                .iter()
                .filter(|s| s.0 == i)
                .map(|s| Id::ours(name(&s.1)))
                .collect(),
            carried: self.carried[i],
            mass_kg: self.mass_kg[i],
            ..part(&name(&i), self.fails[i], needs(&self.needs[i]))
        });
        let functions = self
            .functions
            .iter()
            .enumerate()
            .map(|(i, n)| function(&format!("f{i}"), needs(n)));
        Kit::new(KitSpec {
            parts: parts.collect(),
            functions: functions.collect(),
        })
        .unwrap()
    }

    /// Works by definition: grows the set of served parts from nothing, in no clever order.
    pub fn vital(&self, whole: &[bool]) -> bool {
        let n = self.fails.len();
        let mut served = vec![false; n];
        let met = |needs: &Vec<Vec<usize>>, served: &[bool]| needs.iter().all(|any| any.iter().any(|p| served[*p]));
        for _ in 0..=n {
            let old = served.clone();
            for i in 0..n {
                let works = whole[i] && met(&self.needs[i], &old);
                let stood_in = self.stands.iter().any(|(s, of)| *of == i && old[*s]);
                served[i] = served[i] || works || stood_in;
            }
        }
        self.functions.iter().all(|f| met(f, &served))
    }

    /// Chance of success by visiting all 2^n states.
    pub fn chance(&self, taken: &[bool]) -> f64 {
        let n = self.fails.len();
        let mut total = 0.0;
        for state in 0..1_u32 << n {
            let whole: Vec<bool> = (0..n).map(|i| state >> i & 1 == 1).collect();
            if (0..n).any(|i| whole[i] && !taken[i]) {
                continue;
            }
            let p: f64 = (0..n)
                .filter(|i| taken[*i])
                .map(|i| if whole[i] { 1.0 - self.fails[i] } else { self.fails[i] })
                .product();
            if self.vital(&whole) {
                total += p;
            }
        }
        total
    }
}

fn list(from: usize, n: usize) -> BoxedStrategy<Vec<Vec<usize>>> {
    if from >= n {
        return Just(Vec::new()).boxed();
    }
    prop::collection::vec(prop::collection::vec(from..n, 1..=3), 0..=2).boxed()
}

/// Random kits of 2 to `most` parts; `all_carried` or with candidates.
pub fn raw(most: usize, all_carried: bool) -> impl Strategy<Value = Raw> {
    (2..=most).prop_flat_map(move |n| {
        let needs: Vec<_> = (0..n).map(|i| list(i + 1, n)).collect();
        let stand = (0..n, 1..n).prop_map(move |(s, step)| (s, (s + step) % n));
        (
            prop::collection::vec(0.0..1.0, n),
            needs,
            prop::collection::vec(stand, 0..=3),
            prop::collection::vec(prop::collection::vec(prop::collection::vec(0..n, 1..=3), 1..=2), 1..=2),
            prop::collection::vec(prop::bool::weighted(if all_carried { 1.0 } else { 0.4 }), n),
            prop::collection::vec((0_u32..10).prop_map(|m| f64::from(m) / 10.0), n),
        )
            .prop_map(|(fails, needs, stands, functions, carried, mass_kg)| Raw {
                fails,
                needs,
                stands,
                functions,
                carried,
                mass_kg,
            })
    })
}

/// A field station much like one that is really carried, with six candidates.
pub fn station() -> Kit {
    use PartClass::*;
    let p = |id: &str, class, role, mass_kg: f64, needs: &[&str]| Part {
        role,
        mass_kg,
        needs: needs.iter().map(|n| Need::one(*n)).collect(),
        ..Part::new(id, class)
    };
    let spare = |id: &str, class, of: &str, mass_kg: f64| Part {
        stands_in_for: vec![Id::ours(of)],
        carried: false,
        mass_kg,
        ..Part::new(id, class)
    };
    let mut parts = vec![
        p(
            "transceiver",
            Electronics,
            Some(Role::Transceiver),
            0.55,
            &["power-cable"],
        ),
        p("power-cable", Cable, None, 0.08, &["fuse", "battery"]),
        p("fuse", Fuse, None, 0.005, &[]),
        p("battery", Battery, None, 0.75, &[]),
        p("panel", Panel, None, 0.5, &[]),
        p("tuner", Electronics, Some(Role::Tuner), 0.2, &["jumper"]),
        p("jumper", Cable, None, 0.04, &[]),
        p(
            "modem",
            Electronics,
            Some(Role::Modem),
            0.12,
            &["audio-cable", "five-volt"],
        ),
        p("audio-cable", Cable, None, 0.03, &[]),
        p(
            "computer",
            Computer,
            Some(Role::Computer),
            0.45,
            &["five-volt", "mail-program"],
        ),
        p("mail-program", Software, None, 0.0, &[]),
        p("five-volt", Electronics, None, 0.05, &["battery"]),
        p("coax", Cable, Some(Role::FeedLine), 0.15, &[]),
        p("mast", Mechanical, None, 0.8, &[]),
        p("dipole", Wire, Some(Role::Antenna), 0.4, &["coax", "mast"]),
        p("end-fed", Wire, Some(Role::Antenna), 0.3, &["coax", "tuner"]),
        p("loop", Wire, Some(Role::Antenna), 1.1, &["coax"]),
        p("cord", Mechanical, None, 0.15, &[]),
        p("watch", Electronics, None, 0.05, &[]),
        p("phone", Computer, None, 0.2, &[]),
        p("shelter", Shelter, None, 1.9, &[]),
        spare("battery-2", Battery, "battery", 0.4),
        spare("power-cable-2", Cable, "power-cable", 0.07),
        Part {
            count: 2,
            ..spare("fuse-2", Fuse, "fuse", 0.005)
        },
        spare("audio-cable-2", Cable, "audio-cable", 0.03),
        spare("jumper-2", Cable, "jumper", 0.04),
        spare("modem-2", Electronics, "modem", 0.12),
    ];
    let at = |parts: &[Part], id: &str| parts.iter().position(|p| p.id == id).unwrap();
    let i = at(&parts, "end-fed");
    parts[i].needs.push(Need::any(["mast", "cord"]));
    let i = at(&parts, "battery");
    parts[i].recovery =
        vec!["Protection has tripped: connect charger or panel to release it, then wait ten seconds.".into()];
    let i = at(&parts, "phone");
    parts[i].stands_in_for = vec![Id::ours("watch")];
    let i = at(&parts, "power-cable-2");
    parts[i].needs = vec![Need::one("fuse-2"), Need::any(["battery", "battery-2"])];
    let i = at(&parts, "modem-2");
    parts[i].needs = vec![Need::any(["audio-cable", "audio-cable-2"]), Need::one("five-volt")];
    let any = |ids: &[&str]| Need::any(ids.iter().copied());
    Kit::new(KitSpec {
        parts,
        functions: vec![
            function(
                "send",
                vec![
                    any(&["transceiver"]),
                    any(&["modem"]),
                    any(&["computer"]),
                    any(&["dipole", "end-fed", "loop"]),
                ],
            ),
            function("time", vec![any(&["watch", "phone"])]),
            function("warm", vec![any(&["shelter"])]),
            Function {
                vital: false,
                ..function("charge", vec![any(&["panel"])])
            },
        ],
    })
    .unwrap()
}
