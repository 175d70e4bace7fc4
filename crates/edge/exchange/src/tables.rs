//! Calls and budgets as CSV (RFC 4180): for spreadsheets. The rows are described in `docs/schema/`.

use farhop_show::plan_view::{CarrierView, CellView, PlanView, RouteView, SendView, SentView};
use serde::Serialize;

/// Why a table cannot be written.
#[derive(Debug, thiserror::Error)]
#[error("the table cannot be written: {0}")]
pub struct TableError(String);

/// Columns of a route, the same in both tables. Struct of its own text, because CSV rows are flat.
macro_rules! row {
    ($(#[$meta:meta])* $name:ident { $($(#[$own:meta])* $field:ident: $kind:ty),* $(,)? }) => {
        $(#[$meta])*
        #[derive(Debug, Serialize)]
        #[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
        struct $name<'v> {
            site: &'v str,
            station: &'v str,
            callsign: &'v str,
            freq_mhz: f64,
            bandwidth_hz: f64,
            antenna: &'v str,
            distance_km: f64,
            bearing_true_deg: f64,
            bearing_magnetic_deg: f64,
            $($(#[$own])* $field: $kind,)*
        }

        impl $name<'_> {
            /// Heads of the columns, in order: a table without rows has them too.
            const HEADS: &'static [&'static str] = &[
                "site",
                "station",
                "callsign",
                "freq_mhz",
                "bandwidth_hz",
                "antenna",
                "distance_km",
                "bearing_true_deg",
                "bearing_magnetic_deg",
                $(stringify!($field),)*
            ];
        }
    };
}

row! {
    /// One message in one call.
    CallRow {
        #[cfg_attr(test, schemars(extend("format" = "date-time")))]
        start_utc: &'v str,
        #[cfg_attr(test, schemars(extend("format" = "date-time")))]
        end_utc: &'v str,
        message: &'v str,
        #[cfg_attr(test, schemars(range(min = 0, max = 1)))]
        chance: f64,
        #[cfg_attr(test, schemars(extend("enum" = farhop_show::words::chance_words())))]
        chance_word: &'v str,
        #[cfg_attr(test, schemars(range(min = 0, max = 1)))]
        so_far: f64,
        #[cfg_attr(test, schemars(range(min = 0, max = 1)))]
        needed: f64,
        #[cfg_attr(test, schemars(range(min = 0, max = 1)))]
        powered: f64,
        mode: &'v str,
        /// Expected minutes on the air of the whole call, calling and all its messages included: the same in every row of one call.
        air_min: f64,
        #[cfg_attr(test, schemars(range(min = 0, max = 1)))]
        duty: f64,
        energy_wh: f64,
        #[cfg_attr(test, schemars(extend("enum" = schema::limits_or_nothing())))]
        limit: Option<&'v str>,
    }
}

row! {
    /// The budget of one hour on one route.
    BudgetRow {
        #[cfg_attr(test, schemars(extend("format" = "date-time")))]
        at_utc: &'v str,
        #[cfg_attr(test, schemars(range(min = 0, max = 1)))]
        chance: f64,
        #[cfg_attr(test, schemars(extend("enum" = farhop_show::words::chance_words())))]
        chance_word: &'v str,
        #[cfg_attr(test, schemars(range(min = 0, max = 1)))]
        link_chance: f64,
        carrier: Option<&'v str>,
        takeoff_deg: Option<f64>,
        #[cfg_attr(test, schemars(range(min = 0, max = 1)))]
        support: Option<f64>,
        loss_db: Option<f64>,
        absorption_db: Option<f64>,
        horizon_db: Option<f64>,
        auroral_db: Option<f64>,
        site_gain_dbi: Option<f64>,
        station_gain_dbi: Option<f64>,
        to_station_snr_p10_db: f64,
        to_station_snr_p50_db: f64,
        to_station_snr_p90_db: f64,
        to_station_noise_fa_db: f64,
        to_site_snr_p10_db: f64,
        to_site_snr_p50_db: f64,
        to_site_snr_p90_db: f64,
        to_site_noise_fa_db: f64,
        #[cfg_attr(test, schemars(extend("enum" = farhop_show::words::LIMIT_KEYS)))]
        limit: &'v str,
    }
}

/// All calls of the plan in order of time, one row for each message in each call.
///
/// # Errors
/// Only if writing to memory fails.
pub fn calls_csv(view: &PlanView) -> Result<String, TableError> {
    let rows: Vec<CallRow<'_>> = view
        .schedule
        .iter()
        .flat_map(|send| send.messages.iter().map(move |m| call_row(send, m)))
        .collect();
    written(CallRow::HEADS, &rows)
}

fn call_row<'v>(send: &'v SendView, message: &'v SentView) -> CallRow<'v> {
    CallRow {
        site: &send.route.site,
        station: &send.route.station,
        callsign: &send.route.callsign,
        freq_mhz: send.route.freq_mhz,
        bandwidth_hz: send.route.bandwidth_hz,
        antenna: &send.route.antenna,
        distance_km: send.route.distance_km,
        bearing_true_deg: send.route.bearing_true_deg,
        bearing_magnetic_deg: send.route.bearing_magnetic_deg,
        start_utc: &send.start,
        end_utc: &send.end,
        message: &message.message,
        chance: message.chance.probability,
        chance_word: message.chance.word,
        so_far: message.so_far.probability,
        needed: send.needed.probability,
        powered: send.powered.probability,
        mode: &send.mode,
        air_min: send.air_min,
        duty: send.duty,
        energy_wh: send.energy_wh,
        limit: send.hour.as_ref().map(|h| h.limit),
    }
}

/// Every hour of every route with its terms, of a view that has them (`Told::every_hour`).
///
/// # Errors
/// Only if writing to memory fails.
pub fn budgets_csv(view: &PlanView) -> Result<String, TableError> {
    let rows: Vec<BudgetRow<'_>> = view
        .strips
        .iter()
        .flatten()
        .flat_map(|strip| strip.hours.iter().map(|hour| budget_row(&strip.route, hour)))
        .collect();
    written(BudgetRow::HEADS, &rows)
}

fn budget_row<'v>(route: &'v RouteView, hour: &'v CellView) -> BudgetRow<'v> {
    let carrier = hour.carrier.as_ref();
    let of = |pick: fn(&CarrierView) -> f64| carrier.map(pick);
    BudgetRow {
        site: &route.site,
        station: &route.station,
        callsign: &route.callsign,
        freq_mhz: route.freq_mhz,
        bandwidth_hz: route.bandwidth_hz,
        antenna: &route.antenna,
        distance_km: route.distance_km,
        bearing_true_deg: route.bearing_true_deg,
        bearing_magnetic_deg: route.bearing_magnetic_deg,
        at_utc: &hour.at,
        chance: hour.chance.probability,
        chance_word: hour.chance.word,
        link_chance: hour.link_chance.probability,
        carrier: carrier.map(|c| c.mode.as_str()),
        takeoff_deg: of(|c| c.takeoff_deg),
        support: of(|c| c.support),
        loss_db: of(|c| c.loss_db),
        absorption_db: of(|c| c.absorption_db),
        horizon_db: of(|c| c.horizon_db),
        auroral_db: of(|c| c.auroral_db),
        site_gain_dbi: of(|c| c.site_gain_dbi),
        station_gain_dbi: of(|c| c.station_gain_dbi),
        to_station_snr_p10_db: hour.to_station.snr_p10_db,
        to_station_snr_p50_db: hour.to_station.snr_p50_db,
        to_station_snr_p90_db: hour.to_station.snr_p90_db,
        to_station_noise_fa_db: hour.to_station.noise_fa_db,
        to_site_snr_p10_db: hour.to_site.snr_p10_db,
        to_site_snr_p50_db: hour.to_site.snr_p50_db,
        to_site_snr_p90_db: hour.to_site.snr_p90_db,
        to_site_noise_fa_db: hour.to_site.noise_fa_db,
        limit: hour.limit,
    }
}

fn written(heads: &[&str], rows: &[impl Serialize]) -> Result<String, TableError> {
    let fail = |e: &dyn std::fmt::Display| TableError(e.to_string());
    // RFC 4180 ends its lines with CR LF.
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .has_headers(false)
        .from_writer(Vec::new());
    writer.write_record(heads).map_err(|e| fail(&e))?;
    for row in rows {
        writer.serialize(row).map_err(|e| fail(&e))?;
    }
    let bytes = writer.into_inner().map_err(|e| fail(&e))?;
    String::from_utf8(bytes).map_err(|e| fail(&e))
}

#[cfg(test)]
mod schema {
    //! The published schemas of the rows are what their types make.

    use farhop_show::words::LIMIT_KEYS;
    use serde_json::{Value, json};

    use super::{BudgetRow, CallRow};
    use crate::published::{page_of, written_by};

    const ROW: &str = "One row: a cell with a number is a number, an empty cell is null. Keys end in their unit; instants are universal time.";

    pub(super) fn limits_or_nothing() -> Vec<Value> {
        let words = LIMIT_KEYS.iter().map(|word| json!(word));
        words.chain([Value::Null]).collect()
    }

    #[test]
    fn the_schemas_of_the_rows_are_what_their_types_make() {
        let calls = "A row of the table that `farhop export --csv` gives";
        page_of("windows-row", calls, ROW, written_by::<CallRow<'_>>());
        let budgets = "A row of the table that `farhop export --budgets` gives";
        page_of("budgets-row", budgets, ROW, written_by::<BudgetRow<'_>>());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_plan::DEMO;

    fn full() -> PlanView {
        DEMO.exported().viewer().plan(farhop_show::plan_view::Told {
            every_hour: true,
            ..Default::default()
        })
    }

    fn rows(text: &str) -> (csv::StringRecord, Vec<csv::StringRecord>) {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let head = reader.headers().unwrap().clone();
        (head, reader.records().map(Result::unwrap).collect())
    }

    #[test]
    fn every_message_of_every_call_and_every_hour_has_its_row() {
        let view = full();
        let (head, windows) = rows(&calls_csv(&view).unwrap());
        let wanted: usize = DEMO.plan.sends.iter().map(|s| s.messages.len()).sum();
        assert_eq!(windows.len(), wanted);
        let column = |name: &str| head.iter().position(|h| h == name).unwrap();
        let first = DEMO.plan.sends[0].messages[0];
        let chance: f64 = windows[0][column("chance")].parse().unwrap();
        assert!((chance - first.chance.probability()).abs() <= 5e-5);
        let (_, budgets) = rows(&budgets_csv(&view).unwrap());
        let wanted: usize = DEMO.plan.strips.iter().map(|s| s.cells.len()).sum();
        assert_eq!(budgets.len(), wanted);
    }

    #[test]
    fn a_table_without_rows_has_its_heads() {
        let mut view = full();
        view.schedule.truncate(1);
        view.strips.iter_mut().for_each(|s| s.truncate(1));
        let heads = |text: &str| rows(text).0;
        let (calls, budgets) = (calls_csv(&view).unwrap(), budgets_csv(&view).unwrap());
        view.schedule.clear();
        view.strips = None;
        for (empty, filled) in [(calls_csv(&view), calls), (budgets_csv(&view), budgets)] {
            let empty = empty.unwrap();
            assert_eq!(empty.lines().count(), 1, "{empty}");
            assert_eq!(heads(&empty), heads(&filled));
        }
    }

    /// The heads are the keys by which a row writes itself, in the same order.
    #[test]
    fn the_heads_are_the_keys_of_a_row() {
        let view = full();
        let send = &view.schedule[0];
        let strip = &view.strips.as_ref().unwrap()[0];
        let by_serde = |row: &dyn Fn(&mut csv::Writer<Vec<u8>>)| {
            let mut writer = csv::Writer::from_writer(Vec::new());
            row(&mut writer);
            let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
            rows(&text).0.iter().map(str::to_owned).collect::<Vec<_>>()
        };
        let call = by_serde(&|w| w.serialize(call_row(send, &send.messages[0])).unwrap());
        assert_eq!(call, CallRow::HEADS);
        let budget = by_serde(&|w| w.serialize(budget_row(&strip.route, &strip.hours[0])).unwrap());
        assert_eq!(budget, BudgetRow::HEADS);
    }

    /// One airtime column with one meaning: the same in every row of a call.
    #[test]
    fn the_airtime_is_that_of_the_call() {
        let view = full();
        let (head, table) = rows(&calls_csv(&view).unwrap());
        let airtimes: Vec<usize> = (0..head.len()).filter(|i| head[*i].contains("air")).collect();
        assert_eq!(airtimes.len(), 1, "{head:?}");
        let sends = view.schedule.iter().flat_map(|s| s.messages.iter().map(|_| s.air_min));
        for (row, air_min) in table.iter().zip(sends) {
            assert_eq!(row[airtimes[0]].parse::<f64>().unwrap(), air_min);
        }
    }
}
