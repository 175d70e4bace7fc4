//! What a moved handle changes: the verdict, the best chance with each station, and the distances to keep, each beside what it was.

use farhop_outing::Outing;
use farhop_plan::Chance;
use farhop_plan::analysis::{Analysis, analyse};
use farhop_plan::safety::{safety_cases, safety_of};
use farhop_plan::watch::Unwatched;
use farhop_show::safety::in_plan::antenna_lines;
use maud::{Markup, html};

use super::Shown;
use crate::desk::Ready;
use crate::storage::Solutions;

/// The outing with the changed antenna.
fn other_outing(ready: &Ready, shown: &Shown) -> Result<Outing, String> {
    let mut parts = ready.outing.clone().into_parts();
    if let Some(antenna) = parts.kit.antennas.iter_mut().find(|a| a.id == shown.antenna.id) {
        *antenna = shown.changed.clone();
    }
    Outing::new(parts).map_err(|flaws| flaws.first().map_or_else(String::new, |f| f.cause.clone()))
}

/// Before and after, as a table.
pub fn effect(ready: &Ready, shown: &Shown, store: &Solutions) -> Markup {
    let made = other_outing(ready, shown).and_then(|outing| {
        analyse(&outing, store, &Unwatched)
            .map(|plan| (outing, plan))
            .map_err(|e| e.to_string())
    });
    let (outing, plan) = match made {
        Ok(made) => made,
        Err(why) => return html! { p.wrong { "That cannot be planned: " (why) "." } },
    };
    let (site, antenna) = (index_of_site(ready, shown), index_of_antenna(ready, shown));
    html! {
        table.list {
            thead { tr { th { "With these measures" } th.number { "as in the file" } th.number { "now" } } }
            tbody {
                @if let (Some(was), Some(now)) = (ready.plan.bottom, plan.bottom) {
                    (row("The verdict", Some(was.chance.chance), Some(now.chance.chance)))
                }
                @for (station, of) in ready.outing.stations.iter().enumerate() {
                    @let best = |plan: &Analysis| best(plan, (site, antenna, station));
                    (row(&format!("{}, best hour with this antenna", of.name), best(&ready.plan), best(&plan)))
                }
            }
        }
        p.small { "One call of the message that is due first. Half a point either way is luck of the draw." }
        @for line in distances(&outing, shown, ready, store) { p { (line) } }
    }
}

fn row(name: &str, was: Option<Chance>, now: Option<Chance>) -> Markup {
    let told = |chance: Option<Chance>| chance.map_or_else(|| "–".to_owned(), |c| format!("{} %", c.percent()));
    let better = was.map_or(0, |c| c.percent()) < now.map_or(0, |c| c.percent());
    html! {
        tr {
            th scope="row" { (name) }
            td.number { (told(was)) }
            td.number { @if better { b { (told(now)) } } @else { (told(now)) } @if let Some(now) = now { " " span.small { (now.word().word()) } } }
        }
    }
}

fn index_of_site(ready: &Ready, shown: &Shown) -> Option<usize> {
    ready.outing.sites.iter().position(|s| s.id == shown.site.id)
}

fn index_of_antenna(ready: &Ready, shown: &Shown) -> Option<usize> {
    ready.outing.kit.antennas.iter().position(|a| a.id == shown.antenna.id)
}

fn best(plan: &Analysis, (site, antenna, station): (Option<usize>, Option<usize>, usize)) -> Option<Chance> {
    let here = plan
        .hours
        .iter()
        .filter(|h| (Some(h.route.site), Some(h.route.antenna), h.route.station) == (site, antenna, station));
    here.map(|h| h.message)
        .max_by(|a, b| a.probability().total_cmp(&b.probability()))
}

/// The distances to keep on the shown frequency, worked out for these measures.
fn distances(outing: &Outing, shown: &Shown, ready: &Ready, store: &Solutions) -> Vec<String> {
    let (site, antenna) = (shown.site.id.as_str(), shown.antenna.id.as_str());
    let cases = safety_cases(outing, Some(site), Some(antenna));
    let own = cases.iter().filter(|case| case.channels_mhz.contains(&shown.freq_mhz));
    let all: Vec<_> = own.map(|case| safety_of(outing, case, store)).collect();
    antenna_lines(outing, &all, ready.reader.units)
}
