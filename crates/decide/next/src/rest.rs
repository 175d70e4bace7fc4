//! What is left when nothing is worth its effort.

use farhop_earth::UtcTime;
use farhop_plan::schedule::{Board, Offer};

use crate::step::{Ask, Rest, scene};

/// Nothing is worth its effort: what is left, and when.
pub(crate) fn rest(ask: &Ask<'_>) -> Rest {
    let scene = scene(ask, ask.stays);
    let board = Board::new(&scene);
    let mut best: Option<(f64, UtcTime)> = None;
    for (response, of) in ask.responses.iter().enumerate() {
        let there = |s: &farhop_plan::itinerary::Stay| s.site == of.route.site && s.from <= of.at && of.at < s.until;
        let stay = ask.stays.iter().position(there);
        let Some(stay) = stay.filter(|_| of.served && of.at > ask.now) else {
            continue;
        };
        let usual = ask.tables.of(of.route.site, of.route.station, of.route.channel).next();
        let offer = Offer {
            response,
            link: usual.map_or(usize::MAX, |l| l.0),
            stay,
            opens: of.at,
            closes: of.at,
            asleep: false,
        };
        let Some(added) = board.look(&offer, of.at) else {
            continue;
        };
        let better = best.is_none_or(|b| added.lead_chance > b.0 + 1e-6);
        if added.lead_chance > 0.0 && better {
            best = Some((added.lead_chance, of.at.add_s(-farhop_days::STEP_S / 2).max(ask.now)));
        }
    }
    Rest {
        until: best.map(|b| b.1),
        best_left: best.map_or(0.0, |b| b.0),
    }
}
