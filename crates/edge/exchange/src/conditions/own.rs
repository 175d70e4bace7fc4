//! Our own form: the keys of `[conditions]` as JSON (`docs/schema/conditions.schema.json`), for who gets them in another way.

use farhop_earth::{UtcTime, parse_place};
use farhop_outing::limits::FOF2_MHZ;
#[cfg(test)]
use farhop_outing::limits::{A_INDEX, FLUX_SFU, K_INDEX, SUNSPOTS};
use serde::Deserialize;

use super::{ConditionsError, Dated, Form, Sounded, Understood};

#[derive(Deserialize)]
#[cfg_attr(
    test,
    derive(schemars::JsonSchema),
    schemars(extend("not" = schema::never(), "anyOf" = schema::one_of()))
)]
#[serde(deny_unknown_fields)]
struct Stated {
    /// When the values were measured or issued.
    #[serde(default)]
    #[cfg_attr(test, schemars(with = "String", extend("format" = "date-time")))]
    at: Option<String>,
    /// Twelve-month smoothed sunspot number.
    #[serde(default)]
    #[cfg_attr(test, schemars(with = "f64", range(min = SUNSPOTS.low, max = SUNSPOTS.high)))]
    ssn: Option<f64>,
    /// Solar flux at 10.7 cm, solar flux units.
    #[serde(default)]
    #[cfg_attr(test, schemars(with = "f64", range(min = FLUX_SFU.low, max = FLUX_SFU.high)))]
    flux_sfu: Option<f64>,
    /// Planetary K index.
    #[serde(default)]
    #[cfg_attr(test, schemars(with = "f64", range(min = K_INDEX.low, max = K_INDEX.high)))]
    k: Option<f64>,
    /// Planetary A index.
    #[serde(default)]
    #[cfg_attr(test, schemars(with = "f64", range(min = A_INDEX.low, max = A_INDEX.high)))]
    a: Option<f64>,
    /// Ionosonde readings.
    #[serde(default)]
    fof2: Vec<StatedFof2>,
}

#[derive(Deserialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct StatedFof2 {
    /// Critical frequency of the F2 layer, MHz.
    #[cfg_attr(test, schemars(range(min = FOF2_MHZ.low, max = FOF2_MHZ.high)))]
    mhz: f64,
    /// When it was read.
    #[cfg_attr(test, schemars(extend("format" = "date-time")))]
    at: String,
    /// Latitude,longitude in degrees, or a grid locator.
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

#[cfg(test)]
mod schema {
    //! The published schema of the form is what its type makes.

    use serde_json::{Value, json};

    use super::Stated;
    use crate::published::{page_of, read_by};

    /// The sunspot number and the flux say the same thing twice.
    pub(super) fn never() -> Value {
        json!({ "required": ["ssn", "flux_sfu"] })
    }

    /// Something must be there.
    pub(super) fn one_of() -> Value {
        let keys = ["ssn", "flux_sfu", "k", "a", "fof2"];
        keys.map(|key| json!({ "required": [key] })).into_iter().collect()
    }

    #[test]
    fn the_schema_of_the_form_is_what_its_type_makes() {
        let title = "Conditions that `farhop conditions --file` reads";
        let about = "The keys of [conditions] in an outing file. At least one value must be there.";
        page_of("conditions", title, about, read_by::<Stated>());
    }
}
