//! The batteries that are carried, as the simulation wants them.

use crate::error::PlanError;
use farhop_energy::simulate::{Source, Uncertainty, Warmth};
use farhop_energy::spread::Spread3;
use farhop_energy::{Battery, BatterySpec, Fuse, Protection, Release};
use farhop_outing::{Battery as Stated, Outing, Release as StatedRelease};

use crate::power::habits::{KEPT_WARM_C, OVER_CURRENT_DELAY_S, RELEASE_RATIO, RELEASE_REST_S, UNDER_VOLTAGE_DELAY_S};

/// The batteries that are carried, in the order of the outing.
pub fn carried(outing: &Outing) -> Vec<&Stated> {
    let kit = &outing.kit;
    kit.batteries.iter().filter(|b| kit.carries(b.id.as_str())).collect()
}

/// Nominal voltages of two batteries that the same set can be put on, as a ratio (dimensionless; a judgement: 12 V lead, 12.8 V iron
/// phosphate, 10.8 or 14.4 V lithium ion belong together, 6 or 24 V do not).
const SAME_VOLTAGE: std::ops::RangeInclusive<f64> = 0.75..=1.3;

/// Ids of the batteries on which the set hangs one after the other: the one that is named for it, then each other that is carried, that
/// nothing else is said to hang on, and whose voltage serves. The operator changes over.
pub fn in_turn(outing: &Outing, main: &str) -> Vec<String> {
    let kit = &outing.kit;
    let carried = carried(outing);
    let Some(first) = carried.iter().find(|b| b.id.as_str() == main) else {
        return Vec::new();
    };
    let named = [kit.transceiver.source.as_ref(), kit.modem.source.as_ref()]
        .into_iter()
        .chain([kit.computer.as_ref().and_then(|c| c.source.as_ref())])
        .chain(kit.converters.iter().map(|c| c.source.as_ref()))
        .chain(kit.loads.iter().map(|l| l.source.as_ref()))
        .flatten();
    let taken: Vec<&str> = named.map(farhop_outing::Id::as_str).collect();
    let serves = |b: &&&Stated| {
        let free = b.id != first.id && !taken.contains(&b.id.as_str());
        free && SAME_VOLTAGE.contains(&(b.nominal_v() / first.nominal_v()))
    };
    let others = carried.iter().filter(serves).map(|b| b.id.to_string());
    std::iter::once(main.to_owned()).chain(others).collect()
}

/// A battery as a source.
///
/// # Errors
/// What is wrong with its numbers, in words.
pub fn source(stated: &Stated) -> Result<Source, PlanError> {
    let named = |e: farhop_energy::EnergyError| PlanError::at(format!("battery {}", stated.id))(e.into());
    let chemistry = stated.chemistry;
    let fuse = stated.fuse_a.map(Fuse::of_rating).transpose().map_err(named)?;
    let spec = BatterySpec {
        resistance_mohm: stated.resistance_ohm.map(|r| 1_000.0 * r),
        protection: stated.protection.as_ref().map(protection),
        fuse,
        // Age counts here; the spread around it is in `uncertainty`.
        ..BatterySpec::usual(chemistry, stated.cells, stated.capacity_ah * stated.health)
    };
    Ok(Source {
        id: stated.id.to_string(),
        battery: Battery::new(spec).map_err(named)?,
        start_share: Spread3::certain(stated.start_charge),
        warmth: if stated.kept_warm {
            Warmth::Held { temp_c: KEPT_WARM_C }
        } else {
            Warmth::Air
        },
    })
}

/// What is not known exactly: as the energy crate has it, the health relative to what the outing states for each battery.
pub fn uncertainty() -> Uncertainty {
    let usual = Uncertainty::default();
    let health = usual.capacity_health;
    Uncertainty {
        capacity_health: Spread3 {
            p10: health.p10 / health.p50,
            p50: 1.0,
            p90: health.p90 / health.p50,
        },
        ..usual
    }
}

fn protection(stated: &farhop_outing::Protection) -> Protection {
    let release = match stated.release {
        StatedRelease::Rest => Release::AfterRest {
            rest_s: RELEASE_REST_S,
            above_v: RELEASE_RATIO * stated.under_v,
        },
        StatedRelease::LoadRemoved => Release::Disconnect,
        StatedRelease::Charger => Release::ChargerOrPanel,
    };
    Protection {
        under_voltage_v: stated.under_v,
        under_voltage_delay_s: UNDER_VOLTAGE_DELAY_S,
        under_voltage_release: release,
        over_current_a: stated.over_a,
        over_current_delay_s: OVER_CURRENT_DELAY_S,
        over_current_release: release,
        no_charge_below_c: None,
    }
}
