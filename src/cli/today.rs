//! The day a run looks at the calendar with.

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

/// A date as `--as-of` takes it.
///
/// # Errors
/// It isn't one.
pub fn parse(text: &str) -> Result<String, String> {
    let date: Date = text
        .parse()
        .map_err(|_| "a date is written like 2026-05-02".to_string())?;
    Ok(date.to_string())
}

/// The day given, else that of `SOURCE_DATE_EPOCH`, else today, in UTC.
pub fn today(given: Option<&str>) -> String {
    if let Some(given) = given {
        return given.to_string();
    }
    let epoch = std::env::var("SOURCE_DATE_EPOCH")
        .ok()
        .and_then(|text| text.trim().parse().ok());
    let now = epoch
        .and_then(|seconds| Timestamp::from_second(seconds).ok())
        .unwrap_or_else(Timestamp::now);
    TimeZone::UTC.to_datetime(now).date().to_string()
}
