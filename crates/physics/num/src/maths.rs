//! Elementary functions that give the same bits on every machine.
//!
//! The functions of `f64` come from the machine's own library, and two libraries differ in the last place. That is nothing to a signal,
//! but it turns a ray at an edge or a drawn day at a tie, and then a chance is another. So every room asks here; the functions are those
//! of the crate `libm` (the musl library in Rust, itself from FreeBSD's msun), which are additions and multiplications in a fixed order.
//! Roots, roundings and remainders are exact everywhere (IEEE 754) and stay methods.
//!
//! ```
//! use farhop_num::maths;
//! assert_eq!(maths::exp10(-2.0), 0.01);
//! assert!((maths::exp(maths::ln(7.0)) - 7.0f64).abs() < 1e-14);
//! ```

use num_complex::Complex64;

/// What has an exponential, a logarithm, and a hyperbolic sine and cosine: real and complex numbers.
pub trait Elementary: Copy {
    /// e to this power.
    #[must_use]
    fn exponential(self) -> Self;
    /// Natural logarithm, the principal one.
    #[must_use]
    fn logarithm(self) -> Self;
    /// Hyperbolic sine.
    #[must_use]
    fn hyperbolic_sine(self) -> Self;
    /// Hyperbolic cosine.
    #[must_use]
    fn hyperbolic_cosine(self) -> Self;
}

macro_rules! elementary {
    ($($of:ty: $exp:ident $log:ident $sinh:ident $cosh:ident;)*) => {$(
        impl Elementary for $of {
            fn exponential(self) -> Self {
                libm::$exp(self)
            }

            fn logarithm(self) -> Self {
                libm::$log(self)
            }

            fn hyperbolic_sine(self) -> Self {
                libm::$sinh(self)
            }

            fn hyperbolic_cosine(self) -> Self {
                libm::$cosh(self)
            }
        }
    )*};
}

elementary! {
    f64: exp log sinh cosh;
    f32: expf logf sinhf coshf;
}

impl Elementary for Complex64 {
    fn exponential(self) -> Self {
        polar(libm::exp(self.re), self.im)
    }

    fn logarithm(self) -> Self {
        Self::new(libm::log(norm(self)), arg(self))
    }

    fn hyperbolic_sine(self) -> Self {
        let (sin, cos) = sin_cos(self.im);
        Self::new(libm::sinh(self.re) * cos, libm::cosh(self.re) * sin)
    }

    fn hyperbolic_cosine(self) -> Self {
        let (sin, cos) = sin_cos(self.im);
        Self::new(libm::cosh(self.re) * cos, libm::sinh(self.re) * sin)
    }
}

/// e^x, real or complex.
#[must_use]
pub fn exp<T: Elementary>(x: T) -> T {
    x.exponential()
}

/// Natural logarithm, real or complex.
#[must_use]
pub fn ln<T: Elementary>(x: T) -> T {
    x.logarithm()
}

/// Hyperbolic sine, real or complex.
#[must_use]
pub fn sinh<T: Elementary>(x: T) -> T {
    x.hyperbolic_sine()
}

/// Hyperbolic cosine, real or complex.
#[must_use]
pub fn cosh<T: Elementary>(x: T) -> T {
    x.hyperbolic_cosine()
}

macro_rules! one_argument {
    ($($(#[$doc:meta])* $name:ident = $theirs:ident;)*) => {$(
        $(#[$doc])*
        #[must_use]
        pub fn $name(x: f64) -> f64 {
            libm::$theirs(x)
        }
    )*};
}

one_argument! {
    /// Tangent of an angle in radians.
    tan = tan;
    /// Angle in radians of a sine, -π/2 to π/2.
    asin = asin;
    /// Angle in radians of a cosine, 0 to π.
    acos = acos;
    /// Angle in radians of a tangent, -π/2 to π/2.
    atan = atan;
    /// Sine of an angle in radians.
    sin = sin;
    /// Cosine of an angle in radians.
    cos = cos;
    /// Hyperbolic tangent.
    tanh = tanh;
    /// 2^x.
    exp2 = exp2;
    /// e^x - 1, exact for small x.
    exp_m1 = expm1;
    /// ln(1 + x), exact for small x.
    ln_1p = log1p;
    /// Logarithm to base 10.
    log10 = log10;
    /// Logarithm to base 2.
    log2 = log2;
    /// Cube root.
    cbrt = cbrt;
}

/// 10^-300, 10^-285, … 10^300.
const FIFTEENS: [f64; 41] = [
    1e-300, 1e-285, 1e-270, 1e-255, 1e-240, 1e-225, 1e-210, 1e-195, 1e-180, 1e-165, 1e-150, 1e-135, 1e-120, 1e-105,
    1e-90, 1e-75, 1e-60, 1e-45, 1e-30, 1e-15, 1e0, 1e15, 1e30, 1e45, 1e60, 1e75, 1e90, 1e105, 1e120, 1e135, 1e150,
    1e165, 1e180, 1e195, 1e210, 1e225, 1e240, 1e255, 1e270, 1e285, 1e300,
];

/// 10^x. Beyond 10^±15 the crate takes its general power, which costs more: a whole power of 10^15 is taken out before, which the
/// literals hold; what is left is exact.
#[must_use]
pub fn exp10(x: f64) -> f64 {
    let fifteens = (x / 15.0).trunc();
    match FIFTEENS.get((fifteens + 20.0) as usize) {
        Some(whole) if fifteens != 0.0 && fifteens.abs() <= 20.0 => libm::exp10(x - 15.0 * fifteens) * whole,
        _ => libm::exp10(x),
    }
}

/// Sine and cosine of an angle in radians.
#[must_use]
pub fn sin_cos(x: f64) -> (f64, f64) {
    libm::sincos(x)
}

/// Angle in radians of the point (x, y), -π to π.
#[must_use]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// Length of the hypotenuse: the bits of the crate's own, which works its root out by whole numbers. The root of the processor is
/// exact too, and sooner.
#[must_use]
pub fn hypot(x: f64, y: f64) -> f64 {
    let (x, y) = (x.abs(), y.abs());
    let (long, short) = if x < y { (y, x) } else { (x, y) };
    // Away from overflow, underflow, nothing, and legs of which one does not show.
    let usual = short > 1e-100 && long < 1e100 && long < 1e15 * short;
    if !usual {
        return libm::hypot(x, y);
    }
    let (long_high, long_low) = square(long);
    let (short_high, short_low) = square(short);
    (short_low + long_low + short_high + long_high).sqrt()
}

/// A square and what its rounding lost (Dekker 1971: the number in two halves, whose products are exact).
fn square(x: f64) -> (f64, f64) {
    const HALVES: f64 = 134_217_729.0;
    let wide = x * HALVES;
    let high = x - wide + wide;
    let low = x - high;
    let whole = x * x;
    (whole, high * high - whole + 2.0 * high * low + low * low)
}

/// x^y.
#[must_use]
pub fn powf(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Size of a complex number.
#[must_use]
pub fn norm(z: Complex64) -> f64 {
    hypot(z.re, z.im)
}

/// Angle of a complex number in radians, -π to π.
#[must_use]
pub fn arg(z: Complex64) -> f64 {
    atan2(z.im, z.re)
}

/// The complex number of a size and an angle in radians.
#[must_use]
pub fn polar(size: f64, angle_rad: f64) -> Complex64 {
    let (sin, cos) = sin_cos(angle_rad);
    Complex64::new(size * cos, size * sin)
}

/// Square root of a complex number, the one with a real part that is not negative. By half angles without any angle
/// (Press and others, Numerical Recipes, 5.4): the larger part first, the smaller from it, so that nothing cancels.
#[must_use]
pub fn sqrt(z: Complex64) -> Complex64 {
    let size = norm(z);
    if size == 0.0 {
        return Complex64::new(0.0, z.im);
    }
    let larger = (0.5 * (size + z.re.abs())).sqrt();
    let smaller = 0.5 * z.im.abs() / larger;
    let (re, im) = if z.re >= 0.0 {
        (larger, smaller)
    } else {
        (smaller, larger)
    };
    Complex64::new(re, im.copysign(z.im))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hypotenuse_has_the_bits_of_the_library() {
        let mut state = 1u64;
        let mut next = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            f64::from((state >> 33) as u32) / f64::from(1u32 << 31)
        };
        for _ in 0..200_000 {
            let of = |a: f64, b: f64| a * exp10(40.0 * b - 20.0);
            let (x, y) = (of(next() - 0.5, next()), of(next() - 0.5, next()));
            assert_eq!(hypot(x, y).to_bits(), libm::hypot(x, y).to_bits(), "{x} {y}");
        }
        for (x, y) in [
            (0.0, 3.0),
            (1e300, 1e300),
            (1e-300, 1e-310),
            (f64::INFINITY, f64::NAN),
            (1e20, 1.0),
        ] {
            assert_eq!(hypot(x, y).to_bits(), libm::hypot(x, y).to_bits(), "{x} {y}");
        }
        assert!(hypot(f64::NAN, 1.0).is_nan());
    }

    /// The decimal reader of the standard library rounds correctly: it is the judge.
    #[test]
    fn powers_of_ten_are_right_to_the_last_places() {
        for k in -3_000i32..=3_000 {
            let x = f64::from(k) / 10.0;
            let whole: f64 = format!("1e{}", k.div_euclid(10)).parse().unwrap();
            let part = libm::pow(10.0, f64::from(k.rem_euclid(10)) / 10.0);
            // The argument itself is rounded: half a place of 300 is 2.8e-14, and 10^x multiplies that by ln 10.
            let bar = 1e-15 + 2.303 * x.abs() * f64::EPSILON;
            let off = (exp10(x) / (whole * part) - 1.0).abs();
            assert!(off <= bar, "10^{x}: {off}");
            if k % 10 == 0 {
                assert!((exp10(x) / whole - 1.0).abs() <= f64::EPSILON, "10^{x}");
            }
        }
        assert_eq!((exp10(-400.0), exp10(400.0)), (0.0, f64::INFINITY));
        assert!(exp10(f64::NAN).is_nan());
    }
    use proptest::prelude::*;

    /// Judge: the machine's own library, through the standard library. Both promise about one unit in the last place.
    fn close(ours: f64, theirs: f64) -> bool {
        ours == theirs
            || (ours.is_nan() && theirs.is_nan())
            || (ours - theirs).abs() <= 4.0 * f64::EPSILON * theirs.abs().max(f64::MIN_POSITIVE)
    }

    proptest! {
        #[test]
        fn real_functions_are_those_of_the_machine(x in -700.0..700.0f64, y in -8.0..8.0f64) {
            prop_assert!(close(exp(x), x.exp()) && close(ln(x), x.ln()));
            prop_assert!(close(sin(x), x.sin()) && close(cos(x), x.cos()) && close(tan(x), x.tan()));
            prop_assert!(close(exp2(x), x.exp2()) && close(exp_m1(x), x.exp_m1()) && close(cbrt(x), x.cbrt()));
            prop_assert!(close(log10(x), x.log10()) && close(log2(x), x.log2()) && close(ln_1p(x), x.ln_1p()));
            prop_assert!(close(sinh(y), y.sinh()) && close(cosh(y), y.cosh()) && close(tanh(y), y.tanh()));
            prop_assert!(close(asin(y / 8.0), (y / 8.0).asin()) && close(acos(y / 8.0), (y / 8.0).acos()) && close(atan(x), x.atan()));
            prop_assert!(close(atan2(y, x), y.atan2(x)) && close(hypot(x, y), x.hypot(y)) && close(powf(x.abs(), y), x.abs().powf(y)));
            prop_assert!(close(exp10(y), 10f64.powf(y)));
            prop_assert_eq!(sin_cos(x), (sin(x), cos(x)));
        }

        #[test]
        fn complex_functions_are_those_of_the_library_of_complex_numbers(re in -30.0..30.0f64, im in -30.0..30.0f64) {
            let z = Complex64::new(re, im);
            let near = |ours: Complex64, theirs: Complex64| (ours - theirs).norm() <= 1e-14 * theirs.norm();
            prop_assert!(near(exp(z), z.exp()) && near(ln(z), z.ln()) && near(sqrt(z), z.sqrt()));
            prop_assert!(near(sinh(z), z.sinh()) && near(cosh(z), z.cosh()));
            prop_assert!(near(polar(norm(z), arg(z)), z));
        }
    }

    #[test]
    fn roots_on_the_axes() {
        let of = |re, im| sqrt(Complex64::new(re, im));
        assert_eq!(of(4.0, 0.0), Complex64::new(2.0, 0.0));
        assert_eq!(of(-4.0, 0.0), Complex64::new(0.0, 2.0));
        assert_eq!(of(-4.0, -0.0), Complex64::new(0.0, -2.0));
        assert_eq!(of(0.0, 2.0), Complex64::new(1.0, 1.0));
        assert_eq!(of(0.0, 0.0), Complex64::new(0.0, 0.0));
    }
}
