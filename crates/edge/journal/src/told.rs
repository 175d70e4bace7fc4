//! Entries in words.

/// `entry 7`, `entries 3, 7 to 9`.
#[must_use]
pub fn entries_told(numbers: &[u64]) -> String {
    let mut runs: Vec<(u64, u64)> = Vec::new();
    for number in numbers {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => runs.push((*number, *number)),
        }
    }
    let told: Vec<String> = runs
        .iter()
        .map(|(a, b)| if a == b { a.to_string() } else { format!("{a} to {b}") })
        .collect();
    let word = if numbers.len() == 1 { "entry" } else { "entries" };
    format!("{word} {}", told.join(", "))
}

/// `1 entry`, `7 entries`.
#[must_use]
pub fn counted(count: usize) -> String {
    format!("{count} {}", if count == 1 { "entry" } else { "entries" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_told_in_runs() {
        assert_eq!(entries_told(&[7]), "entry 7");
        assert_eq!(entries_told(&[3, 7, 8, 9]), "entries 3, 7 to 9");
    }
}
