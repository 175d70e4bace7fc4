//! Steps that are no call: check, listen, hang, move. A button each for how they begin and how they end.

use farhop_next::Action;
use farhop_next::today::{NextStep, own::told_as};
use farhop_outing::Outing;
use farhop_show::next::view::TryView;
use farhop_show::own_fault::{class_words, typed_as};
use maud::{Markup, html};
use serde_json::{Value, json};

/// Minutes of listening that one touch stands for.
const LISTENED_MIN: f64 = 10.0;

/// A button with the event that it enters.
struct Touch {
    /// What stands on it.
    label: String,
    /// What it is called in the list of entries that wait.
    name: String,
    event: Value,
}

fn touch(label: &str, name: &str, event: Value) -> Touch {
    Touch {
        label: label.to_owned(),
        name: name.to_owned(),
        event,
    }
}

/// The buttons of the step, under a heading of its own; nothing where a call is the step.
pub fn step(outing: &Outing, step: &NextStep, best: Option<&TryView>) -> Markup {
    let (heading, touches) = match step.step.action {
        Action::Check(class) => ("The check", check(step, class)),
        Action::Listen => ("What was heard?", listen(outing, best)),
        Action::Hang(antenna, _) => ("The antenna", hang(outing, antenna)),
        Action::Move(site, _) => ("The way", walk(outing, site)),
        Action::Wait(_) => ("What is under way", under_way(outing, step)),
        Action::Call | Action::Rest(_) | Action::Done => return html! {},
    };
    html! {
        @if !touches.is_empty() {
            section #step {
                h2 { (heading) }
                div.outcomes {
                    @for (index, of) in touches.iter().enumerate() {
                        form #{ "step-" (index) }.entry method="post" action="/field/log" data-kind="event" data-name=(of.name) {
                            input type="hidden" name="event" value=(of.event);
                            button { (of.label) }
                        }
                    }
                }
            }
        }
    }
}

fn check(step: &NextStep, class: farhop_days::FaultClass) -> Vec<Touch> {
    let today = &step.today;
    let word = told_as(class).word();
    if let Some(fault) = today.open_faults().find(|f| f.class.word() == word) {
        let name = format!("Mended: {}", fault.what);
        return vec![touch("It works again", &name, json!({"mended": {"what": fault.what}}))];
    }
    vec![
        touch(
            "Check begun",
            "Check of the own station begun",
            json!({"begun": {"task": {"check": {"what": typed_as(class)}}}}),
        ),
        touch(
            "Nothing wrong",
            "Checked: nothing wrong",
            json!({"mended": {"what": "nothing was wrong", "class": word}}),
        ),
        touch(
            "Found a fault",
            &format!("Fault found: {}", class_words(class)),
            json!({"fault": {"what": class_words(class), "class": word}}),
        ),
    ]
}

fn listen(outing: &Outing, best: Option<&TryView>) -> Vec<Touch> {
    let Some(best) = best else { return Vec::new() };
    let name = outing
        .station(&best.station)
        .map_or(best.station.as_str(), |s| s.name.as_str());
    let (station, freq_mhz) = (&best.station, best.freq_mhz);
    vec![
        touch(
            "Heard it",
            &format!("{name} heard on {freq_mhz} MHz"),
            json!({"heard": {"who": {"station": station}, "freq_mhz": freq_mhz}}),
        ),
        touch(
            "Not heard",
            &format!("{name} not heard on {freq_mhz} MHz"),
            json!({"silent": {"station": station, "freq_mhz": freq_mhz, "minutes": LISTENED_MIN}}),
        ),
        touch(
            "Band is dead",
            &format!("Nothing at all on {freq_mhz} MHz"),
            json!({"band-dead": {"freq_mhz": freq_mhz}}),
        ),
    ]
}

fn hang(outing: &Outing, antenna: usize) -> Vec<Touch> {
    let Some(of) = outing.kit.antennas.get(antenna) else {
        return Vec::new();
    };
    let id = of.id.as_str();
    vec![
        touch(
            "Hanging begun",
            &format!("Began to hang {}", of.name),
            json!({"begun": {"task": {"hang": {"antenna": id}}}}),
        ),
        is_up(&of.name, id),
    ]
}

fn is_up(name: &str, id: &str) -> Touch {
    touch(
        "It is up",
        &format!("{name} is up"),
        json!({"antenna": {"antenna": id}}),
    )
}

fn walk(outing: &Outing, site: usize) -> Vec<Touch> {
    let Some(of) = outing.sites.get(site) else {
        return Vec::new();
    };
    let id = of.id.as_str();
    vec![
        touch(
            "On the way",
            &format!("Leave for {}", of.name),
            json!({"begun": {"task": {"walk": {"site": id}}}}),
        ),
        touch("I am there", &format!("At {}", of.name), json!({"moved": {"site": id}})),
    ]
}

/// How the task that one waits for ends.
fn under_way(outing: &Outing, step: &NextStep) -> Vec<Touch> {
    use farhop_day::Task;
    let Some(task) = &step.today.task else {
        return Vec::new();
    };
    match &task.task {
        Task::Hang { antenna } => {
            let name = outing
                .kit
                .antenna(antenna)
                .map_or(antenna.as_str(), |a| a.name.as_str());
            vec![is_up(name, antenna)]
        }
        Task::Walk { site } => {
            let name = outing.site(site).map_or(site.as_str(), |s| s.name.as_str());
            vec![touch(
                "I am there",
                &format!("At {name}"),
                json!({"moved": {"site": site}}),
            )]
        }
        Task::Check { what } => vec![
            touch(
                "Nothing wrong",
                "Checked: nothing wrong",
                json!({"mended": {"what": "nothing was wrong", "class": class_in(what)}}),
            ),
            touch(
                "Found a fault",
                &format!("Fault found: {what}"),
                json!({"fault": {"what": what, "class": class_in(what)}}),
            ),
        ],
    }
}

/// The class that the words of a check name, else another one.
fn class_in(what: &str) -> &'static str {
    let named = farhop_days::FaultClass::ALL
        .into_iter()
        .find(|c| what.contains(typed_as(*c)));
    named.map_or("other", |c| told_as(c).word())
}
