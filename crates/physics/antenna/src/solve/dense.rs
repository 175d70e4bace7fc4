//! A dense complex matrix, and its solution by elimination with partial pivoting.
//!
//! Our own and not a library's, because the libraries on offer choose their order of summation by the processor: the last digits then
//! differ between machines, and what is counted on drawn days differs with them. Here the order is written down: every machine gives
//! the same bits.

use num_complex::Complex;

use crate::C64;

/// Columns that are eliminated together. The order of summation does not depend on it; only how often memory is walked through.
const PANEL: usize = 4;

/// A square matrix of complex numbers, by rows; real and imaginary parts apart, so that a processor takes several at once.
#[derive(Clone, Debug, PartialEq)]
pub struct Matrix {
    n: usize,
    re: Vec<f64>,
    im: Vec<f64>,
}

impl Matrix {
    /// A matrix of zeros.
    #[must_use]
    pub fn zeros(n: usize) -> Self {
        Self {
            n,
            re: vec![0.0; n * n],
            im: vec![0.0; n * n],
        }
    }

    /// Adds to an element.
    pub fn add(&mut self, (row, column): (usize, usize), value: C64) {
        let at = row * self.n + column;
        self.re[at] += value.re;
        self.im[at] += value.im;
    }

    /// An element.
    #[must_use]
    pub fn at(&self, row: usize, column: usize) -> C64 {
        let at = row * self.n + column;
        Complex::new(self.re[at], self.im[at])
    }

    fn set(&mut self, row: usize, column: usize, value: C64) {
        let at = row * self.n + column;
        self.re[at] = value.re;
        self.im[at] = value.im;
    }

    fn swap_rows(&mut self, a: usize, b: usize) {
        for part in [&mut self.re, &mut self.im] {
            for column in 0..self.n {
                part.swap(a * self.n + column, b * self.n + column);
            }
        }
    }

    /// The x of A x = b (Golub and Van Loan, Matrix Computations, algorithm 3.4.1: the outer product form, a panel of columns at a time).
    /// Numbers that are not finite come out where the matrix has no inverse.
    #[must_use]
    pub fn solve(mut self, mut right: Vec<C64>) -> Vec<C64> {
        let n = self.n;
        for first in (0..n).step_by(PANEL) {
            let end = (first + PANEL).min(n);
            for k in first..end {
                let pivot = self.pivot(k);
                if pivot != k {
                    self.swap_rows(k, pivot);
                    right.swap(k, pivot);
                }
                self.eliminate_in_panel(k, end);
            }
            self.eliminate_beyond(first, end);
        }
        self.substitute(right)
    }

    /// The row whose element of column k is the largest, from k on; the first of equal ones.
    fn pivot(&self, k: usize) -> usize {
        let mut best = (k, self.at(k, k).norm_sqr());
        for row in k + 1..self.n {
            let size = self.at(row, k).norm_sqr();
            if size > best.1 {
                best = (row, size);
            }
        }
        best.0
    }

    /// Factors of column k, and what it takes from the other columns of its panel.
    fn eliminate_in_panel(&mut self, k: usize, end: usize) {
        let diagonal = self.at(k, k);
        for row in k + 1..self.n {
            let factor = self.at(row, k) / diagonal;
            self.set(row, k, factor);
            for column in k + 1..end {
                let left = self.at(row, column) - factor * self.at(k, column);
                self.set(row, column, left);
            }
        }
    }

    /// What a panel takes from the columns right of it: first within its own rows, then from all rows below.
    fn eliminate_beyond(&mut self, first: usize, end: usize) {
        let n = self.n;
        for k in first..end {
            for row in k + 1..end {
                let factor = self.at(row, k);
                let (above_re, below_re) = self.re.split_at_mut(row * n);
                let (above_im, below_im) = self.im.split_at_mut(row * n);
                let from = k * n + end..(k + 1) * n;
                take(
                    factor,
                    (&above_re[from.clone()], &above_im[from]),
                    (&mut below_re[end..n], &mut below_im[end..n]),
                );
            }
        }
        for row in end..n {
            // A panel that has rows below it is full.
            let factors: [C64; PANEL] = std::array::from_fn(|i| self.at(row, first + i));
            let (above_re, below_re) = self.re.split_at_mut(row * n);
            let (above_im, below_im) = self.im.split_at_mut(row * n);
            let (to_re, to_im) = (&mut below_re[end..n], &mut below_im[end..n]);
            let rows = [0, 1, 2, 3].map(|k| (first + k) * n + end..(first + k + 1) * n);
            let (from_re, from_im): ([&[f64]; PANEL], [&[f64]; PANEL]) =
                (rows.clone().map(|row| &above_re[row]), rows.map(|row| &above_im[row]));
            take_four(&factors, from_re, from_im, (to_re, to_im));
        }
    }

    fn substitute(&self, mut x: Vec<C64>) -> Vec<C64> {
        for row in 0..self.n {
            let taken: C64 = (0..row).map(|k| self.at(row, k) * x[k]).sum();
            x[row] -= taken;
        }
        for row in (0..self.n).rev() {
            let taken: C64 = (row + 1..self.n).map(|k| self.at(row, k) * x[k]).sum();
            x[row] = (x[row] - taken) / self.at(row, row);
        }
        x
    }
}

fn take(factor: C64, (from_re, from_im): (&[f64], &[f64]), (to_re, to_im): (&mut [f64], &mut [f64])) {
    for (((re, im), f_re), f_im) in to_re.iter_mut().zip(to_im).zip(from_re).zip(from_im) {
        *re -= factor.re * f_re - factor.im * f_im;
        *im -= factor.re * f_im + factor.im * f_re;
    }
}

/// Four times [`take`], one after another, with one walk through the row.
fn take_four(
    factors: &[C64; PANEL],
    from_re: [&[f64]; PANEL],
    from_im: [&[f64]; PANEL],
    (to_re, to_im): (&mut [f64], &mut [f64]),
) {
    let length = to_re.len();
    let (re, im) = (&mut to_re[..length], &mut to_im[..length]);
    let [r0, r1, r2, r3] = from_re.map(|row| &row[..length]);
    let [i0, i1, i2, i3] = from_im.map(|row| &row[..length]);
    let [a, b, c, d] = *factors;
    for at in 0..length {
        let (mut x, mut y) = (re[at], im[at]);
        x -= a.re * r0[at] - a.im * i0[at];
        y -= a.re * i0[at] + a.im * r0[at];
        x -= b.re * r1[at] - b.im * i1[at];
        y -= b.re * i1[at] + b.im * r1[at];
        x -= c.re * r2[at] - c.im * i2[at];
        y -= c.re * i2[at] + c.im * r2[at];
        x -= d.re * r3[at] - d.im * i3[at];
        y -= d.re * i3[at] + d.im * r3[at];
        re[at] = x;
        im[at] = y;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use faer::Mat;
    use faer::prelude::Solve as _;

    /// A well filled matrix whose diagonal is not the largest; the numbers of a plain multiplicative generator (Lehmer 1951).
    fn filled(n: usize) -> Vec<C64> {
        let mut state = 1u64;
        let mut next = || {
            state = state * 48_271 % 2_147_483_647;
            state as f64 / 2_147_483_647.0 - 0.5
        };
        (0..n * n + n).map(|_| Complex::new(next(), next())).collect()
    }

    /// Judge: the dense solver of the library `faer` 0.24.
    #[test]
    fn solutions_are_those_of_a_linear_algebra_library() {
        for n in [1, 2, 3, 4, 5, 7, 8, 9, 31, 100, 203] {
            let numbers = filled(n);
            let mut matrix = Matrix::zeros(n);
            for row in 0..n {
                for column in 0..n {
                    matrix.add((row, column), numbers[row * n + column]);
                }
            }
            let right = numbers[n * n..].to_vec();
            let theirs = Mat::from_fn(n, n, |row, column| numbers[row * n + column])
                .partial_piv_lu()
                .solve(&Mat::from_fn(n, 1, |row, _| right[row]));
            let ours = matrix.solve(right);
            let largest = (0..n).map(|row| theirs[(row, 0)].norm()).fold(0.0, f64::max);
            for row in 0..n {
                let apart = (ours[row] - theirs[(row, 0)]).norm();
                assert!(apart < 1e-10 * largest, "n = {n}, row {row}: {apart} of {largest}");
            }
        }
    }

    #[test]
    fn a_matrix_without_inverse_gives_nothing_finite() {
        let mut matrix = Matrix::zeros(2);
        for row in 0..2 {
            for column in 0..2 {
                matrix.add((row, column), Complex::new(1.0, 2.0));
            }
        }
        let x = matrix.solve(vec![Complex::new(1.0, 0.0), Complex::new(2.0, 0.0)]);
        assert!(x.iter().all(|x| !x.re.is_finite() || !x.im.is_finite()), "{x:?}");
    }
}
