//! Our own form: the keys of `[conditions]` as JSON (`docs/schema/conditions.schema.json`), for who gets them in another way.

use farhop_earth::{UtcTime, parse_place};
use farhop_outing::limits::FOF2_MHZ;
use serde::Deserialize;

use super::{ConditionsError, Dated, Form, Sounded, Understood};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Stated {
    at: Option<String>,
    ssn: Option<f64>,
    flux_sfu: Option<f64>,
    k: Option<f64>,
    a: Option<f64>,
    #[serde(default)]
    fof2: Vec<StatedFof2>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StatedFof2 {
    mhz: f64,
    at: String,
    place: String,
}

/// Reads the form.
pub(super) fn read(text: &str) -> Result<Understood, ConditionsError> {
    let stated: Stated = serde_json::from_str(text).map_err(|e| ConditionsError::Json(e.to_string()))?;
    if stated.ssn.is_some() && stated.flux_sfu.is_some() {
        let cause = "both `ssn` and `flux_sfu` are given; keep one: they say the same thing twice";
        return Err(ConditionsError::Own(cause.to_owned()));
    }
    let at = stated.at.as_deref().map(|text| instant("at", text)).transpose()?;
    let dated = |value: Option<f64>| value.map(|value_own_unit| Dated { value_own_unit, at });
    Ok(Understood {
        issued: at,
        ssn: dated(stated.ssn),
        flux_sfu: dated(stated.flux_sfu),
        k_index: dated(stated.k),
        a_index: dated(stated.a),
        fof2: stated.fof2.iter().map(sounded).collect::<Result<_, _>>()?,
        ..Understood::nothing(Form::Own)
    })
}

fn sounded(stated: &StatedFof2) -> Result<Sounded, ConditionsError> {
    if !FOF2_MHZ.allows(stated.mhz) {
        return Err(ConditionsError::Range {
            what: "`fof2.mhz`",
            value: stated.mhz,
            limit: FOF2_MHZ.to_string(),
        });
    }
    let place = parse_place(&stated.place).map_err(|e| ConditionsError::Own(format!("`fof2.place`: {e}")))?;
    Ok(Sounded {
        fof2_mhz: stated.mhz,
        at: instant("fof2.at", &stated.at)?,
        place,
    })
}

fn instant(key: &str, text: &str) -> Result<UtcTime, ConditionsError> {
    UtcTime::parse(text).map_err(|e| ConditionsError::Own(format!("`{key}`: {e}; write it like 2026-11-25T12:00:00Z")))
}
