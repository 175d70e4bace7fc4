//! Tables: the same rows in letters and on pages.

use crate::wrap::{COLUMNS, cut, paragraph};

/// A column of a table.
#[derive(Clone, Debug)]
pub struct Column {
    /// What stands over it; a second line after a line end.
    pub(super) head: String,
    /// Numbers stand at the right.
    pub(super) right: bool,
    /// Characters that its text is cut to; zero for no limit.
    most: usize,
}

impl Column {
    /// A column of words.
    #[must_use]
    pub fn words(head: &str) -> Self {
        Self {
            head: head.to_owned(),
            right: false,
            most: 0,
        }
    }

    /// A column of words of at most so many characters where only letters can be set.
    #[must_use]
    pub fn cut(head: &str, most: usize) -> Self {
        Self {
            most,
            ..Self::words(head)
        }
    }

    /// A column of numbers.
    #[must_use]
    pub fn number(head: &str) -> Self {
        Self {
            right: true,
            ..Self::words(head)
        }
    }
}

/// Rows under columns; the last column of words runs on below itself where it is long.
#[derive(Clone, Debug)]
pub struct Table {
    pub(super) columns: Vec<Column>,
    pub(super) rows: Vec<Vec<String>>,
}

impl Table {
    /// A table without rows yet.
    #[must_use]
    pub fn new(columns: impl Into<Vec<Column>>) -> Self {
        Self {
            columns: columns.into(),
            rows: Vec::new(),
        }
    }

    /// A row, one text a column.
    pub fn row<T: Into<String>>(&mut self, cells: impl IntoIterator<Item = T>) {
        self.rows.push(cells.into_iter().map(Into::into).collect());
    }

    /// Whether there is no row.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The table in at most 80 columns: two spaces between columns, the heads over them.
    pub(super) fn text(&self) -> String {
        let heads: Vec<Vec<&str>> = self.columns.iter().map(|c| c.head.split('\n').collect()).collect();
        let head_lines = heads.iter().map(Vec::len).max().unwrap_or(0);
        let mut rows: Vec<Vec<String>> = (0..head_lines)
            .map(|line| {
                let of = |head: &Vec<&str>| {
                    let at = (line + head.len()).checked_sub(head_lines);
                    at.and_then(|i| head.get(i))
                        .map_or_else(String::new, |h| (*h).to_owned())
                };
                heads.iter().map(of).collect()
            })
            .filter(|row: &Vec<String>| row.iter().any(|cell| !cell.is_empty()))
            .collect();
        rows.extend(self.rows.iter().map(|row| self.cut(row)));
        let widths: Vec<usize> = (0..self.columns.len())
            .map(|column| {
                rows.iter()
                    .filter_map(|r| r.get(column))
                    .map(|c| c.chars().count())
                    .max()
                    .unwrap_or(0)
            })
            .collect();
        // Two spaces between columns where they fit, else one.
        let wide = |gap: usize| 2 + widths.iter().sum::<usize>() + gap * widths.len().saturating_sub(1);
        let runs_on = self.columns.last().is_some_and(|c| !c.right);
        let gap = if runs_on || wide(2) <= COLUMNS { "  " } else { " " };
        rows.iter().map(|row| self.line(row, &widths, gap)).collect()
    }

    fn cut(&self, row: &[String]) -> Vec<String> {
        let one = |(cell, column): (&String, &Column)| match column.most {
            0 => cell.clone(),
            most => cut(cell, most),
        };
        row.iter().zip(&self.columns).map(one).collect()
    }

    fn line(&self, row: &[String], widths: &[usize], gap: &str) -> String {
        let mut head = String::from(" ");
        let last = self.columns.len().saturating_sub(1);
        for (index, ((cell, column), width)) in row.iter().zip(&self.columns).zip(widths).enumerate() {
            head.push_str(if index == 0 { " " } else { gap });
            if index == last && !column.right {
                let indent = head.chars().count();
                if indent + cell.chars().count() > COLUMNS {
                    return paragraph(cell, &head, &" ".repeat(indent));
                }
                head.push_str(cell);
            } else if column.right {
                head.push_str(&format!("{cell:>width$}"));
            } else {
                head.push_str(&format!("{cell:<width$}"));
            }
        }
        format!("{}\n", head.trim_end())
    }
}
