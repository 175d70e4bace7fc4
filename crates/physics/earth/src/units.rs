//! Exact conversions between metric and imperial units, and quantities as people read them in either.
//!
//! The international yard and pound agreement (1959): 1 yd = 0.9144 m, 1 lb = 0.453 592 37 kg, both exact;
//! 1 ft = 1/3 yd, 1 in = 1/36 yd, 1 mi = 1760 yd.

/// Metres in a foot (exact).
pub const M_PER_FT: f64 = 0.3048;
/// Metres in an inch (exact).
pub(crate) const M_PER_IN: f64 = 0.0254;
/// Kilometres in a statute mile (exact).
pub(crate) const KM_PER_MI: f64 = 1.609_344;
/// Kilograms in an avoirdupois pound (exact).
pub(crate) const KG_PER_LB: f64 = 0.453_592_37;

macro_rules! conversions {
    ($($name:ident, $from:literal, $to:literal, $formula:expr;)*) => {
        $(
            #[doc = concat!($to, " from ", $from, ".")]
            #[must_use]
            pub fn $name(value: f64) -> f64 {
                let convert: fn(f64) -> f64 = $formula;
                convert(value)
            }
        )*
    };
}

conversions! {
    ft_from_m, "metres", "Feet", |m| m / M_PER_FT;
    m_from_ft, "feet", "Metres", |ft| ft * M_PER_FT;
    in_from_m, "metres", "Inches", |m| m / M_PER_IN;
    m_from_in, "inches", "Metres", |inches| inches * M_PER_IN;
    mi_from_km, "kilometres", "Statute miles", |km| km / KM_PER_MI;
    km_from_mi, "statute miles", "Kilometres", |mi| mi * KM_PER_MI;
    lb_from_kg, "kilograms", "Pounds", |kg| kg / KG_PER_LB;
    kg_from_lb, "pounds", "Kilograms", |lb| lb * KG_PER_LB;
    f_from_c, "degrees Celsius", "Degrees Fahrenheit", |c| c * 1.8 + 32.0;
    c_from_f, "degrees Fahrenheit", "Degrees Celsius", |f| (f - 32.0) / 1.8;
}

/// Units for people.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// Metres, kilometres, kilograms, degrees Celsius.
    #[default]
    Metric,
    /// Feet, miles, pounds, degrees Fahrenheit.
    Imperial,
}

impl Units {
    /// All systems with the word of the outing file.
    pub const WORDS: [(&'static str, Self); 2] = [("metric", Self::Metric), ("imperial", Self::Imperial)];

    /// A length near at hand, `length_m` in metres, to the tenth: `10.0 m` or `32.8 ft`.
    #[must_use]
    pub fn length(self, length_m: f64) -> String {
        match self {
            Self::Metric => format!("{length_m:.1} m"),
            Self::Imperial => format!("{:.1} ft", ft_from_m(length_m)),
        }
    }

    /// A height above the sea or a length on the ground, `length_m` in metres, to the whole metre or foot.
    #[must_use]
    pub fn whole_length(self, length_m: f64) -> String {
        match self {
            Self::Metric => format!("{length_m:.0} m"),
            Self::Imperial => format!("{:.0} ft", ft_from_m(length_m)),
        }
    }

    /// A distance over land, `distance_km` in kilometres: `412 km` or `256 mi`.
    #[must_use]
    pub fn distance(self, distance_km: f64) -> String {
        match self {
            Self::Metric => format!("{distance_km:.0} km"),
            Self::Imperial => format!("{:.0} mi", mi_from_km(distance_km)),
        }
    }

    /// A mass, `mass_kg` in kilograms: `0.35 kg`, `40 g`, `0.8 oz`, `2.2 lb`.
    #[must_use]
    pub fn mass(self, mass_kg: f64) -> String {
        match self {
            Self::Metric if mass_kg < 0.0995 => format!("{:.0} g", mass_kg * 1_000.0),
            Self::Metric => format!("{mass_kg:.2} kg"),
            Self::Imperial => match lb_from_kg(mass_kg) {
                pounds if pounds < 1.0 => format!("{:.1} oz", pounds * 16.0),
                pounds => format!("{pounds:.1} lb"),
            },
        }
    }

    /// A temperature, `temp_c` in degrees Celsius: `-4 °C` or `25 °F`.
    #[must_use]
    pub fn temperature(self, temp_c: f64) -> String {
        // No "-0".
        match self {
            Self::Metric => format!("{:.0} °C", temp_c.round() + 0.0),
            Self::Imperial => format!("{:.0} °F", f_from_c(temp_c).round() + 0.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn factors_follow_from_the_yard() {
        assert!((M_PER_FT - 0.9144 / 3.0).abs() < 1e-16);
        assert!((M_PER_IN - 0.9144 / 36.0).abs() < 1e-16);
        assert!((KM_PER_MI - 1.760 * 0.9144).abs() < 1e-15);
    }

    #[test]
    fn there_and_back() {
        assert!((m_from_ft(ft_from_m(10.0)) - 10.0).abs() < 1e-12);
        assert!((km_from_mi(mi_from_km(10.0)) - 10.0).abs() < 1e-12);
        assert!((kg_from_lb(lb_from_kg(10.0)) - 10.0).abs() < 1e-12);
        assert!((m_from_in(in_from_m(10.0)) - 10.0).abs() < 1e-12);
        assert!((f_from_c(100.0) - 212.0).abs() < 1e-12 && (c_from_f(-40.0) + 40.0).abs() < 1e-12);
    }

    #[test]
    fn quantities_read_well_in_both_systems() {
        let (metric, imperial) = (Units::Metric, Units::Imperial);
        assert_eq!([metric.length(10.0), imperial.length(10.0)], ["10.0 m", "32.8 ft"]);
        assert_eq!([metric.distance(412.0), imperial.distance(412.0)], ["412 km", "256 mi"]);
        assert_eq!(
            [metric.mass(0.005), metric.mass(0.0996), metric.mass(1.9)],
            ["5 g", "0.10 kg", "1.90 kg"]
        );
        assert_eq!([imperial.mass(1.0), imperial.mass(0.1)], ["2.2 lb", "3.5 oz"]);
        assert_eq!(
            [metric.temperature(-0.2), imperial.temperature(-4.0)],
            ["0 °C", "25 °F"]
        );
    }
}
