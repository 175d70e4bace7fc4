//! The kit as JSON sees it.

use farhop_kit::packing::{Bag, CheckStep, Item, Person};
use farhop_kit::spares::{Addition, Leave};
use farhop_kit::{Importance, PartIx, SinglePoint};
use farhop_plan::Chance;

use crate::kit::KitReport;
use crate::numbers::rounded;
use crate::plan_view::ChanceView;
use crate::views::views;

views! {
    /// The whole report.
    KitView(report: &KitReport<'_>) where {
        let readiness = report.readiness;
        let hardest = report.model.hardest.as_ref();
    } {
        verdict: String = report.verdict(),
        success: ChanceView = Chance::new(readiness.success.total).into(),
        kit_holds: f64 = rounded(readiness.success.kit, 4),
        charge_lasts: f64 = rounded(readiness.success.energy, 4),
        sky_carries: f64 = rounded(readiness.success.sky, 4),
        hardest_message: Option<String> = hardest.and_then(|h| report.outing.messages.get(h.message)).map(|m| m.id.to_string()),
        single_points: Vec<SinglePointView> = all(&readiness.single_points, |p| SinglePointView::new(report, p)),
        ways_to_fail: Vec<CutView> = all(&readiness.cuts.sets, |set| CutView::new(report, set)),
        ways_complete: bool = readiness.cuts.complete,
        importance: Vec<ImportanceView> = all(&readiness.importance, |i| ImportanceView::new(report, i)),
        limit_kg: f64 = report.limit_kg,
        add: Vec<AdditionView> = all(&readiness.additions, |a| AdditionView::new(report, a)),
        best_set: BestSetView = BestSetView::new(report),
        can_stay: Vec<StayView> = all(&readiness.can_stay, |l| StayView::new(report, l)),
        can_stay_together: StayTogetherView = StayTogetherView::new(report),
        bags: Vec<BagView> = all(&readiness.packing.bags, |b| BagView::new(report, b)),
        mass_kg: f64 = rounded(readiness.packing.mass_kg, 4),
        cross_check: Vec<CheckView> = all(&readiness.check_steps, |s| CheckView::new(report, s)),
        hours_of_use_h: f64 = rounded(report.model.assumed.circumstances.hours_h, 1),
        changeover_min: f64 = rounded(readiness.changeover_min, 2),
        notes: Vec<String> = report.model.notes.clone(),
        cautions: Vec<String> = crate::cautions::kit_cautions(report.outing),
    }

    /// One part on which something hangs alone.
    SinglePointView(report: &KitReport<'_>, point: &SinglePoint) {
        part: String = report.id(point.part),
        name: String = report.name(point.part).to_owned(),
        fails: f64 = rounded(report.fails(point.part), 5),
        takes_down: Vec<String> = report.function_ids(&point.functions),
        vital: bool = point.vital,
    }

    /// Parts whose failure together ends the outing.
    CutView(report: &KitReport<'_>, set: &[PartIx]) {
        parts: Vec<String> = report.ids(set),
        all_fail: f64 = rounded(set.iter().map(|p| report.fails(*p)).product(), 7),
    }

    /// Importance of one part.
    ImportanceView(report: &KitReport<'_>, of: &Importance) {
        part: String = report.id(of.part),
        fails: f64 = rounded(of.fails, 5),
        birnbaum: f64 = rounded(of.birnbaum, 5),
        fussell_vesely: f64 = rounded(of.fussell_vesely, 5),
        gain_points: f64 = rounded(of.gain_points, 3),
    }

    /// Something to add.
    AdditionView(report: &KitReport<'_>, addition: &Addition) {
        parts: Vec<String> = report.ids(&addition.parts),
        mass_kg: f64 = rounded(addition.mass_kg, 4),
        gain_points: f64 = rounded(addition.gain_points, 2),
        success_after: ChanceView = Chance::new(addition.after).into(),
    }

    /// The best set of spares.
    BestSetView(report: &KitReport<'_>) where { let choice = &report.readiness.choice; } {
        parts: Vec<String> = report.ids(&choice.parts),
        mass_kg: f64 = rounded(choice.mass_kg, 4),
        price: f64 = rounded(choice.price, 2),
        exact: bool = choice.exact,
        before: ChanceView = Chance::new(choice.before).into(),
        after: ChanceView = Chance::new(choice.after).into(),
        steps: Vec<AdditionView> = all(&report.readiness.steps, |a| AdditionView::new(report, a)),
    }

    /// A part that may stay at home.
    StayView(report: &KitReport<'_>, leave: &Leave) {
        part: String = report.id(leave.part),
        mass_kg: f64 = rounded(leave.mass_kg, 4),
        loss_points: f64 = rounded(leave.loss_points, 2),
        functions_lost: Vec<String> = report.function_ids(&leave.functions_lost),
    }

    /// Parts that may stay at home together.
    StayTogetherView(report: &KitReport<'_>) where { let together = &report.readiness.stay_together; } {
        parts: Vec<String> = report.ids(&together.parts),
        mass_kg: f64 = rounded(together.mass_kg, 4),
        loss_points: f64 = rounded(together.loss_points, 2),
    }

    /// One bag of the packing list.
    BagView(report: &KitReport<'_>, bag: &Bag) {
        name: String = bag.name.clone(),
        mass_kg: f64 = rounded(bag.mass_kg, 4),
        items: Vec<ItemView> = all(&bag.items, |i| ItemView::new(report, i)),
    }

    /// One line of the packing list.
    ItemView(report: &KitReport<'_>, item: &Item) {
        part: String = report.id(item.part),
        name: String = report.name(item.part).to_owned(),
        count: u32 = item.count,
        mass_kg: f64 = item.mass_kg,
        hangs_on_it: bool = item.vital_alone,
        added: bool = item.added,
    }

    /// One step of the check by two people.
    CheckView(report: &KitReport<'_>, step: &CheckStep) {
        bag: String = step.bag.clone(),
        part: String = report.id(step.part),
        count: u32 = step.count,
        packer_reads: bool = step.reads == Person::Packer,
        second_look: bool = step.second_look,
    }
}

fn all<T, V>(list: &[T], view: impl Fn(&T) -> V) -> Vec<V> {
    list.iter().map(view).collect()
}

impl KitReport<'_> {
    /// The report as JSON sees it.
    #[must_use]
    pub fn view(&self) -> KitView {
        KitView::new(self)
    }

    fn id(&self, part: PartIx) -> String {
        self.model.kit.part(part).id.to_string()
    }

    fn ids(&self, parts: &[PartIx]) -> Vec<String> {
        parts.iter().map(|p| self.id(*p)).collect()
    }

    fn function_ids(&self, places: &[usize]) -> Vec<String> {
        let functions = self.model.kit.functions();
        let of = places.iter().filter_map(|f| functions.get(*f));
        of.map(|f| f.id.to_string()).collect()
    }
}
