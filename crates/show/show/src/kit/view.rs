//! The kit as JSON sees it.

use farhop_kit::PartIx;
use farhop_kit::spares::Addition;
use farhop_plan::Chance;
use serde::Serialize;

use crate::kit::KitReport;
use crate::numbers::rounded;
use crate::plan_view::ChanceView;

/// The whole report.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "ids and names of the outing file, and numbers with units in the keys"
)]
pub struct KitView {
    pub verdict: String,
    pub success: ChanceView,
    pub kit_holds: f64,
    pub charge_lasts: f64,
    pub sky_carries: f64,
    pub hardest_message: Option<String>,
    pub single_points: Vec<SinglePointView>,
    pub ways_to_fail: Vec<CutView>,
    pub ways_complete: bool,
    pub importance: Vec<ImportanceView>,
    pub limit_kg: f64,
    pub add: Vec<AdditionView>,
    pub best_set: BestSetView,
    pub can_stay: Vec<StayView>,
    pub can_stay_together: StayTogetherView,
    pub bags: Vec<BagView>,
    pub mass_kg: f64,
    pub cross_check: Vec<CheckView>,
    pub hours_of_use_h: f64,
    pub changeover_min: f64,
    pub notes: Vec<String>,
    pub cautions: Vec<String>,
}

/// One part on which something hangs alone.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "ids and names of the outing file, and numbers with units in the keys"
)]
pub struct SinglePointView {
    pub part: String,
    pub name: String,
    pub fails: f64,
    pub takes_down: Vec<String>,
    pub vital: bool,
}

/// Parts whose failure together ends the outing.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "ids of the outing file")]
pub struct CutView {
    pub parts: Vec<String>,
    pub all_fail: f64,
}

/// Importance of one part.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "the usual names of importance measures")]
pub struct ImportanceView {
    pub part: String,
    pub fails: f64,
    pub birnbaum: f64,
    pub fussell_vesely: f64,
    pub gain_points: f64,
}

/// Something to add.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "ids of the outing file, and numbers with units in the keys")]
pub struct AdditionView {
    pub parts: Vec<String>,
    pub mass_kg: f64,
    pub gain_points: f64,
    pub success_after: ChanceView,
}

/// The best set of spares.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "ids of the outing file, and numbers with units in the keys")]
pub struct BestSetView {
    pub parts: Vec<String>,
    pub mass_kg: f64,
    pub price: f64,
    pub exact: bool,
    pub before: ChanceView,
    pub after: ChanceView,
    pub steps: Vec<AdditionView>,
}

/// A part that may stay at home.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "ids of the outing file, and numbers with units in the keys")]
pub struct StayView {
    pub part: String,
    pub mass_kg: f64,
    pub loss_points: f64,
    pub functions_lost: Vec<String>,
}

/// Parts that may stay at home together.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "ids of the outing file, and numbers with units in the keys")]
pub struct StayTogetherView {
    pub parts: Vec<String>,
    pub mass_kg: f64,
    pub loss_points: f64,
}

/// One bag of the packing list.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "names of the outing file, and numbers with units in the keys"
)]
pub struct BagView {
    pub name: String,
    pub mass_kg: f64,
    pub items: Vec<ItemView>,
}

/// One line of the packing list.
#[derive(Clone, Debug, Serialize)]
#[allow(
    missing_docs,
    reason = "ids and names of the outing file, and numbers with units in the keys"
)]
pub struct ItemView {
    pub part: String,
    pub name: String,
    pub count: u32,
    pub mass_kg: f64,
    pub hangs_on_it: bool,
    pub added: bool,
}

/// One step of the check by two people.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs, reason = "ids and names of the outing file")]
pub struct CheckView {
    pub bag: String,
    pub part: String,
    pub count: u32,
    pub packer_reads: bool,
    pub second_look: bool,
}

impl KitReport<'_> {
    /// The report as JSON sees it.
    #[must_use]
    pub fn view(&self) -> KitView {
        let readiness = self.readiness;
        let success = readiness.success;
        let hardest = self.model.hardest.as_ref();
        let message = hardest.and_then(|h| self.outing.messages.get(h.message));
        KitView {
            verdict: self.verdict(),
            success: Chance::new(success.total).into(),
            kit_holds: rounded(success.kit, 4),
            charge_lasts: rounded(success.energy, 4),
            sky_carries: rounded(success.sky, 4),
            hardest_message: message.map(|m| m.id.to_string()),
            single_points: self.single_point_views(),
            ways_to_fail: self.cut_views(),
            ways_complete: readiness.cuts.complete,
            importance: self.importance_views(),
            limit_kg: self.limit_kg,
            add: readiness.additions.iter().map(|a| self.addition(a)).collect(),
            best_set: self.best_set(),
            can_stay: self.stay_views(),
            can_stay_together: StayTogetherView {
                parts: self.ids(&readiness.stay_together.parts),
                mass_kg: rounded(readiness.stay_together.mass_kg, 4),
                loss_points: rounded(readiness.stay_together.loss_points, 2),
            },
            bags: self.bag_views(),
            mass_kg: rounded(readiness.packing.mass_kg, 4),
            cross_check: self.check_views(),
            hours_of_use_h: rounded(self.model.assumed.circumstances.hours_h, 1),
            changeover_min: rounded(readiness.changeover_min, 2),
            notes: self.model.notes.clone(),
            cautions: crate::cautions::kit_cautions(self.outing),
        }
    }

    fn id(&self, part: PartIx) -> String {
        self.model.kit.part(part).id.clone()
    }

    fn ids(&self, parts: &[PartIx]) -> Vec<String> {
        parts.iter().map(|p| self.id(*p)).collect()
    }

    fn function_ids(&self, places: &[usize]) -> Vec<String> {
        let functions = self.model.kit.functions();
        places
            .iter()
            .filter_map(|f| functions.get(*f))
            .map(|f| f.id.clone())
            .collect()
    }

    fn single_point_views(&self) -> Vec<SinglePointView> {
        let view = |p: &farhop_kit::SinglePoint| SinglePointView {
            part: self.id(p.part),
            name: self.name(p.part).to_owned(),
            fails: rounded(self.fails(p.part), 5),
            takes_down: self.function_ids(&p.functions),
            vital: p.vital,
        };
        self.readiness.single_points.iter().map(view).collect()
    }

    fn cut_views(&self) -> Vec<CutView> {
        let view = |set: &Vec<PartIx>| CutView {
            parts: self.ids(set),
            all_fail: rounded(set.iter().map(|p| self.fails(*p)).product(), 7),
        };
        self.readiness.cuts.sets.iter().map(view).collect()
    }

    fn importance_views(&self) -> Vec<ImportanceView> {
        let view = |i: &farhop_kit::Importance| ImportanceView {
            part: self.id(i.part),
            fails: rounded(i.fails, 5),
            birnbaum: rounded(i.birnbaum, 5),
            fussell_vesely: rounded(i.fussell_vesely, 5),
            gain_points: rounded(i.gain_points, 3),
        };
        self.readiness.importance.iter().map(view).collect()
    }

    fn addition(&self, addition: &Addition) -> AdditionView {
        AdditionView {
            parts: self.ids(&addition.parts),
            mass_kg: rounded(addition.mass_kg, 4),
            gain_points: rounded(addition.gain_points, 2),
            success_after: Chance::new(addition.after).into(),
        }
    }

    fn best_set(&self) -> BestSetView {
        let choice = &self.readiness.choice;
        BestSetView {
            parts: self.ids(&choice.parts),
            mass_kg: rounded(choice.mass_kg, 4),
            price: rounded(choice.price, 2),
            exact: choice.exact,
            before: Chance::new(choice.before).into(),
            after: Chance::new(choice.after).into(),
            steps: self.readiness.steps.iter().map(|a| self.addition(a)).collect(),
        }
    }

    fn stay_views(&self) -> Vec<StayView> {
        let view = |l: &farhop_kit::spares::Leave| StayView {
            part: self.id(l.part),
            mass_kg: rounded(l.mass_kg, 4),
            loss_points: rounded(l.loss_points, 2),
            functions_lost: self.function_ids(&l.functions_lost),
        };
        self.readiness.can_stay.iter().map(view).collect()
    }

    fn bag_views(&self) -> Vec<BagView> {
        let item = |i: &farhop_kit::packing::Item| ItemView {
            part: self.id(i.part),
            name: self.name(i.part).to_owned(),
            count: i.count,
            mass_kg: i.mass_kg,
            hangs_on_it: i.vital_alone,
            added: i.added,
        };
        let bag = |b: &farhop_kit::packing::Bag| BagView {
            name: b.name.clone(),
            mass_kg: rounded(b.mass_kg, 4),
            items: b.items.iter().map(item).collect(),
        };
        self.readiness.packing.bags.iter().map(bag).collect()
    }

    fn check_views(&self) -> Vec<CheckView> {
        let view = |s: &farhop_kit::packing::CheckStep| CheckView {
            bag: s.bag.clone(),
            part: self.id(s.part),
            count: s.count,
            packer_reads: s.reads == farhop_kit::packing::Person::Packer,
            second_look: s.second_look,
        };
        self.readiness.check_steps.iter().map(view).collect()
    }
}
