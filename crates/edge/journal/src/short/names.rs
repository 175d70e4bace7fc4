//! Names written shortly.

/// Somebody or something that can be named in several ways.
pub(crate) struct Named<'a, T> {
    pub names: Vec<&'a str>,
    pub value: T,
}

/// What a short name may mean.
pub(crate) enum Pick<T> {
    /// Exactly one.
    One(T),
    /// Several; how they are called.
    Many(Vec<String>),
    /// None; the nearest name if one is near.
    None(Option<String>),
}

/// Who is meant: one who is called exactly so, else the only one with a name that begins so. Capitals do not matter.
pub(crate) fn pick<T: Clone>(typed: &str, candidates: &[Named<'_, T>]) -> Pick<T> {
    let wanted = typed.to_lowercase();
    let by = |test: &dyn Fn(&str) -> bool| -> Vec<&Named<'_, T>> {
        let fits = |c: &&Named<'_, T>| c.names.iter().any(|name| test(&name.to_lowercase()));
        candidates.iter().filter(fits).collect()
    };
    let exact = by(&|name| name == wanted);
    let found = if exact.is_empty() {
        by(&|name| name.starts_with(&wanted))
    } else {
        exact
    };
    match found.as_slice() {
        [one] => Pick::One(one.value.clone()),
        [] => Pick::None(nearest(&wanted, candidates)),
        many => Pick::Many(
            many.iter()
                .filter_map(|c| c.names.first())
                .map(|n| (*n).to_owned())
                .collect(),
        ),
    }
}

/// The first name of the candidate that is most like what was typed, when it is near enough to be a slip of the finger.
fn nearest<T>(wanted: &str, candidates: &[Named<'_, T>]) -> Option<String> {
    let likeness = |name: &&str| strsim::normalized_damerau_levenshtein(wanted, &name.to_lowercase());
    let scored = candidates.iter().filter_map(|c| {
        let best = c.names.iter().map(&likeness).max_by(f64::total_cmp)?;
        Some((best, c.names.first()?))
    });
    let best = scored.max_by(|a, b| a.0.total_cmp(&b.0))?;
    (best.0 >= 0.6).then(|| (*best.1).to_owned())
}

/// As [`pick`], with words for the error: `"la" is not clear: larch or lark`.
pub(crate) fn must_pick<T: Clone>(what: &str, typed: &str, candidates: &[Named<'_, T>]) -> Result<T, String> {
    let known = || -> Vec<&str> { candidates.iter().filter_map(|c| c.names.first().copied()).collect() };
    match pick(typed, candidates) {
        Pick::One(value) => Ok(value),
        Pick::Many(names) => Err(format!(
            "\"{typed}\" may be {}; write a little more",
            names.join(" or ")
        )),
        Pick::None(Some(near)) => Err(format!("\"{typed}\" is no {what}; did you mean {near}?")),
        Pick::None(None) if candidates.is_empty() => Err(format!("\"{typed}\" is no {what}: there is none here")),
        Pick::None(None) => Err(format!("\"{typed}\" is no {what}; there are {}", known().join(", "))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn candidates() -> Vec<Named<'static, u8>> {
        [("larch", 1), ("lark", 2), ("lar", 3), ("beech", 4)]
            .map(|(name, value)| Named {
                names: vec![name],
                value,
            })
            .into()
    }

    #[test]
    fn the_whole_name_wins_and_a_beginning_must_be_the_only_one() {
        let known = candidates();
        assert_eq!(must_pick("station", "LAR", &known), Ok(3));
        assert_eq!(must_pick("station", "be", &known), Ok(4));
        assert!(
            must_pick("station", "la", &known)
                .unwrap_err()
                .contains("larch or lark or lar")
        );
        assert!(
            must_pick("station", "beehc", &known)
                .unwrap_err()
                .contains("did you mean beech")
        );
        assert!(
            must_pick("station", "oak", &known)
                .unwrap_err()
                .contains("there are larch, lark")
        );
        assert!(must_pick::<u8>("station", "oak", &[]).is_err());
    }
}
