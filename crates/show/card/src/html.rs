//! The same content for a phone: one file that reflows and needs nothing else.

use std::fmt::Write as _;

use crate::content::{Bar, Body, Call, Card, HourLine, HourTable, Hung, Line, Panel, Table};
use crate::layout;
use crate::letters::Letters;
use crate::svg::picture;
use farhop_show::sheet::escaped;

/// Width and height of a drawing, pt.
const DRAWING_PT: (f64, f64) = (360.0, 150.0);

/// How it looks: large letters, one hand, black on white, or white on black where the phone is set so.
const STYLE: &str = r#":root { --ink: #000; --paper: #fff }
@media (prefers-color-scheme: dark) { :root { --ink: #fff; --paper: #000 } svg { filter: invert(1) } }
body { margin: 0 auto; max-width: 46rem; padding: 0 .8rem 3rem; font: 1.1rem/1.4 "IBM Plex Sans Condensed", sans-serif; color: var(--ink); background: var(--paper) }
h1 { font-size: 1.7rem; line-height: 1.15; margin: 2rem 0 .2rem; border-bottom: .25rem solid }
h2 { font-size: 1.1rem; background: var(--ink); color: var(--paper); padding: .2rem .5rem; margin: 1.4rem 0 .4rem }
nav a { display: inline-block; padding: .8rem .9rem .8rem 0; color: inherit; min-height: 1.4rem }
p { margin: .35rem 0 } p.large { font-size: 1.35rem } p.branch { margin-left: 1rem } p.strap { margin-bottom: .8rem }
table { border-collapse: collapse; width: 100% } th, td { text-align: left; vertical-align: top; padding: .3rem .6rem .3rem 0; border-bottom: 2px solid }
.hours tr.day td { font-size: 1.25rem; font-weight: 600; padding-top: 1rem }
.hours .time b, .khz { font-size: 1.5rem; font-weight: 600; font-variant-numeric: tabular-nums }
.hours small { display: block }
.call { font-weight: 600 } .wire { background: var(--ink); color: var(--paper); padding: 0 .35rem }
.dots { letter-spacing: .05rem } svg { max-width: 100%; height: auto; display: block; margin: .4rem 0 }
meter { width: 100%; height: 1.2rem }
@media (max-width: 34rem) {
  .hours thead { display: none } .hours tr { display: block; border-bottom: 3px solid; padding: .5rem 0 } .hours td { display: block; border: 0; padding: .1rem 0 }
  .hours td.c1 .khz { font-size: 2rem }
}
@media print { nav { display: none } h2 { background: none; color: #000; border-bottom: 2px solid } }
"#;

/// The page; `faces` are the rules of a style sheet that bring the letters along.
#[must_use]
pub fn html(card: &Card, letters: &Letters, faces: &str) -> String {
    let title = escaped(&format!("Field card: {}", card.title));
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{title}</title>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><meta name=\"author\" content=\"{}\">\n\
         <style>\n{faces}{STYLE}</style></head><body>\n",
        escaped(&card.author)
    );
    out.push_str("<nav>");
    for (k, chapter) in card.chapters.iter().enumerate() {
        let _ = write!(out, "<a href=\"#c{k}\">{}</a> ", escaped(&chapter.title));
    }
    out.push_str("</nav>\n<main>\n");
    for (k, chapter) in card.chapters.iter().enumerate() {
        let _ = writeln!(out, "<section id=\"c{k}\"><h1>{}</h1>", escaped(&chapter.title));
        if !chapter.strap.is_empty() {
            let _ = writeln!(out, "<p class=\"strap\">{}</p>", escaped(&chapter.strap));
        }
        for panel in &chapter.panels {
            out.push_str(&one(card, panel, letters));
        }
        out.push_str("</section>\n");
    }
    let _ = writeln!(
        out,
        "</main>\n<footer><p>{}</p></footer>\n</body></html>",
        escaped(&card.foot)
    );
    out
}

fn one(card: &Card, panel: &Panel, letters: &Letters) -> String {
    let body = match &panel.body {
        Body::Hours(table) => hours(table),
        Body::Lines(lines) => lines.iter().map(line).collect(),
        Body::Table(table) => plain_table(table),
        Body::Hang(hung) => hung.iter().map(|h| antenna(card, h, letters)).collect(),
        Body::Charge(lines, bars) => lines.iter().map(line).chain([charge(bars)]).collect(),
        // Whoever reads this page has the words already.
        Body::Codes(_) => return String::new(),
    };
    let heading = panel.heading.map_or_else(String::new, |h| format!("<h2>{h}</h2>\n"));
    heading + &body
}

fn line(line: &Line) -> String {
    let class = match (line.large, line.indent) {
        (true, _) => " class=\"large\"",
        (_, true) => " class=\"branch\"",
        _ => "",
    };
    let lead = if line.lead.is_empty() {
        String::new()
    } else {
        format!("<b>{}</b> ", escaped(&line.lead))
    };
    format!("<p{class}>{lead}{}</p>\n", escaped(&line.text))
}

fn hours(table: &HourTable) -> String {
    let mut out = format!(
        "<p>{} Degrees: on the compass. ●●● likely, ●●○ about even, ●○○ unlikely, ○○○ very unlikely.</p>\n\
         <table class=\"hours\"><thead><tr><th>Now is</th><th>1 call</th><th>2 after 10 min</th><th>3 then</th></tr></thead>\n",
        escaped(&table.dial.told())
    );
    for line in &table.lines {
        match line {
            HourLine::Day { day, zone } => {
                let _ = writeln!(
                    out,
                    "<tr class=\"day\"><td colspan=\"4\">{} {}</td></tr>",
                    escaped(day),
                    escaped(zone)
                );
            }
            HourLine::Note(words) => {
                let _ = writeln!(out, "<tr><td colspan=\"4\">{}</td></tr>", escaped(words));
            }
            HourLine::Row(row) => {
                let dark: f64 = row.night.iter().map(|(a, b)| b - a).sum();
                let night = match dark {
                    d if d <= 0.0 => "",
                    d if d >= 0.99 => ", night",
                    _ => ", partly night",
                };
                let _ = write!(
                    out,
                    "<tr><td class=\"time\"><b>{}</b><small>{}{night}</small></td>",
                    escaped(&row.local),
                    escaped(&row.utc)
                );
                for place in 0..3 {
                    let words = match row.calls.get(place) {
                        Some(call) => called(call),
                        None if row.calls.is_empty() && place == 0 => "no call has a chance".to_owned(),
                        None => "–".to_owned(),
                    };
                    let _ = write!(out, "<td class=\"c{}\">{words}</td>", place + 1);
                }
                out.push_str("</tr>\n");
            }
        }
    }
    out.push_str("</table>\n");
    out
}

fn called(call: &Call) -> String {
    let full = call.dots();
    let dots: String = (0..3).map(|k| if k < full { '●' } else { '○' }).collect();
    format!(
        "<span class=\"khz\">{}</span> <span class=\"call\">{}</span><small><span class=\"dots\" role=\"img\" aria-label=\"{}\">{dots}</span> \
         <span class=\"wire\">{}</span> {}</small>",
        escaped(&call.khz),
        escaped(&call.callsign),
        call.chance.word().word(),
        call.antenna,
        escaped(&call.compass)
    )
}

fn plain_table(table: &Table) -> String {
    let heads: String = table.heads.iter().map(|h| format!("<th>{}</th>", escaped(h))).collect();
    let row = |cells: &Vec<String>| {
        let cells: String = cells.iter().map(|c| format!("<td>{}</td>", escaped(c))).collect();
        format!("<tr>{cells}</tr>\n")
    };
    let rows: String = table.rows.iter().map(row).collect();
    format!("<table><thead><tr>{heads}</tr></thead>\n{rows}</table>\n")
}

fn antenna(card: &Card, hung: &Hung, letters: &Letters) -> String {
    let mut out = format!(
        "<p><span class=\"wire\">{}</span> <b>{}</b></p>\n",
        hung.letter,
        escaped(&hung.name)
    );
    if let Some(marks) = layout::drawing(letters, hung, DRAWING_PT, card.units) {
        out.push_str(&picture(
            DRAWING_PT,
            marks.iter(),
            &format!("{} from the side", hung.name),
        ));
    }
    out.extend(hung.lines.iter().map(line));
    out
}

fn charge(bars: &[Bar]) -> String {
    if bars.is_empty() {
        return String::new();
    }
    let row = |bar: &Bar| {
        let day = bar
            .day
            .as_ref()
            .map_or_else(String::new, |d| format!("{} ", escaped(d)));
        format!(
            "<tr><td>{day}{}:00</td><td><meter min=\"0\" max=\"100\" value=\"{}\"></meter></td><td>{} %</td><td>{} % or more</td></tr>\n",
            bar.hour, bar.percent, bar.percent, bar.least_percent
        )
    };
    let rows: String = bars.iter().map(row).collect();
    format!(
        "<table><thead><tr><th>hour</th><th></th><th>expected</th><th>9 in 10 have</th></tr></thead>\n{rows}</table>\n"
    )
}
