//! What is said about energy: the verdict, trips, cautions, and what was assumed.

use farhop_outing::WeakTo;
use farhop_plan::Chance;
use farhop_plan::power::{Doing, Mode, Release, TransmitStop, habits, loads};

use crate::energy::EnergyReport;
use crate::plan_text::minutes_text;

/// Below this chance (dimensionless) of running dry a battery "lasts": the bound of "hardly".
const HARDLY: f64 = 0.10;
/// Temperature below which lithium and most other cells are not to be charged, °C.
const NO_CHARGE_C: f64 = 0.0;
/// Air in which the body cools while it sits still, °C (common practice).
const CHILLING_C: f64 = 5.0;
/// Air from which a panel in the sun, or a pack under it, gets hot enough to hurt, °C (common practice).
const HOT_C: f64 = 25.0;
/// Charge to spare (dimensionless) below which keying is called tight.
const TIGHT_SHARE: f64 = 0.05;

/// Whole percent of a share.
pub(super) fn percent(share: f64) -> i64 {
    (100.0 * share).round() as i64
}

impl EnergyReport<'_> {
    /// `Sat 12 Dec 21:10`, `time_s` (s) after the start.
    pub(super) fn moment(&self, time_s: f64) -> String {
        self.reader.moment(self.forecast.at(time_s))
    }

    /// The verdict in one sentence.
    #[must_use]
    pub fn verdict(&self) -> String {
        let f = self.forecast;
        let end = f.end_share();
        let (chance, when) = f.dry();
        let band = if percent(end.p10) == percent(end.p90) {
            "four cases in five within a point".to_owned()
        } else {
            format!("four cases in five: {}–{} %", percent(end.p10), percent(end.p90))
        };
        let left = format!("{} % left at the end ({band})", percent(end.p50));
        let dry = || format!("{}, about {}", Chance::new(chance), self.moment(when.p50));
        let first = match chance {
            c if c < HARDLY => format!("The battery lasts, {}: {left}", self.duty_words()),
            c if c < 0.5 => format!("The battery may run dry ({}), {}: {left}", dry(), self.duty_words()),
            _ => format!(
                "The battery does not last, {}: it runs dry ({})",
                self.duty_words(),
                dry()
            ),
        };
        format!("{first}; {}.", self.stop_words())
    }

    /// How the set is used between calls.
    pub(super) fn duty_words(&self) -> String {
        match self.outing.kit.transceiver.listen_h_per_day {
            h if h <= 0.0 => "radio off between calls".to_owned(),
            h => format!("radio listening {h} h a day besides calls"),
        }
    }

    /// The hour to stop, as a clause.
    pub(super) fn stop_words(&self) -> String {
        let reserve = percent(self.forecast.input().reserve_share);
        match self.forecast.outcome.transmit.stop {
            TransmitStop::At { .. } | TransmitStop::NeverKept if self.forecast.holds_with_set_off() => {
                format!("the reserve of {reserve} % is not kept while it listens so long")
            }
            TransmitStop::NotNeeded if self.forecast.messages.is_empty() => {
                format!("nothing is sent in this plan; the reserve asked for is {reserve} %")
            }
            TransmitStop::NotNeeded => format!("every message can be sent and the reserve of {reserve} % is kept"),
            TransmitStop::At { time_s } => {
                format!("stop sending at {} to keep {reserve} %", self.moment(time_s))
            }
            TransmitStop::NeverKept => format!("the reserve of {reserve} % is not kept, also without any sending"),
        }
    }

    /// What to do where the reserve does not hold with the set listening.
    pub(super) fn calls_only_words(&self) -> Option<String> {
        let alternative = self.forecast.calls_only?;
        let end = alternative.end_share;
        let reserve = percent(self.forecast.input().reserve_share);
        let kept = match (alternative.keeps_reserve, self.forecast.messages.is_empty()) {
            (true, false) => format!("; every message can be sent and the reserve of {reserve} % is kept"),
            (true, true) => format!("; nothing is sent in this plan, and the reserve of {reserve} % is kept"),
            (false, _) => String::new(),
        };
        Some(format!(
            "With the radio off between the calls: {} % left at the end ({}–{} %), chance of running dry {}{kept}.",
            percent(end.p50),
            percent(end.p10),
            percent(end.p90),
            chance_or_none(alternative.chance_dry)
        ))
    }

    /// Name of what draws.
    pub(super) fn load_name(&self, id: &str) -> String {
        match id {
            loads::RECEIVER => "transceiver, receiving".to_owned(),
            loads::TRANSMITTER => "transceiver, key down".to_owned(),
            _ => id
                .strip_suffix(":idle")
                .map_or_else(|| id.to_owned(), |converter| format!("{converter} itself")),
        }
    }

    /// What is done, in a word or two.
    pub(super) fn doing(&self, doing: Doing) -> String {
        let message = |m: usize| self.outing.messages.get(m).map_or("", |m| m.id.as_str());
        match doing {
            Doing::Day(Mode::Way) => "on the way".to_owned(),
            Doing::Day(Mode::Asleep) => "asleep".to_owned(),
            Doing::Day(Mode::Off) => "radio off".to_owned(),
            Doing::Day(Mode::Watch) => "listening".to_owned(),
            Doing::Load(_) => String::new(),
            Doing::Listen(m) | Doing::Tune(m) | Doing::Send(m) => format!("call: {}", message(m)),
        }
    }

    /// Sag of the voltage at the moment of keying, as sentences.
    pub(super) fn sags(&self) -> Vec<String> {
        let f = self.forecast;
        let power_w = self.outing.kit.transceiver.power_w;
        let temperature = |temp_c: f64| self.reader.units.temperature(temp_c);
        let mut list = Vec::new();
        for (index, least) in f.least_charge.iter().enumerate() {
            let before = f.least_charge.get(..index).unwrap_or_default();
            if before.iter().any(|b| (b.temp_c - least.temp_c).abs() < 1.0) {
                continue;
            }
            list.push(match least.share {
                Some(share) => format!(
                    "With the battery at {}, {power_w} W can be keyed down to {} % charge.",
                    temperature(least.temp_c),
                    percent(share)
                ),
                None => format!(
                    "With the battery at {}, {power_w} W cannot be keyed, however full it is: the voltage sags below the \
                     transmitter's least. Keep it warm.",
                    temperature(least.temp_c)
                ),
            });
        }
        list.extend(self.call_sags());
        list
    }

    /// The calls whose keying fails or is tight, as sentences.
    pub(super) fn call_sags(&self) -> Vec<String> {
        let f = self.forecast;
        let temperature = |temp_c: f64| self.reader.units.temperature(temp_c);
        let mut list = Vec::new();
        let least_here = |temp_c: f64| {
            let known = f.least_charge.iter().filter(|l| l.temp_c <= temp_c + 0.5);
            known.max_by(|a, b| a.temp_c.total_cmp(&b.temp_c)).and_then(|l| l.share)
        };
        for message in &f.messages {
            let Some(keying) = message.keying else { continue };
            let tight = least_here(keying.temp_c).is_some_and(|s| keying.charge_share < s + TIGHT_SHARE);
            if keying.sag.holds() && !tight {
                continue;
            }
            let id = self
                .outing
                .messages
                .get(message.call.message)
                .map_or("", |m| m.id.as_str());
            list.push(format!(
                "{} \"{id}\", {}: at {} % charge and {} the voltage falls to {:.1} V at the key, {:.1} V are needed.",
                if keying.sag.holds() { "Tight:" } else { "Fails:" },
                self.moment(message.call.send_s),
                percent(keying.charge_share),
                temperature(keying.temp_c),
                keying.sag.transmit_v.min(keying.sag.inrush_v),
                keying.sag.least_v
            ));
        }
        list
    }

    /// Cautions beside energy. They defer to the makers' papers and to local rules of carriage.
    #[must_use]
    pub fn energy_cautions(&self) -> Vec<String> {
        let f = self.forecast;
        let air = || f.moments.iter().map(|m| m.air_c);
        let (coldest_c, warmest_c) = (
            air().fold(f64::INFINITY, f64::min),
            air().fold(f64::NEG_INFINITY, f64::max),
        );
        let panels = !f.input().panels.is_empty();
        let mut list = vec![
            "A battery that is shorted burns: cover its terminals, fuse it at the battery, and carry it apart from keys and tools. \
             For flights and post the carrier's rules hold."
                .to_owned(),
        ];
        if panels && coldest_c < NO_CHARGE_C + 3.0 {
            list.push(
                "Charging lithium cells below freezing ruins them and may make them unsafe: warm the battery before the panel is \
                 connected."
                    .to_owned(),
            );
        }
        if panels && warmest_c + 20.0 > HOT_C {
            list.push(
                "A panel in the sun gets too hot to touch, and gives less for it: let air behind it, and keep the battery out of \
                 its heat."
                    .to_owned(),
            );
        }
        if panels && self.releases_by_charger() {
            list.push(
                "Many charge controllers start only from a live battery: try at home whether yours wakes one whose protection has \
                 tripped."
                    .to_owned(),
            );
        }
        if coldest_c < CHILLING_C {
            list.push(
                "Warmth before radio: who shivers stops, gets dry and warm, and sends later. Cold hands and slow thinking are \
                 signs of hypothermia."
                    .to_owned(),
            );
        }
        if self.cold_computer() && coldest_c < CHILLING_C {
            list.push("A cold computer or telephone switches itself off early: carry it on the body.".to_owned());
        }
        list
    }

    fn releases_by_charger(&self) -> bool {
        let protections = self
            .forecast
            .input()
            .sources
            .iter()
            .filter_map(|s| s.battery.spec().protection);
        protections
            .into_iter()
            .any(|p| p.under_voltage_release == Release::ChargerOrPanel)
    }

    fn cold_computer(&self) -> bool {
        let parts = &self.outing.kit.parts;
        let part = parts.iter().find(|p| p.id.as_str() == loads::COMPUTER);
        part.is_some_and(|p| p.weak_to.contains(&WeakTo::Cold))
    }

    /// When the set is on, as the beginning of a sentence.
    fn watch_words(&self) -> String {
        match self.outing.kit.transceiver.listen_h_per_day {
            h if h <= 0.0 => "Radio off between calls (`listen_h_per_day` would say otherwise)".to_owned(),
            h => format!("Radio listening {h} h a day besides calls, from the beginning of each waking hour, else off"),
        }
    }

    /// What the outing file does not say and was taken as usual.
    #[must_use]
    pub fn assumptions(&self) -> Vec<String> {
        let f = self.forecast;
        let site = self.outing.sites.get(f.main_site).map_or("", |s| s.name.as_str());
        let mut list = vec![
            format!(
                "The calls are those of the plan, with {} of settling, listening and writing before each; air time and key-down time \
                 are the expected ones, and a call that is needed only when others fail counts with that chance.",
                minutes_text(self.outing.kit.modem.steps.before_call_s() / 60.0)
            ),
            format!(
                "{}, the computer asleep; from {:.0} to {:.0} h by the sun's clock all sleep; on the way everything is off and \
                 the panel is packed.",
                self.watch_words(),
                habits::ASLEEP_FROM_H,
                habits::ASLEEP_UNTIL_H
            ),
            "Further loads are on in the hours before bedtime.".to_owned(),
        ];
        if self.outing.kit.batteries.iter().any(|b| b.kept_warm) {
            list.push(format!(
                "A battery that is kept warm is at {}, others are as cold as the air.",
                self.reader.units.temperature(habits::KEPT_WARM_C)
            ));
        }
        if !f.input().panels.is_empty() {
            list.push(format!(
                "The skyline of {site} stands for every site; clear sky after Ineichen and Perez; no snow on the ground or panel."
            ));
        }
        if self.forecast.supply().len() > 1 {
            list.push(format!(
                "{} feed the set one after the other: change over when the one in use gets low; the reserve is that of the first.",
                self.supply_words().trim_end_matches(" together")
            ));
        }
        list.push(format!(
            "Cables of {:.0} mΩ; at the moment of keying {} times the current for {:.0} ms.",
            habits::CABLE_MOHM,
            habits::INRUSH_RATIO,
            1_000.0 * habits::INRUSH_S
        ));
        list.extend(f.notes.iter().cloned());
        list
    }
}

/// A chance as people read it; `none seen` where no scenario has it.
pub(super) fn chance_or_none(share: f64) -> String {
    if share <= 0.0 {
        "none seen".to_owned()
    } else {
        Chance::new(share).to_string()
    }
}
