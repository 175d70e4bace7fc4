//! Finding the fault: from symptoms and answers to likely causes and the next check.
//!
//! [`Case::new`] takes the chain of parts in use from the kit. [`Case::diagnose`] is a pure function of what was seen
//! and answered, so a session is a list that can be written down and taken up again after a power cut.
//!
//! Bayes' rule over all sets of failed parts with at most two not yet found ([`posterior`]); what each set shows follows
//! from the graph (who is left without power) and from rules in plain words ([`rules`]). The next check brings most
//! information for its minutes and risk ([`checks`]).

pub mod advice;
pub mod chain;
pub mod checks;
pub mod posterior;
pub mod rules;
pub mod symptom;

pub use advice::{Advice, Diagnosis, Recovery, RecoveryReason, StandIn};
pub use chain::{Place, Setup};
pub use checks::{Check, CheckKind, CheckValue};
pub use posterior::{Answer, Case, Evidence, Finding, Ranked, Suspect};
pub use symptom::{Observation, Symptom};
