//! How long own sessions take over the forecast, from the journal.

use farhop_num::maths;

/// Standard deviation of the natural logarithm of the factor from one operator and station to the next (dimensionless; judgement: half
/// as long again or two thirds).
const OPERATOR_LOG_SD: f64 = 0.4;
/// The same from one session to the next of one operator (judgement).
const SESSION_LOG_SD: f64 = 0.5;

/// Minutes of own sessions over those of the forecast (dimensionless), and the sessions on which that rests; none without sessions.
///
/// `ratios` are logged over forecast minutes, the forecast without any factor; `earlier` is what earlier outings had. The logarithms have
/// a normal prior of mean zero, so that few sessions leave the factor near one (conjugate rule; Gelman et al., "Bayesian Data Analysis",
/// section 2.5).
#[must_use]
pub fn session_factor(ratios: &[f64], earlier: Option<(f64, u32)>) -> Option<(f64, u32)> {
    // The prior counts as much as so many sessions.
    let prior = (SESSION_LOG_SD / OPERATOR_LOG_SD).powi(2);
    let logs: Vec<f64> = ratios
        .iter()
        .filter(|r| r.is_finite() && **r > 0.0)
        .map(|r| maths::ln(*r))
        .collect();
    let (mut sum, mut count) = (logs.iter().sum::<f64>(), u32::try_from(logs.len()).unwrap_or(u32::MAX));
    if let Some((factor, sessions)) = earlier.filter(|e| e.0 > 0.0) {
        sum += maths::ln(factor) * (prior + f64::from(sessions));
        count = count.saturating_add(sessions);
    }
    (count > 0).then(|| (maths::exp(sum / (prior + f64::from(count))).clamp(0.2, 5.0), count))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: prior of 1.5625 sessions; four sessions of twice the forecast give 2^(4/5.5625).
    #[test]
    fn few_sessions_move_it_little_and_many_all_the_way() {
        let (factor, sessions) = session_factor(&[2.0; 4], None).unwrap();
        assert!((factor - 2.0_f64.powf(4.0 / 5.5625)).abs() < 1e-12 && sessions == 4);
        assert!((session_factor(&[1.4; 400], None).unwrap().0 - 1.4).abs() < 0.01);
        assert!(session_factor(&[2.0], None).unwrap().0 < 1.4);
        assert_eq!(session_factor(&[], None), None);
    }

    #[test]
    fn two_outings_one_after_the_other_say_what_both_say_together() {
        let first = session_factor(&[1.2, 1.9, 1.1], None);
        let (both, sessions) = session_factor(&[0.9, 1.6], first).unwrap();
        let (all, _) = session_factor(&[1.2, 1.9, 1.1, 0.9, 1.6], None).unwrap();
        assert!((both - all).abs() < 1e-12 && sessions == 5);
    }
}
