//! Which cautions a chain's answer deserves.

use super::{ChainAnswer, FeedChain, Stage};
use crate::caution::{Caution, FIT_LEAST_MHZ, FIT_MOST_MHZ, Limits, Place};
use crate::swr::volts_rms;
use crate::tuner::TunerRatings;
use farhop_num::maths;

pub(super) fn collect(answer: &ChainAnswer, chain: &FeedChain, limits: &Limits) -> Vec<Caution> {
    let mut cautions = Vec::new();
    if !answer.matched {
        let accept_swr = answer.tuner.accept_swr.unwrap_or(super::MATCHED_WITHOUT_TUNER_SWR);
        let swr = answer.tuner.accept_swr.map_or(answer.power.swr, |_| answer.best_swr());
        cautions.push(Caution::NotMatched { swr, accept_swr });
    }
    if answer.power.output.folds_back {
        let (forward_w, full_w) = (answer.power.output.forward_w, chain.transmitter.power_w());
        cautions.push(Caution::FoldsBack { forward_w, full_w });
    }
    if answer.power.loss_db > limits.heavy_loss_db {
        cautions.push(Caution::HeavyLoss {
            loss_db: answer.power.loss_db,
            limit_db: limits.heavy_loss_db,
        });
    }
    if let Some(ratings) = chain.tuner.ratings() {
        tuner_cautions(answer, &ratings, &mut cautions);
    }
    touch_cautions(answer, chain.tuner.ratings().is_some(), limits, &mut cautions);
    if !(FIT_LEAST_MHZ..=FIT_MOST_MHZ).contains(&answer.freq_mhz) {
        let (least_mhz, most_mhz) = (FIT_LEAST_MHZ, FIT_MOST_MHZ);
        cautions.push(Caution::OutsideFitRange {
            freq_mhz: answer.freq_mhz,
            least_mhz,
            most_mhz,
        });
    }
    cautions
}

fn tuner_cautions(answer: &ChainAnswer, ratings: &TunerRatings, cautions: &mut Vec<Caution>) {
    let (least_ohm, most_ohm) = (ratings.load_least_ohm, ratings.load_most_ohm);
    if !(least_ohm..=most_ohm).contains(&maths::norm(answer.at_tuner_ohm)) {
        cautions.push(Caution::OutsideTunerRange {
            load_ohm: answer.at_tuner_ohm,
            least_ohm,
            most_ohm,
        });
    }
    for part in &answer.parts {
        let (role, limit_volts_rms, limit_amps_rms) = (part.role, ratings.part_volts_rms, ratings.part_amps_rms);
        if part.volts_rms > limit_volts_rms {
            cautions.push(Caution::PartVoltage {
                role,
                volts_rms: part.volts_rms,
                limit_volts_rms,
            });
        }
        if part.amps_rms > limit_amps_rms {
            cautions.push(Caution::PartCurrent {
                role,
                amps_rms: part.amps_rms,
                limit_amps_rms,
            });
        }
    }
}

fn touch_cautions(answer: &ChainAnswer, has_tuner: bool, limits: &Limits, cautions: &mut Vec<Caution>) {
    let transformer_volts = answer
        .stages
        .iter()
        .filter(|s| matches!(s.stage, Stage::Transformer(_)));
    let places = transformer_volts
        .map(|s| (Place::TransformerTerminal, volts_rms(s.output_ohm, s.power_out_w)))
        .chain(has_tuner.then_some((Place::TunerTerminal, answer.tuner_terminal.volts_rms)))
        .chain(std::iter::once((Place::FeedPoint, answer.feed_point.volts_rms)));
    for (place, volts_rms) in places {
        if volts_rms > limits.touch_volts_rms {
            cautions.push(Caution::TouchVoltage {
                place,
                volts_rms,
                limit_volts_rms: limits.touch_volts_rms,
            });
        }
    }
}
