//! The table as text, and the pages that quote it between markers.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use crate::{AgreementError, Row};

/// Marker that closes a quoted table.
const CLOSE: &str = "<!-- /agreement -->";

/// Three significant digits, plain.
fn number(value: f64) -> String {
    if value.is_infinite() {
        return "no result".into();
    }
    if value.is_nan() {
        return "–".into();
    }
    let magnitude = value.abs();
    if magnitude >= 100.0 {
        format!("{value:.0}")
    } else if magnitude >= 10.0 {
        format!("{value:.1}")
    } else if magnitude >= 1.0 {
        format!("{value:.2}")
    } else if magnitude >= 0.001 || magnitude == 0.0 {
        format!("{value:.3}")
    } else {
        // Below this the figure is rounding noise, which may differ from one C library to the next.
        "< 0.001".into()
    }
}

/// The rows as a Markdown table; with the area as first column where `with_area`.
#[must_use]
pub fn table(rows: &[Row], with_area: bool) -> String {
    let mut text = String::new();
    let area_head = if with_area { "| area " } else { "" };
    let area_rule = if with_area { "|---" } else { "" };
    let _ = writeln!(
        text,
        "{area_head}| what | against | n | 10 % | median | 90 % | worst | unit | bar | met |"
    );
    let _ = writeln!(text, "{area_rule}|---|---|---:|---:|---:|---:|---:|---|---|---|");
    for row in rows {
        if with_area {
            let _ = write!(text, "| {} ", row.area);
        }
        let met = match row.met {
            Some(true) => "yes",
            Some(false) => "NO",
            None => "reported",
        };
        let s = &row.spread;
        let figures: Vec<String> = [s.p10, s.p50, s.p90, s.worst].iter().map(|v| number(*v)).collect();
        let _ = writeln!(
            text,
            "| {} | {} | {} | {} | {} | {} | {} |",
            row.what,
            row.against,
            s.n,
            figures.join(" | "),
            row.unit,
            row.bar,
            met
        );
    }
    text
}

/// One line an area: how many bars are met, how many comparisons that takes, and what is only reported.
#[must_use]
pub fn summary(rows: &[Row]) -> String {
    let mut text = String::from("| area | bars met | comparisons | rows only reported |\n|---|---:|---:|---:|\n");
    for of_area in rows.chunk_by(|a, b| a.area == b.area) {
        let Some(first) = of_area.first() else { continue };
        let barred: Vec<&Row> = of_area.iter().filter(|r| r.met.is_some()).collect();
        let met = barred.iter().filter(|r| r.met == Some(true)).count();
        let comparisons: usize = barred.iter().map(|r| r.spread.n).sum();
        let reported = of_area.len() - barred.len();
        let _ = writeln!(
            text,
            "| {} | {met} of {} | {comparisons} | {reported} |",
            first.area,
            barred.len()
        );
    }
    text
}

/// Every Markdown page that may quote the table.
fn candidates(root: &Path) -> Result<Vec<PathBuf>, AgreementError> {
    let mut pages = vec![root.join("README.md")];
    for folder in ["docs", "docs/methods", "docs/guide"] {
        let Ok(entries) = std::fs::read_dir(root.join(folder)) else {
            continue;
        };
        for entry in entries {
            let path = entry.map_err(|e| AgreementError(format!("{folder}: {e}")))?.path();
            if path.extension().is_some_and(|e| e == "md") {
                pages.push(path);
            }
        }
    }
    pages.sort();
    Ok(pages.into_iter().filter(|p| p.exists()).collect())
}

/// A page with its quoted tables replaced by current ones.
fn renewed(page: &str, rows: &[Row]) -> Result<String, AgreementError> {
    let mut out = String::new();
    let mut rest = page;
    while let Some(start) = rest.find("<!-- agreement:") {
        let after = &rest[start..];
        let open_end = after
            .find("-->")
            .ok_or_else(|| AgreementError("an agreement marker is not closed".into()))?;
        let area = after["<!-- agreement:".len()..open_end].trim();
        let close = after
            .find(CLOSE)
            .ok_or_else(|| AgreementError(format!("no `{CLOSE}` after `<!-- agreement:{area} -->`")))?;
        let chosen: Vec<Row> = rows
            .iter()
            .filter(|r| area == "all" || r.area == area)
            .cloned()
            .collect();
        let quoted = if area == "summary" {
            summary(rows)
        } else {
            table(&chosen, area == "all")
        };
        out.push_str(&rest[..start + open_end + 3]);
        out.push_str("\n\n");
        out.push_str(&quoted);
        out.push('\n');
        out.push_str(CLOSE);
        rest = &after[close + CLOSE.len()..];
    }
    out.push_str(rest);
    Ok(out)
}

fn each_page(root: &Path, rows: &[Row]) -> Result<Vec<(PathBuf, String, String)>, AgreementError> {
    let mut result = Vec::new();
    for path in candidates(root)? {
        let old = std::fs::read_to_string(&path).map_err(|e| AgreementError(format!("{}: {e}", path.display())))?;
        let new = renewed(&old, rows).map_err(|e| AgreementError(format!("{}: {e}", path.display())))?;
        result.push((path, old, new));
    }
    Ok(result)
}

/// Rewrites the quoted tables.
///
/// # Errors
/// A page cannot be read or written, or a marker is not closed.
pub fn write(root: &Path, rows: &[Row]) -> Result<(), AgreementError> {
    for (path, old, new) in each_page(root, rows)? {
        if old != new {
            std::fs::write(&path, new).map_err(|e| AgreementError(format!("{}: {e}", path.display())))?;
        }
    }
    Ok(())
}

/// The pages whose quoted tables are not current.
///
/// # Errors
/// A page cannot be read, or a marker is not closed.
pub fn stale(root: &Path, rows: &[Row]) -> Result<Vec<PathBuf>, AgreementError> {
    Ok(each_page(root, rows)?
        .into_iter()
        .filter(|(_, old, new)| old != new)
        .map(|(path, _, _)| path)
        .collect())
}
