//! What is said of energy: verdict, chart, table, messages, what fails, what to mind.

use farhop_plan::Chance;
use farhop_plan::power::{Doing, TransmitStop};

use crate::document::{Column, Document, Figure, Table};
use crate::energy::EnergyReport;
use crate::energy::words::{chance_or_none, percent};
use farhop_earth::clock::in_zone;

/// Rows of the table, at most.
const MOST_ROWS: f64 = 17.0;

impl EnergyReport<'_> {
    /// The whole report.
    #[must_use]
    pub fn document(&self) -> Document {
        let mut doc = Document::new(self.verdict());
        if let Some(line) = self.calls_only_words() {
            doc.lead(line);
        }
        let legend = format!(
            "Charge of {}: ● median, ░ four cases in five, ┄ reserve ({} % of what is usable)",
            self.supply_words(),
            percent(self.forecast.input().reserve_share)
        );
        doc.section("chart", "");
        doc.figure(Figure {
            svg: String::new(),
            letters: self.chart(),
            caption: legend,
        });
        doc.say("call ▮: sending. day: → on the way, w awake, l listening, z asleep.");
        if let Some(time_s) = self.stop_s() {
            doc.say(format!("│: stop sending, {}.", self.moment(time_s)));
        }
        self.table(&mut doc);
        self.messages(&mut doc);
        self.what_draws(&mut doc);
        self.failures(&mut doc);
        section(&mut doc, "keying", "Keying and the voltage", self.sags());
        let mut basis = self.assumptions();
        basis.extend(self.defaults.iter().cloned());
        section(&mut doc, "basis", "What it rests on", basis);
        section(&mut doc, "mind", "Mind", self.energy_cautions());
        doc
    }

    pub(super) fn main_id(&self) -> &str {
        let sources = &self.forecast.outcome.sources;
        sources.get(self.forecast.main).map_or("battery", |s| s.id.as_str())
    }

    /// What feeds the set: one battery, or several that are used one after the other.
    pub(super) fn supply_words(&self) -> String {
        let sources = &self.forecast.outcome.sources;
        let ids = self.forecast.supply().iter().filter_map(|s| sources.get(*s));
        let ids: Vec<String> = ids.map(|s| format!("\"{}\"", s.id)).collect();
        match ids.as_slice() {
            [] => "the battery".to_owned(),
            [one] => one.clone(),
            several => format!("{} together", several.join(" and ")),
        }
    }

    /// The hour to stop sending, s after the start.
    pub(super) fn stop_s(&self) -> Option<f64> {
        // With the set off between calls there is none, and that is what is advised.
        match self.forecast.outcome.transmit.stop {
            TransmitStop::At { .. } if self.forecast.holds_with_set_off() => None,
            TransmitStop::At { time_s } => Some(time_s),
            TransmitStop::NotNeeded | TransmitStop::NeverKept => None,
        }
    }

    /// The charge at which only the reserve is left, warm (dimensionless).
    pub(crate) fn reserve_charge(&self) -> f64 {
        let supply = self.forecast.supply();
        if let [only] = supply {
            return self.charge_with_wh(*only, self.forecast.reserve_wh);
        }
        // Several in turn: the reserve is the part of their nominal energy that the first one holds with it.
        let nominal_wh = |index: &usize| {
            self.forecast.input().sources.get(*index).map_or(0.0, |source| {
                let spec = source.battery.spec();
                spec.capacity_ah * f64::from(spec.cells) * spec.chemistry.nominal_cell_v()
            })
        };
        let all_wh: f64 = supply.iter().map(nominal_wh).sum();
        let main = self.forecast.main;
        self.charge_with_wh(main, self.forecast.reserve_wh) * nominal_wh(&main) / all_wh.max(1e-9)
    }

    /// The charge at which a battery has so much usable energy, warm (dimensionless).
    fn charge_with_wh(&self, index: usize, wanted_wh: f64) -> f64 {
        let Some(source) = self.forecast.input().sources.get(index) else {
            return 0.0;
        };
        let full_ah = source.battery.spec().capacity_ah;
        let usable_wh = |share: f64| source.battery.usable_wh(share, 25.0, full_ah);
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..40 {
            let middle = 0.5 * (low + high);
            if usable_wh(middle) < wanted_wh {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    }

    fn table(&self, doc: &mut Document) {
        let duration_s = self.forecast.input().duration_s;
        let hours = [1.0, 2.0, 3.0, 4.0, 6.0, 12.0, 24.0, 48.0];
        let wanted = duration_s / 3_600.0 / MOST_ROWS;
        let step_s = 3_600.0 * hours.into_iter().find(|h| *h >= wanted).unwrap_or(48.0);
        let zone = self.reader.zone_word(self.forecast.start);
        doc.section(
            "hours",
            "Charge through the outing, in percent: one case in ten below 10 %, half below 50 %",
        );
        let mut table = Table::new([
            Column::words(&zone),
            Column::number("sun°"),
            Column::number("10 %"),
            Column::number("50 %"),
            Column::number("90 %"),
            Column::number("W"),
            Column::words("until the next line"),
        ]);
        let mut time_s = 0.0;
        while time_s < duration_s {
            let next_s = self.next_row(time_s, step_s).min(duration_s);
            self.row(&mut table, time_s, next_s);
            time_s = next_s;
        }
        self.row(&mut table, duration_s, duration_s);
        doc.table(table);
    }

    /// The next full hour of the zone at a multiple of the step, s after the start.
    fn next_row(&self, time_s: f64, step_s: f64) -> f64 {
        let local = in_zone(self.forecast.at(time_s), &self.reader.zone);
        let of_day_s = 3_600.0 * f64::from(local.hour()) + 60.0 * f64::from(local.minute()) + f64::from(local.second());
        let next_s = ((of_day_s / step_s).floor() + 1.0) * step_s;
        time_s + (next_s - of_day_s).max(60.0)
    }

    fn row(&self, table: &mut Table, from_s: f64, to_s: f64) {
        let f = self.forecast;
        let share = f.share_at(from_s);
        let sun_deg = f.moment(from_s).map_or(0.0, |m| m.sun_elevation_deg);
        let mut cells = vec![
            self.moment(from_s),
            format!("{sun_deg:.0}"),
            percent(share.p10).to_string(),
            percent(share.p50).to_string(),
            percent(share.p90).to_string(),
        ];
        if to_s > from_s {
            let draw_w: f64 = f.mean_draws_w(from_s, to_s).iter().sum();
            cells.extend([format!("{draw_w:.1}"), self.doings(from_s, to_s)]);
        }
        table.row(cells);
    }

    /// What is done in a span: the calls, and what takes most of the rest.
    fn doings(&self, from_s: f64, to_s: f64) -> String {
        let mut days: Vec<(String, f64)> = Vec::new();
        let mut calls: Vec<&str> = Vec::new();
        for segment in &self.forecast.segments {
            let overlap_s = segment.overlap_s(from_s, to_s);
            if overlap_s <= 0.0 {
                continue;
            }
            match segment.doing {
                Doing::Day(_) | Doing::Load(_) => {
                    let name = self.doing(segment.doing);
                    match days.iter_mut().find(|d| d.0 == name) {
                        Some(day) => day.1 += overlap_s,
                        None => days.push((name, overlap_s)),
                    }
                }
                Doing::Send(m) => calls.extend(self.outing.messages.get(m).map(|m| m.id.as_str())),
                Doing::Listen(_) | Doing::Tune(_) => {}
            }
        }
        days.sort_by(|a, b| b.1.total_cmp(&a.1));
        let day = days.first().map_or_else(String::new, |d| d.0.clone());
        let mut counted: Vec<(&str, usize)> = Vec::new();
        for id in calls {
            match counted.iter_mut().find(|(known, _)| *known == id) {
                Some((_, count)) => *count += 1,
                None => counted.push((id, 1)),
            }
        }
        let one = |(id, count): &(&str, usize)| match count {
            1 => (*id).to_owned(),
            _ => format!("{id} ({count} calls)"),
        };
        let calls: Vec<String> = counted.iter().map(one).collect();
        if calls.is_empty() {
            day
        } else {
            format!("{day}; sends {}", calls.join(", "))
        }
    }

    fn messages(&self, doc: &mut Document) {
        if self.forecast.messages.is_empty() {
            return;
        }
        doc.section(
            "calls",
            "What each call costs (by its first message), listening and tuning included",
        );
        let mut table = Table::new([
            Column::cut("", 24),
            Column::words("sent at"),
            Column::number("Wh"),
            Column::number("four in five"),
            Column::number("power to its end"),
        ]);
        for m in &self.forecast.messages {
            let id = self.outing.messages.get(m.call.message).map_or("", |m| m.id.as_str());
            table.row([
                id.to_owned(),
                self.moment(m.call.send_s),
                format!("{:.1}", m.energy_wh.p50),
                format!("{:.1}–{:.1}", m.energy_wh.p10, m.energy_wh.p90),
                format!("{} %", Chance::new(m.chance_powered).percent()),
            ]);
        }
        doc.table(table);
    }

    fn what_draws(&self, doc: &mut Document) {
        let energies = self.forecast.nominal_wh();
        let total_wh: f64 = energies.iter().sum();
        let mut list: Vec<(String, f64)> = self
            .forecast
            .input()
            .loads
            .iter()
            .zip(energies)
            .map(|(load, wh)| (self.load_name(&load.id), wh))
            .filter(|(_, wh)| *wh >= 0.05)
            .collect();
        list.sort_by(|a, b| b.1.total_cmp(&a.1));
        let parts: Vec<String> = list.iter().map(|(name, wh)| format!("{name} {wh:.1}")).collect();
        let books = self.forecast.outcome.sources.get(self.forecast.main).map(|s| s.books);
        let mut line = format!(
            "What draws, Wh at the battery ({total_wh:.1} in all): {}.",
            parts.join(", ")
        );
        if let Some(books) = books {
            line += &format!(
                " Median case of \"{}\": {:.1} Wh at the start, {:.1} from the sun ({:.1} more was there to take), {:.1} at the end.",
                self.main_id(),
                books.stored_start_wh,
                books.sun_in_wh,
                books.unused_sun_wh.max(0.0),
                books.stored_end_wh
            );
        }
        doc.section("draws", "");
        doc.say(line);
    }

    fn failures(&self, doc: &mut Document) {
        let mut list = Vec::new();
        for source in &self.forecast.outcome.sources {
            let mut line = format!("\"{}\" runs dry: {}", source.id, chance_or_none(source.chance_dry));
            if source.chance_dry > 0.0 {
                line += &format!(
                    ", about {} (four in five {} to {})",
                    self.moment(source.dry_s.p50),
                    self.moment(source.dry_s.p10),
                    self.moment(source.dry_s.p90)
                );
            }
            list.push(line + ".");
            for trip in &source.trips {
                list.push(format!(
                    "{}: {}, first about {}. To get it back: {}. It came back by itself in {} % of these cases.",
                    trip.cause.words(),
                    Chance::new(trip.chance),
                    self.moment(trip.first_s.p50),
                    trip.release.advice(),
                    percent(trip.came_back)
                ));
            }
        }
        let transmit = &self.forecast.outcome.transmit;
        if transmit.chance_fails > 0.0 {
            list.push(format!(
                "The transmitter loses its power on the air: {}, first about {}.",
                Chance::new(transmit.chance_fails),
                self.moment(transmit.first_fail_s.p50)
            ));
        }
        if let Some(time_s) = self.forecast.below_reserve_s {
            list.push(format!(
                "One case in ten is below the reserve from {}.",
                self.moment(time_s)
            ));
        }
        section(doc, "failures", "What fails", list);
    }
}

fn section(doc: &mut Document, id: &'static str, title: &str, lines: Vec<String>) {
    if !lines.is_empty() {
        doc.section(id, title);
        doc.items(lines);
    }
}
