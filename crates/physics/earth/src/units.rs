//! Exact conversions between metric and imperial units.
//!
//! The international yard and pound agreement (1959): 1 yd = 0.9144 m, 1 lb = 0.453 592 37 kg, both exact;
//! 1 ft = 1/3 yd, 1 in = 1/36 yd, 1 mi = 1760 yd.

/// Metres in a foot (exact).
pub const M_PER_FT: f64 = 0.3048;
/// Metres in an inch (exact).
pub const M_PER_IN: f64 = 0.0254;
/// Kilometres in a statute mile (exact).
pub const KM_PER_MI: f64 = 1.609_344;
/// Kilograms in an avoirdupois pound (exact).
pub const KG_PER_LB: f64 = 0.453_592_37;

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
}
