//! Stations drawn by lot, for trials of the search and of speed. Invented through and through.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use farhop_gear::{Function, Id, Need, Part, PartClass, Role};
use farhop_kit::{Kit, KitError, KitSpec};

struct Draw {
    rng: ChaCha8Rng,
    parts: Vec<Part>,
}

impl Draw {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.rng.random::<f64>()
    }

    fn chance(&mut self, p: f64) -> bool {
        self.rng.random::<f64>() < p
    }

    /// Adds a part with a chance of failure of 0.3 to 10 % and half a minute to ten minutes to check.
    fn part(&mut self, id: &str, class: PartClass, role: Option<Role>, needs: &[&str]) -> String {
        let id = format!("{id}-{}", self.parts.len());
        let part = Part {
            role,
            needs: needs.iter().map(|n| Need::one(*n)).collect(),
            fail_per_outing: Some(10_f64.powf(self.between(-2.5, -1.0))),
            fail_per_hour: Some(0.0),
            check_min: self.between(0.5, 10.0),
            mass_kg: self.between(0.01, 0.8),
            ..Part::new(id.clone(), class)
        };
        self.parts.push(part);
        id
    }

    /// A chain of cables, connectors and fuses behind something; the id of the last.
    fn leads(&mut self, from: Option<&str>, least: usize, most: usize) -> Option<String> {
        let mut last = from.map(str::to_owned);
        let count = least + (self.rng.random::<f64>() * (most - least + 1) as f64) as usize;
        for _ in 0..count {
            let class = match (self.between(0.0, 3.0) as u8, from) {
                (0, _) => PartClass::Connector,
                (1, Some(_)) => PartClass::Fuse,
                _ => PartClass::Cable,
            };
            let needs: Vec<&str> = last.as_deref().into_iter().collect();
            last = Some(self.part("lead", class, None, &needs));
        }
        last
    }

    /// Doubles each part with a given chance, as a candidate that stands in for it.
    fn spares(&mut self, share: f64) {
        for i in 0..self.parts.len() {
            if self.chance(share) {
                let original = self.parts[i].clone();
                let mass_kg = self.between(0.02, 0.5);
                self.parts.push(Part {
                    id: Id::ours(format!("{}-spare", original.id)),
                    stands_in_for: vec![original.id.clone()],
                    carried: false,
                    mass_kg,
                    ..original
                });
            }
        }
    }
}

/// A station with battery, leads, radio, modem, computer and one to three antennas; `spare_share` (dimensionless, 0 to
/// 1) of its parts have a spare as candidate.
///
/// # Errors
/// None in practice: what is drawn is a valid kit.
pub fn random_station(seed: u64, spare_share: f64) -> Result<Kit, KitError> {
    let mut d = Draw {
        rng: ChaCha8Rng::seed_from_u64(seed),
        parts: Vec::new(),
    };
    let battery = d.part("battery", PartClass::Battery, None, &[]);
    let main = d.leads(Some(&battery), 0, 2).unwrap_or(battery);
    let radio_feed = d.leads(Some(&main), 1, 3).unwrap_or_default();
    let radio = d.part("radio", PartClass::Electronics, Some(Role::Transceiver), &[&radio_feed]);
    let converter = d.part("converter", PartClass::Electronics, Some(Role::PowerLink), &[&main]);
    let own = d.chance(0.3);
    let second = if own {
        d.part("cell", PartClass::Battery, None, &[])
    } else {
        converter.clone()
    };
    let computer_feed = d.leads(Some(&second), 0, 2).unwrap_or(second);
    let program = d.part("program", PartClass::Software, None, &[]);
    let computer = d.part("computer", PartClass::Computer, None, &[&computer_feed, &program]);
    let signal = d.leads(None, 1, 2).unwrap_or_default();
    let modem = d.part(
        "modem",
        PartClass::Electronics,
        Some(Role::Modem),
        &[&converter, &signal],
    );
    let coax = d.leads(None, 1, 3).unwrap_or_default();
    let mast = d.part("mast", PartClass::Mechanical, None, &[]);
    let mut antennas = vec![d.part("wire", PartClass::Wire, None, &[&coax, &mast])];
    if d.chance(0.6) {
        let jumper = d.part("jumper", PartClass::Cable, None, &[]);
        let tuner = d.part("tuner", PartClass::Electronics, Some(Role::Tuner), &[&jumper]);
        antennas.insert(0, d.part("long-wire", PartClass::Wire, None, &[&coax, &tuner]));
    }
    if d.chance(0.4) {
        antennas.push(d.part("loop", PartClass::Wire, None, &[&coax]));
    }
    d.spares(spare_share);
    let needs = vec![
        Need::one(radio),
        Need::one(modem),
        Need::one(computer),
        Need::any(antennas),
    ];
    Kit::new(KitSpec {
        parts: d.parts,
        functions: vec![Function {
            id: Id::ours("send"),
            name: "Send a message".into(),
            needs,
            vital: true,
        }],
    })
}
