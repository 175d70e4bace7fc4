//! Three-component vectors in metres: just enough algebra for wires.

/// A point or a vector, metres unless said otherwise.
pub type Vec3 = [f64; 3];

/// a + b.
#[must_use]
pub fn add(a: Vec3, b: Vec3) -> Vec3 {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

/// a - b.
#[must_use]
pub fn sub(a: Vec3, b: Vec3) -> Vec3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// a scaled by the dimensionless factor.
#[must_use]
pub fn scale(a: Vec3, factor: f64) -> Vec3 {
    [a[0] * factor, a[1] * factor, a[2] * factor]
}

/// a + factor * b.
#[must_use]
pub fn along(a: Vec3, factor: f64, b: Vec3) -> Vec3 {
    [a[0] + factor * b[0], a[1] + factor * b[1], a[2] + factor * b[2]]
}

/// Scalar product.
#[must_use]
pub fn dot(a: Vec3, b: Vec3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Length.
#[must_use]
pub fn norm(a: Vec3) -> f64 {
    dot(a, a).sqrt()
}

/// The mirror image in the ground surface z = 0.
#[must_use]
pub fn mirrored(a: Vec3) -> Vec3 {
    [a[0], a[1], -a[2]]
}
