//! How long packages are at their best, by the published storage advice.

use super::figures::{Keeping, Place};
use crate::trade;
use jiff::civil::Date;
use jiff::{Span, ToSpan};

/// In a place, for packages of a civil date `YYYY-MM-DD`. Of a published range the shorter time is
/// taken. Counted from the date of the day though a jar may come to the freezer a day later: the
/// date is never too late by it.
pub fn keeping(date: &str, place: Place) -> Keeping {
    let (months, source) = match place {
        Place::Pantry => {
            let months = trade::canned_best_months();
            (Some(months.value), months.source)
        }
        Place::Freezer => {
            let months = trade::frozen_best_months();
            (Some(months.value.low), months.source)
        }
        Place::Refrigerator => (None, trade::unsealed_in_refrigerator().source),
    };
    let after = |months: u32| {
        let span: Span = i64::from(months).months();
        let until = date.parse::<Date>().ok()?.checked_add(span).ok()?;
        Some(until.to_string())
    };
    Keeping {
        months,
        best_by: months.and_then(after),
        source,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: Michigan State Univ. Extension, Preserving Food Safely 01600943 (a year); USDA
    /// Canning, Freezing, Storing Garden Produce (8 to 12 months at 0 °F); rules.csv.
    #[test]
    fn a_year_in_the_pantry_eight_months_in_the_freezer_days_in_the_refrigerator() {
        let until = |place| keeping("2026-09-12", place).best_by;
        assert_eq!(until(Place::Pantry).as_deref(), Some("2027-09-12"));
        assert_eq!(until(Place::Freezer).as_deref(), Some("2027-05-12"));
        assert_eq!(until(Place::Refrigerator), None);
        // June has no 31st.
        let until = keeping("2026-10-31", Place::Freezer).best_by;
        assert_eq!(until.as_deref(), Some("2027-06-30"));
    }
}
