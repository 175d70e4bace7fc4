//! Hours of service: spans of the day in universal time.

/// Why a text is not a span of hours.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum HoursError {
    /// Not two times of day with a hyphen between.
    #[error("\"{0}\" is not a span of hours")]
    Shape(String),
    /// Hour above 24 or minute above 59.
    #[error("{0} is not a time of day")]
    TimeOfDay(String),
    /// Start and end are the same minute.
    #[error("the span {0} is empty: it ends when it starts")]
    Empty(String),
}

/// Minutes in a day.
pub const DAY_MIN: u16 = 1_440;

/// A daily span in minutes after midnight of universal time; it may run over midnight (`end_min` before `start_min`).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MinuteSpan {
    start_min: u16,
    end_min: u16,
}

impl MinuteSpan {
    /// Reads `HH:MM-HH:MM`; `24:00` may end a span.
    ///
    /// # Errors
    /// Another shape, no such time of day, or an empty span.
    pub fn parse(text: &str) -> Result<Self, HoursError> {
        let shape = || HoursError::Shape(text.to_owned());
        let (start, end) = text.split_once(['-', '–']).ok_or_else(shape)?;
        let (start_min, end_min) = (minute_of_day(start, text)?, minute_of_day(end, text)?);
        if start_min == end_min {
            return Err(HoursError::Empty(text.to_owned()));
        }
        Ok(Self { start_min, end_min })
    }

    /// First minute of the span after midnight UTC, 0 to 1440.
    #[must_use]
    pub fn start_min(self) -> u16 {
        self.start_min
    }

    fn contains(self, minute: u16) -> bool {
        if self.start_min < self.end_min {
            (self.start_min..self.end_min).contains(&minute)
        } else {
            minute >= self.start_min || minute < self.end_min
        }
    }
}

impl std::fmt::Display for MinuteSpan {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (s, e) = (self.start_min, self.end_min);
        write!(f, "{:02}:{:02}-{:02}:{:02}", s / 60, s % 60, e / 60, e % 60)
    }
}

fn minute_of_day(text: &str, whole: &str) -> Result<u16, HoursError> {
    let shape = || HoursError::Shape(whole.to_owned());
    let (hour, minute) = text.trim().split_once(':').ok_or_else(shape)?;
    let digits = |s: &str| s.len() <= 2 && !s.is_empty() && s.chars().all(|c| c.is_ascii_digit());
    if !digits(hour) || !digits(minute) {
        return Err(shape());
    }
    let hour: u16 = hour.parse().map_err(|_| shape())?;
    let minute: u16 = minute.parse().map_err(|_| shape())?;
    let total = hour * 60 + minute;
    if minute > 59 || total > DAY_MIN {
        return Err(HoursError::TimeOfDay(text.trim().to_owned()));
    }
    Ok(total)
}

/// When a station or a frequency is served, every day alike. Without spans it is served always.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DailyHours {
    spans: Vec<MinuteSpan>,
}

impl DailyHours {
    /// Served at all hours.
    pub const ALWAYS: Self = Self { spans: Vec::new() };

    /// Served in these spans; none means always.
    #[must_use]
    pub fn new(spans: Vec<MinuteSpan>) -> Self {
        Self { spans }
    }

    /// The spans; empty means always.
    #[must_use]
    pub fn spans(&self) -> &[MinuteSpan] {
        &self.spans
    }

    /// Whether a minute after midnight UTC (0 to 1439, taken round the day) is served.
    #[must_use]
    pub fn contains_min(&self, minute_min: u16) -> bool {
        self.spans.is_empty() || self.spans.iter().any(|s| s.contains(minute_min % DAY_MIN))
    }

    /// Whether an instant is served.
    #[must_use]
    pub fn contains(&self, at: farhop_earth::UtcTime) -> bool {
        let minute = at.unix_s().rem_euclid(86_400) / 60;
        self.contains_min(u16::try_from(minute).unwrap_or(0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_may_run_over_midnight() {
        let hours = DailyHours::new(vec![MinuteSpan::parse("22:00-06:30").unwrap()]);
        assert!(hours.contains_min(23 * 60) && hours.contains_min(0) && hours.contains_min(6 * 60 + 29));
        assert!(!hours.contains_min(6 * 60 + 30) && !hours.contains_min(12 * 60));
    }

    #[test]
    fn a_span_to_24_ends_with_the_day() {
        let hours = DailyHours::new(vec![MinuteSpan::parse("18:00-24:00").unwrap()]);
        assert!(hours.contains_min(1439) && !hours.contains_min(0) && !hours.contains_min(1079));
    }

    #[test]
    fn no_spans_means_always() {
        assert!((0..DAY_MIN).all(|m| DailyHours::ALWAYS.contains_min(m)));
    }

    #[test]
    fn odd_texts_are_refused() {
        for bad in [
            "",
            "6-7",
            "25:00-26:00",
            "06:00",
            "06:00-06:00",
            "06:60-07:00",
            "a:b-c:d",
            "-1:00-02:00",
        ] {
            assert!(MinuteSpan::parse(bad).is_err(), "{bad}");
        }
    }
}
