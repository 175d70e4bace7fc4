//! How the day stands: the advice and what it rests on, with the forms between, in the order in which a hand needs them.

use farhop_day::{DayState, Log, Standing, state};
use farhop_next::today::{NextStep, Whence, now_for};
use farhop_show::entries::listed;
use farhop_show::next::NextReport;
use farhop_show::next::view::{NextView, TryView};
use maud::{Markup, html};

use crate::desk::{Ready, Stage};
use crate::pages::field::calls::{ToSend, advised, any};
use crate::pages::field::{Scene, forms, steps};
use crate::pages::ribbon::{self, ribbon};
use crate::pages::waiting::again_button;
use crate::shell::{Context, parts};

/// Entries that are listed with the way to take them back.
const LAST: usize = 4;

/// Messages that can have been sent, the most urgent first, with the bytes that are still to go.
fn to_send(day: &DayState) -> Vec<ToSend> {
    let left = day.left().into_iter().filter_map(|id| day.message(id));
    left.map(|m| ToSend {
        id: m.id().to_owned(),
        bytes: m.left_bytes(),
        in_part: m.sent_bytes > 0,
        to: m.message.to.iter().map(ToString::to_string).collect(),
    })
    .collect()
}

/// The answer, and the page below it.
pub(crate) fn with_step(
    scene: &Scene,
    ready: &Ready,
    step: &NextStep,
    whence: Whence,
    entries: &Log,
) -> (Markup, Markup) {
    let report = NextReport {
        step,
        reader: ready.reader.clone(),
    };
    let view = report.view();
    let calling = report.leads_to_a_call();
    let messages = to_send(&step.today);
    let best = view.best.as_ref().filter(|_| calling);
    let day = html! {
        (clock_line(scene, ready, &view.charge))
        div.field-columns {
            div {
                @for line in step.today.announcements() { p.harm { (line) } }
                @for sign in report.signs() { p.harm { (sign) } }
                @if let Some(best) = best { (big_facts(scene, best)) }
                @if calling {
                    @if let Some(send) = &view.send { p { (send) } }
                    @if let Some(hang) = &view.hang { p.small { (hang) } }
                }
                @if scene.context.logs() {
                    (steps::step(scene.outing(), step, best))
                    @if let Some(best) = best { (advised(scene.outing(), &best.station, best.freq_mhz, &messages, &best.messages)) }
                    (any(scene.outing(), &messages, best.is_none()))
                } @else { (forms::only_looks()) }
            }
            div {
                @if scene.context.logs() {
                    (forms::reading(scene.outing(), best.map(|b| b.freq_mhz)))
                    (forms::anything(scene.outing()))
                }
            }
        }
        (ribbon(ready, next_hours(step), "The next hours: calls as planned at home, with what came of the messages so far."))
        section {
            h2 { "Instead" }
            ul {
                @for other in &view.alternatives { li { (other.words) ": " b { (other.chance.percent) " %" } " " (other.chance.word) } }
                @if view.alternatives.is_empty() { li { "Nothing else is open now." } }
            }
        }
        @if !view.suspects.is_empty() && view.calls_so_far > 0 {
            section #suspects {
                h2 { "What may be behind the silence" }
                ul { @for suspect in &view.suspects { li { (suspect.what) " " span.small { (format!("{:.0} %", 100.0 * suspect.probability)) } } } }
                p { a.button href="/fault" { "Find the fault, with what the day has shown" } }
            }
        }
        (parts::why("Why", &html! { ul { @for reason in &view.reasons { li { (reason) } } } }))
        (things(scene, &report, &view, entries))
        @if whence != Whence::Clock {
            p.small { "The clock is not within the outing: this looks from " (ready.reader.instant(step.today.now)) "." }
        }
    };
    (html! { (report.advice()) }, day)
}

/// What the day has come to, and the last entries.
fn things(scene: &Scene, report: &NextReport<'_>, view: &NextView, entries: &Log) -> Markup {
    html! {
        section {
            h2 { "How things stand" }
            p { (report.window()) }
            p { (view.charge) }
            p { (view.sun) }
            p { @if view.messages_left.is_empty() { "No message is left." } @else { "Left: " (view.messages_left.join(", ")) "." } }
            (last_entries(scene, entries))
        }
    }
}

/// Whom, where, with what and how long, large: what the hands need.
fn big_facts(scene: &Scene, best: &TryView) -> Markup {
    let antenna = scene
        .outing()
        .kit
        .antenna(&best.antenna)
        .map_or(best.antenna.as_str(), |a| a.name.as_str());
    html! {
        dl.big {
            div { dt { "call" } dd { (best.callsign) } }
            div { dt { "MHz" } dd { (best.freq_mhz) } }
            div { dt { "antenna" } dd { (antenna) } }
            div { dt { "insist" } dd { (format!("{:.0} min", best.insist_min.ceil())) } }
        }
    }
}

/// Hours ahead that the ribbon shows on the hill, s.
const AHEAD_S: i64 = 12 * 3_600;

/// What of the ribbon helps on the hill: from an hour ago on, as far as the outing goes.
fn next_hours(step: &NextStep) -> ribbon::Asked<'_> {
    let today = &step.today;
    let from = today.now.add_s(-3_600);
    ribbon::Asked {
        today: Some(today),
        window: Some((from, from.add_s(AHEAD_S))),
        day: true,
        lead_only: false,
        stations: true,
    }
}

/// The page while there is no advice: entries are taken all the same.
pub(crate) fn without_step(scene: &Scene, more: &Markup, entries: &Log) -> Markup {
    let standing = entries.standing();
    let now = now_for(scene.outing(), standing, scene.target.clock()).0;
    let day = state(standing, scene.outing(), now);
    let messages = to_send(&day);
    html! {
        @for line in day.announcements() { p.harm { (line) } }
        (more)
        @if scene.context.logs() {
            div.field-columns {
                div { (any(scene.outing(), &messages, true)) }
                div {
                    (forms::reading(scene.outing(), None))
                    (forms::anything(scene.outing()))
                }
            }
        } @else { (forms::only_looks()) }
        section { h2 { "Last entries" } (last_entries(scene, entries)) }
    }
}

/// What a stage without a plan says on this page.
pub(crate) fn stage_words(stage: &Stage) -> String {
    let why = match stage {
        Stage::Ready(_) => "",
        Stage::Working(_) => "The plan is being made.",
        Stage::Missing => "The outing's file is gone.",
        Stage::Unreadable(_) => "The outing's file cannot be read.",
        Stage::Broken(_) => "The outing's file has errors.",
        Stage::Stopped => "The plan was stopped.",
        Stage::Failed(_) => "No plan can be made.",
    };
    format!("{why} What happens can be entered all the same.")
}

/// What can be done about it.
pub(crate) fn stage_more(context: &Context, stage: &Stage, turn: u64) -> Markup {
    match stage {
        Stage::Working(_) => html! {
            div #making data-turn=(turn) {
                progress aria-label="Progress" {}
                noscript { p { a href="/field" { "Look again" } " after a while." } }
            }
        },
        Stage::Broken(_) => parts::edit_button(context, "/edit/text", "Mend the file"),
        Stage::Unreadable(why) => html! { p { (why) } },
        Stage::Failed(why) => html! { p { (why) } (again_button(context)) },
        Stage::Stopped => again_button(context),
        Stage::Missing | Stage::Ready(_) => html! {},
    }
}

fn clock_line(scene: &Scene, ready: &Ready, charge: &str) -> Markup {
    html! {
        p.clock data-offset=(offset_s(scene, ready)) { span data-clock="local" {} " " span data-clock="utc" {} }
        p.small.charge { (charge) }
    }
}

/// Seconds by which the outing's local time is ahead of UTC now.
fn offset_s(scene: &Scene, ready: &Ready) -> i32 {
    let now = jiff::Timestamp::from_millisecond(scene.target.desk.runtime().now_ms());
    now.map_or(0, |now| ready.reader.zone.to_offset(now).seconds())
}

/// The last entries that count, the newest first; how many there are besides, and where.
fn last_entries(scene: &Scene, entries: &Log) -> Markup {
    let standing = entries.standing();
    let mut last: Vec<&Standing> = Vec::with_capacity(LAST + 1);
    for entry in standing {
        let place = last.partition_point(|s| s.number > entry.number);
        if place < LAST {
            last.insert(place, entry);
            last.truncate(LAST);
        }
    }
    let before = standing.len() - last.len();
    html! {
        @if last.is_empty() { p { "Nothing has been entered yet." } }
        ul.entries { @for entry in &last { (forms::stored(entry.key.as_str(), &listed(entry, scene.outing()), scene.context.logs())) } }
        @if before > 0 { p.small { (before) " more before them, in " a href="/debrief" { "the story of the day" } "." } }
    }
}
