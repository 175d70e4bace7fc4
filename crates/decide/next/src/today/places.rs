//! Where one is from now on, and where else one could be.

use farhop_day::{Task, TaskBegun};
use farhop_earth::UtcTime;
use farhop_plan::itinerary::{Stay, alone, bases, stays, walk_h};

use crate::today::Today;

/// Somebody who is still there after the planned end looks at least so far ahead, s.
const LEAST_AHEAD_S: i64 = 3_600;
/// A walk that nobody began within this after its own length, s, was declined.
const DECLINED_S: i64 = 900;

/// Where one is from now on, by the plan and by what the journal says: the present place first. None where one is at no site.
#[must_use]
pub fn ahead(today: &Today) -> Option<Vec<Stay>> {
    let outing = &today.outing;
    let (site, from) = present(today)?;
    let end = today.end().max(today.now.add_s(LEAST_AHEAD_S));
    let all = bases(outing);
    let own_hours = |s: &farhop_outing::Site| s.from.is_some() || s.until.is_some();
    let floats = outing.sites.get(site).is_some_and(|s| !own_hours(s));
    let base = if all.contains(&site) || floats {
        site
    } else {
        all.first().copied().unwrap_or(site)
    };
    let planned = stays(outing, base);
    if today.place_assumed() {
        // Nobody said where one is: the plan's own stays hold, the next one first.
        let left = planned.iter().filter(|s| s.until > today.now);
        let list: Vec<Stay> = left
            .map(|s| Stay {
                from: s.from.max(today.now),
                ..*s
            })
            .collect();
        if !list.is_empty() {
            return Some(list);
        }
    }
    let starts = from.max(today.now);
    let current = planned
        .iter()
        .find(|s| s.site == site && s.from <= starts && starts < s.until);
    let mut later: Vec<Stay> = planned.iter().copied().filter(|s| s.from > starts).collect();
    let walk_s = |to: usize| (3_600.0 * walk_h(outing, site, to)) as i64;
    let until = match (current, later.first()) {
        (Some(current), _) => current.until,
        (None, Some(next)) => next.from.add_s(-walk_s(next.site)),
        (None, None) => end,
    };
    let until = until.max(starts.add_s(LEAST_AHEAD_S / 2));
    if let Some(next) = later.first_mut() {
        let arrives = until.add_s(walk_s(next.site));
        next.from = next.from.max(arrives);
    }
    later.retain(|s| s.until > s.from);
    let until = if later.is_empty() {
        until.max(today.now.add_s(LEAST_AHEAD_S))
    } else {
        until
    };
    let mut list = vec![Stay { site, from, until }];
    list.extend(later);
    Some(list)
}

/// The present place, or the one that one is on the way to, and since when one is there.
fn present(today: &Today) -> Option<(usize, UtcTime)> {
    if let Some(TaskBegun {
        task: Task::Walk { site },
        end: Some(end),
        ..
    }) = &today.task
    {
        let to = today.outing.sites.iter().position(|s| s.id.as_str() == site)?;
        return Some((to, *end));
    }
    let site = today.site()?;
    let since = if today.place_assumed() {
        alone(&today.outing, site).from
    } else {
        today.stay.as_ref()?.since
    };
    Some((site, since))
}

/// The same stays up to an instant; the present one stays.
#[must_use]
pub fn until(stays: &[Stay], end: UtcTime) -> Vec<Stay> {
    let cut = |(index, stay): (usize, &Stay)| {
        let until = stay.until.min(end);
        (index == 0 || until > stay.from).then_some(Stay { until, ..*stay })
    };
    stays.iter().enumerate().filter_map(cut).collect()
}

/// Other sites, each from when one could be there: the walk counts from `idle_since`, so that asking again does not begin it anew.
#[must_use]
pub fn elsewhere(today: &Today, site: usize, idle_since: UtcTime) -> Vec<Stay> {
    let outing = &today.outing;
    let one = |other: usize| {
        let walk_s = (3_600.0 * walk_h(outing, site, other)) as i64;
        let there = idle_since.add_s(walk_s);
        if today.now > there.add_s(DECLINED_S) {
            return None;
        }
        let whole = alone(outing, other);
        let stay = Stay {
            from: there.max(today.now).max(whole.from),
            until: whole.until.min(today.end()),
            ..whole
        };
        (stay.until > stay.from).then_some(stay)
    };
    let others = (0..outing.sites.len()).filter(|s| *s != site);
    others.filter_map(one).collect()
}
