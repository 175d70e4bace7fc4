//! From a forecast to its view.

use farhop_feed::advise::{Advice, AdviceList, Change};
use farhop_feed::robustness::Quantiles;
use farhop_feed::tuner::{CapacitorSide, Setting};
use farhop_feed::{AntennaChange, Complex64, FeedChain, Robustness, Stage, StageAnswer, Tuner};
use farhop_outing::Antenna;
use farhop_plan::Chance;
use farhop_plan::engine::LoadAtWatt;
use farhop_plan::feeding::FeedForecast;

use crate::feed::view::{
    AdviceView, FeedBandView, LossView, OhmView, PowerView, RobustView, SpreadView, StageView, StressView,
    TunerStateView,
};
use crate::feed::words;
use crate::numbers::rounded;

/// Voltage across the antenna's own parts from which a burn is named, V rms: as for terminals.
const BURN_V: f64 = farhop_feed::Limits::USUAL.touch_volts_rms;
/// Pieces of advice that are kept.
const MOST_ADVICE: usize = 6;

/// All that is known of an antenna's feed on one band.
pub struct BandFacts<'a> {
    /// The antenna.
    pub antenna: &'a Antenna,
    /// The stations' channels for which the frequency stands, MHz.
    pub channels_mhz: &'a [f64],
    /// The feed.
    pub forecast: &'a FeedForecast,
    /// How it fares when things are a bit off, or why that is not known.
    pub spread: Result<&'a Robustness, &'a str>,
    /// What would make it match; none where it matches.
    pub advice: Option<&'a AdviceList>,
    /// What the antenna's model has to say.
    pub notes: &'a [String],
    /// Feet instead of metres.
    pub imperial: bool,
}

/// The view of one band.
#[must_use]
pub fn band(facts: &BandFacts<'_>) -> FeedBandView {
    let (forecast, answer) = (facts.forecast, &facts.forecast.answer);
    let advice = facts.advice.map_or_else(Vec::new, |list| advice_views(facts, list));
    FeedBandView {
        freq_mhz: answer.freq_mhz,
        channels_mhz: facts.channels_mhz.to_vec(),
        sentence: sentence(facts, &advice),
        matched: answer.matched,
        antenna: ohm(answer.antenna.impedance_ohm),
        coupling_loop: forecast.coupled,
        efficiency: rounded(answer.antenna.efficiency, 4),
        at_tuner: ohm(answer.at_tuner_ohm),
        after_tuner: ohm(answer.after_tuner_ohm),
        swr_without_tuner: ratio(answer.without_tuner.swr),
        swr: ratio(answer.power.swr),
        best_swr: ratio(answer.best_swr()),
        accept_swr: accept_swr(forecast),
        tuner: tuner(&forecast.chain, &answer.tuner.chosen().setting),
        loss: LossView {
            line_db: rounded(answer.line_loss_db, 3),
            transformer_db: rounded(answer.transformer_loss_db, 3),
            tuner_db: rounded(answer.tuner_loss_db, 3),
            total_db: rounded(answer.power.loss_db, 3),
        },
        power: power(forecast),
        stages: answer.stages.iter().map(stage).collect(),
        stresses: stresses(forecast),
        robustness: facts.spread.ok().map(robust),
        robustness_failed: facts.spread.err().map(str::to_owned),
        cautions: cautions(forecast),
        advice,
        notes: facts.notes.to_vec(),
    }
}

fn accept_swr(forecast: &FeedForecast) -> f64 {
    let bare = farhop_feed::chain::MATCHED_WITHOUT_TUNER_SWR;
    forecast.answer.tuner.accept_swr.unwrap_or(bare)
}

/// One plain sentence: matches or not, what is lost, what is radiated, and what to do about it.
fn sentence(facts: &BandFacts<'_>, advice: &[AdviceView]) -> String {
    let answer = &facts.forecast.answer;
    // As the table has it, so that both round alike.
    let radiated = words::watts(rounded(answer.power.radiated_w, 4));
    if answer.matched {
        let (how, holds) = match facts.forecast.chain.tuner {
            Tuner::None => ("matches by itself at", "holds"),
            _ => ("matches at", "copes"),
        };
        let chance = facts.spread.ok().map(|s| Chance::new(s.chance_copes));
        let chance = chance.map_or(String::new(), |c| format!("; {holds} {c}"));
        let swr = words::swr(Some(answer.power.swr));
        let lost_db = lost_db(answer.power.loss_db);
        return format!("{how} {swr}, {lost_db:.1} dB lost, {radiated} radiated{chance}");
    }
    let swr = words::swr(ratio(answer.best_swr()));
    let state = format!("will not match (SWR {swr} at best, {radiated} radiated)");
    let helps: Vec<&AdviceView> = advice.iter().filter(|a| a.matches).take(2).collect();
    match (helps.as_slice(), advice.first()) {
        ([], None) => format!("{state}: no single small change helps"),
        ([], Some(best)) => {
            let swr = words::swr(best.swr);
            format!(
                "{state}: no single small change is enough; what helps most is to {}, for SWR {swr}",
                best.words
            )
        }
        (helps, _) => {
            let what: Vec<&str> = helps.iter().map(|a| a.words.as_str()).collect();
            format!("{state}: {}", what.join(", or "))
        }
    }
}

/// A part without loss may come out a hair below nothing.
fn lost_db(value_db: f64) -> f64 {
    value_db.max(0.0)
}

fn ohm(z_ohm: Complex64) -> OhmView {
    OhmView {
        r_ohm: rounded(z_ohm.re, 3),
        x_ohm: rounded(z_ohm.im, 3),
    }
}

/// JSON has no infinity.
fn ratio(swr: f64) -> Option<f64> {
    swr.is_finite().then(|| rounded(swr, 3))
}

fn power(forecast: &FeedForecast) -> PowerView {
    let power = &forecast.answer.power;
    PowerView {
        setting_w: forecast.chain.transmitter.power_w(),
        forward_w: rounded(power.output.forward_w, 4),
        taken_w: rounded(power.output.taken_w, 4),
        into_antenna_w: rounded(power.into_antenna_w, 4),
        radiated_w: rounded(power.radiated_w, 4),
        folds_back: power.output.folds_back,
        radiated_without_tuner_w: rounded(forecast.answer.without_tuner.radiated_w, 4),
    }
}

fn stage(own: &StageAnswer) -> StageView {
    StageView {
        kind: match own.stage {
            Stage::Line(_) => "line",
            Stage::Transformer(_) => "transformer",
        },
        input: ohm(own.input_ohm),
        output: ohm(own.output_ohm),
        loss_db: rounded(own.loss_db, 3),
        matched_loss_db: own.matched_loss_db.map(|db| rounded(db, 3)),
        power_in_w: rounded(own.power_in_w, 4),
        power_out_w: rounded(own.power_out_w, 4),
    }
}

fn tuner(chain: &FeedChain, setting: &Setting) -> TunerStateView {
    let mut view = TunerStateView {
        kind: "straight-through",
        capacitor_side: None,
        l_mask: None,
        c_mask: None,
        l_uh: None,
        c_pf: None,
        c_antenna_pf: None,
        words: words::setting(setting),
    };
    let side_word = |side: CapacitorSide| match side {
        CapacitorSide::Antenna => "antenna",
        CapacitorSide::Radio => "radio",
    };
    match *setting {
        Setting::Bypass => {
            if chain.tuner == Tuner::None {
                (view.kind, view.words) = ("none", "no tuner".into());
            }
        }
        Setting::Relays {
            side,
            l_mask,
            c_mask,
            l_uh,
            c_pf,
        } => {
            (view.kind, view.capacitor_side) = ("relays", Some(side_word(side)));
            (view.l_mask, view.c_mask) = (Some(l_mask), Some(c_mask));
            (view.l_uh, view.c_pf) = (Some(rounded(l_uh, 3)), Some(rounded(c_pf, 1)));
        }
        Setting::HandL { side, l_uh, c_pf } => {
            (view.kind, view.capacitor_side) = ("hand-l", Some(side_word(side)));
            (view.l_uh, view.c_pf) = (Some(rounded(l_uh, 3)), Some(rounded(c_pf, 1)));
        }
        Setting::HandT {
            c_radio_pf,
            l_uh,
            c_antenna_pf,
        } => {
            view.kind = "hand-t";
            (view.l_uh, view.c_pf) = (Some(rounded(l_uh, 3)), Some(rounded(c_radio_pf, 1)));
            view.c_antenna_pf = Some(rounded(c_antenna_pf, 1));
        }
    }
    view
}

fn stresses(forecast: &FeedForecast) -> Vec<StressView> {
    let answer = &forecast.answer;
    let bears = |part, volts_rms: f64, amps_rms: f64, heat_w: Option<f64>| StressView {
        part,
        volts_rms: rounded(volts_rms, 1),
        amps_rms: rounded(amps_rms, 3),
        heat_w: heat_w.map(|w| rounded(w, 4)),
    };
    let parts = answer
        .parts
        .iter()
        .map(|p| bears(words::part(p.role), p.volts_rms, p.amps_rms, Some(p.heat_w)));
    let terminals = [
        ("tuner's antenna socket", answer.tuner_terminal),
        ("feed point", answer.feed_point),
    ];
    let terminals = terminals.map(|(name, t)| bears(name, t.volts_rms, t.amps_rms, None));
    let own = |l: &LoadAtWatt| bears("coil or capacitor of the antenna", l.rms_v, l.rms_a, None);
    parts.chain(terminals).chain(forecast.loads.iter().map(own)).collect()
}

/// Cautions once each: a feed point that is also the transformer's antenna side is named once.
fn cautions(forecast: &FeedForecast) -> Vec<String> {
    let behind_transformer = matches!(forecast.chain.after_tuner.last(), Some(Stage::Transformer(_)));
    let twice = |c: &&farhop_feed::Caution| {
        let transformer = farhop_feed::Place::TransformerTerminal;
        behind_transformer && matches!(c, farhop_feed::Caution::TouchVoltage { place, .. } if *place == transformer)
    };
    let said = forecast.answer.cautions.iter().filter(|c| !twice(c));
    let own = forecast.loads.iter().filter(|l| l.rms_v >= BURN_V).map(|l| {
        format!(
            "the antenna's own coil or capacitor bears {:.0} V and {:.1} A: nobody touches it while sending",
            l.rms_v, l.rms_a
        )
    });
    said.filter_map(words::caution).chain(own).collect()
}

fn spread(q: &Quantiles) -> SpreadView {
    SpreadView {
        p10: ratio(q.p10),
        p50: ratio(q.p50),
        p90: ratio(q.p90),
    }
}

fn robust(of: &Robustness) -> RobustView {
    RobustView {
        swr_without_tuner: spread(&of.swr_without_tuner),
        swr_tuned: spread(&of.swr_tuned),
        swr_left_alone: spread(&of.swr_left_alone),
        loss_db: spread(&of.loss_db),
        radiated_w: spread(&of.radiated_w),
        copes: Chance::new(of.chance_copes).into(),
    }
}

/// The best of each kind of change, best first.
fn advice_views(facts: &BandFacts<'_>, list: &AdviceList) -> Vec<AdviceView> {
    let mut kept: Vec<&Advice> = Vec::new();
    for advice in &list.ranked {
        if kept.len() < MOST_ADVICE && !kept.iter().any(|k| same_kind(&k.change, &advice.change)) {
            kept.push(advice);
        }
    }
    let view = |advice: &&Advice| AdviceView {
        words: words::change(&advice.change, &facts.forecast.chain, facts.antenna, facts.imperial),
        matches: advice.answer.matched,
        swr: ratio(advice.answer.best_swr()),
        loss_db: rounded(advice.answer.power.loss_db, 3),
        radiated_w: rounded(advice.answer.power.radiated_w, 4),
        effort: rounded(advice.effort, 3),
    };
    kept.iter().map(view).collect()
}

fn same_kind(a: &Change, b: &Change) -> bool {
    use std::mem::discriminant;
    match (a, b) {
        (Change::Antenna(a), Change::Antenna(b)) => discriminant::<AntennaChange>(a) == discriminant(b),
        _ => discriminant(a) == discriminant(b),
    }
}
