//! The row of a table a bird falls into.

/// Which row of a standard speaks of a bird.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Class {
    /// Birds over one length and up to another, bill tip to tail tip.
    Lengths {
        /// The row takes birds longer than this, in cm; 0 for the first row.
        over_cm: f64,
        /// The row takes birds up to and including this, in cm; `None` for the last row of an open table.
        up_to_cm: Option<f64>,
    },
    /// A row for the budgerigar.
    Budgerigar,
    /// A row for the cockatiel.
    Cockatiel,
    /// The Swiss row for the large macaws and large cockatoos named in it.
    LargeParrot,
}

/// The first row whose upper edge reaches the bird's length; `None` past the last edge.
///
/// Rows stand in the order of their upper edges (cm), and a bird exactly on an edge belongs to the row below it.
pub(super) fn row_up_to<R>(rows: &[(f64, R)], length_cm: f64) -> Option<(Class, &R)> {
    let mut over_cm = 0.0;
    for (up_to_cm, row) in rows {
        if length_cm <= *up_to_cm {
            let class = Class::Lengths {
                over_cm,
                up_to_cm: Some(*up_to_cm),
            };
            return Some((class, row));
        }
        over_cm = *up_to_cm;
    }
    None
}

/// Like [`row_up_to`], for a table whose last row has no upper edge.
pub(super) fn row_or_last<'a, R>(
    rows: &'a [(f64, R)],
    last: &'a R,
    length_cm: f64,
) -> (Class, &'a R) {
    row_up_to(rows, length_cm).unwrap_or_else(|| {
        let class = Class::Lengths {
            over_cm: rows.last().map_or(0.0, |(up_to_cm, _)| *up_to_cm),
            up_to_cm: None,
        };
        (class, last)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROWS: [(f64, char); 2] = [(10.0, 'a'), (20.0, 'b')];

    fn lengths(over_cm: f64, up_to_cm: Option<f64>) -> Class {
        Class::Lengths { over_cm, up_to_cm }
    }

    #[test]
    fn a_bird_on_an_edge_belongs_to_the_row_below_it() {
        let first = Some((lengths(0.0, Some(10.0)), &'a'));
        let second = Some((lengths(10.0, Some(20.0)), &'b'));
        assert_eq!(row_up_to(&ROWS, 9.9), first);
        assert_eq!(row_up_to(&ROWS, 10.0), first);
        assert_eq!(row_up_to(&ROWS, 10.1), second);
        assert_eq!(row_up_to(&ROWS, 20.0), second);
        assert_eq!(row_up_to(&ROWS, 20.1), None);
    }

    #[test]
    fn an_open_table_ends_in_a_row_without_an_edge() {
        assert_eq!(
            row_or_last(&ROWS, &'z', 20.0),
            (lengths(10.0, Some(20.0)), &'b')
        );
        assert_eq!(row_or_last(&ROWS, &'z', 20.1), (lengths(20.0, None), &'z'));
        assert_eq!(row_or_last(&[], &'z', 1.0), (lengths(0.0, None), &'z'));
    }
}
