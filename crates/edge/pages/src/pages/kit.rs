//! What does the outing hang on? The graph of needs, weak points, spares, what can stay, and the packing list to tick off.

use std::sync::Arc;

use axum::extract::State;
use axum::response::Response;
use farhop_plan::Chance;
use farhop_show::kit::KitReport;
use farhop_show::kit::view::{AdditionView, BagView, KitView};
use maud::{Markup, html};

use crate::app::App;
use crate::assets::address;
use crate::delivery::outing_id;
use crate::desk::Ready;
use crate::pages::with_plan;
use crate::shell::{Context, Here, Page, page, parts, picture};

/// The page.
pub async fn show(State(app): State<Arc<App>>, context: Context) -> Response {
    let place = app.desk.storage().place();
    with_plan(&app, &context, Here::Kit, |ready, context| {
        let of = outing_id(place.as_deref(), &ready.outing);
        let (answer, body) = match (ready.kit_report(), &ready.plan.kit) {
            (Some(report), _) => (html! { (report.verdict()) }, body(ready, &report, &of)),
            (None, Err(why)) => (
                html! { "It cannot be told: " (why) },
                parts::edit_button(context, "/edit", "Edit the outing"),
            ),
            _ => (html! {}, html! {}),
        };
        page(
            context,
            Page {
                here: Here::Kit,
                question: "What does the outing hang on?",
                answer: Some(answer),
                body,
            },
        )
    })
}

fn body(ready: &Ready, report: &KitReport<'_>, of: &str) -> Markup {
    let view = report.view();
    html! {
        div.scroll.graph tabindex="0" role="region" aria-label="What needs what" {
            (picture(report.drawing(), "Functions are round, parts square; a thick ring has no stand-in. A broken line is one of several that would do."))
        }
        div.two {
            (alone(ready, &view))
            (add(ready, &view))
        }
        (stay(ready, &view))
        (packing(ready, &view, of))
        (parts::cautions("Cautions: batteries, charging, travel, cold", &view.cautions))
        (parts::why("What it rests on", &html! {
            p { (format!("{:.0}", view.hours_of_use_h)) " hours of use. Failures of parts without figures of their own are common practice, from memory; parts fail independently." }
            @if let Some(message) = &view.hardest_message { p { "The sky is that of the hardest message that matters, " (message) ", under the best schedule with a sound station." } }
            @for note in &view.notes { p { (note) "." } }
        }))
        script src=(address("kit.js")) type="module" {}
    }
}

fn alone(ready: &Ready, view: &KitView) -> Markup {
    let function = |id: &String| {
        let functions = &ready.outing.kit.functions;
        functions
            .iter()
            .find(|f| f.id.as_str() == id)
            .map_or(id.clone(), |f| f.name.clone())
    };
    html! {
        section {
            h2 { "Hangs on one part alone" }
            @if view.single_points.is_empty() { p { "Nothing does." } }
            table.list {
                thead { tr { th { "Part" } th.number { "Fails" } th { "Takes down" } } }
                tbody {
                    @for point in &view.single_points {
                        tr {
                            th scope="row" { (point.name) }
                            td.number { (format!("{:.1} %", 100.0 * point.fails)) }
                            td { (point.takes_down.iter().map(function).collect::<Vec<_>>().join(", ")) }
                        }
                    }
                }
            }
        }
    }
}

/// What a part is called; its id where the kit does not have it.
fn part_name(ready: &Ready, id: &str) -> String {
    let part = ready.outing.kit.parts.iter().find(|p| p.id.as_str() == id);
    part.map_or_else(|| id.to_owned(), |p| p.name.clone())
}

fn add(ready: &Ready, view: &KitView) -> Markup {
    let name = |id: &String| part_name(ready, id);
    let names = |a: &AdditionView| a.parts.iter().map(name).collect::<Vec<_>>().join(" with ");
    html! {
        section {
            h2 { "What to add, at most " (ready.reader.units.mass(view.limit_kg)) }
            @if view.best_set.steps.is_empty() { p { "Nothing that is written down as a candidate would help." } }
            ol {
                @for step in &view.best_set.steps {
                    li { b { (names(step)) } ", " (ready.reader.units.mass(step.mass_kg)) ": " (format!("{:+.1} points", step.gain_points)) }
                }
            }
            @if !view.best_set.steps.is_empty() {
                p { "All of it: " (ready.reader.units.mass(view.best_set.mass_kg)) ", from " (view.best_set.before.percent) " % to "
                    (parts::chance(Chance::new(view.best_set.after.probability))) "." }
            }
            (parts::why("Each alone", &html! {
                ul { @for a in &view.add { li { (names(a)) ", " (ready.reader.units.mass(a.mass_kg)) ": " (format!("{:+.1} points", a.gain_points)) } } }
            }))
        }
    }
}

fn stay(ready: &Ready, view: &KitView) -> Markup {
    let name = |id: &String| part_name(ready, id);
    let together = &view.can_stay_together;
    html! {
        section {
            h2 { "What can stay at home" }
            @if together.parts.is_empty() {
                p { "Nothing: every part that weighs something is needed." }
            } @else {
                p { (together.parts.iter().map(name).collect::<Vec<_>>().join(", ")) ": " (ready.reader.units.mass(together.mass_kg)) " less." }
            }
        }
    }
}

fn packing(ready: &Ready, view: &KitView, of: &str) -> Markup {
    html! {
        section #packing data-outing=(of) {
            h2 { "Packing list, " (ready.reader.units.mass(view.mass_kg)) }
            p.small { "Ticks stay in this browser, for this outing and its first day. Marked lines: the outing hangs on them, so two people look: one reads, the other touches; then change roles. Lines with + are the best set of spares." }
            div.bags {
                @for bag in &view.bags { (one_bag(ready, bag)) }
            }
            p { button type="button" data-clear="ticks" hidden { "Clear all ticks" } }
        }
    }
}

fn one_bag(ready: &Ready, bag: &BagView) -> Markup {
    html! {
        fieldset {
            legend { (bag.name) ", " (ready.reader.units.mass(bag.mass_kg)) }
            @for item in &bag.items {
                label.tick {
                    input type="checkbox" data-tick=(item.part);
                    span {
                        @if item.added { "+ " }
                        @if item.count > 1 { (item.count) " × " }
                        @if item.hangs_on_it { b { (item.name) } } @else { (item.name) }
                        @if item.mass_kg > 0.0 { span.small { " " (ready.reader.units.mass(item.mass_kg)) } }
                    }
                }
            }
        }
    }
}
