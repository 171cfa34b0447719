//! Days on which a practice is shut, whatever day of the week they are.

use jiff::civil::Date;

/// Single days and spans of days, in order, none touching another.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Holidays(Vec<(Date, Date)>);

impl Holidays {
    /// From spans of days, first and last included. A span that ends before it begins holds no day.
    #[must_use]
    pub fn new(spans: impl IntoIterator<Item = (Date, Date)>) -> Self {
        let mut all: Vec<(Date, Date)> = spans
            .into_iter()
            .filter(|(first, last)| first <= last)
            .collect();
        all.sort_unstable();
        all.dedup_by(|next, before| {
            let joined = before.1.tomorrow().map_or(true, |after| next.0 <= after);
            if joined {
                before.1 = before.1.max(next.1);
            }
            joined
        });
        Self(all)
    }

    /// The last day of the span a day lies in, if it is a holiday.
    #[must_use]
    pub fn until(&self, day: Date) -> Option<Date> {
        let after = self.0.partition_point(|(first, _)| *first <= day);
        let (_, last) = self.0.get(after.checked_sub(1)?)?;
        (day <= *last).then_some(*last)
    }

    /// The spans, in order.
    pub fn spans(&self) -> impl Iterator<Item = (Date, Date)> + '_ {
        self.0.iter().copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn days_and_spans_are_joined_where_they_touch() {
        let day = |d| date(2026, 12, d);
        let holidays = Holidays::new([
            (day(26), day(31)),
            (day(24), day(25)),
            (day(8), day(8)),
            (day(28), day(28)),
            (day(15), day(10)),
        ]);
        let spans: Vec<_> = holidays.spans().collect();
        assert_eq!(spans, [(day(8), day(8)), (day(24), day(31))]);
        assert_eq!(holidays.until(day(8)), Some(day(8)));
        assert_eq!(holidays.until(day(25)), Some(day(31)));
        assert_eq!(
            (holidays.until(day(9)), holidays.until(day(12))),
            (None, None)
        );
        assert_eq!(holidays.until(date(2027, 1, 1)), None);
    }
}
