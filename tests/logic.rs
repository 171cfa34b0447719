//! Three-valued logic against the published tables and its laws.
//!
//! Tables: Kleene, *Introduction to Metamathematics* (1952), section 64, strong tables; the same rows stand in the Clinical
//! Quality Language specification (HL7), section "Nullological operators" and its appendix of three-valued truth tables, where
//! null stands for the unknown. Both written down from memory of those tables, row for row.

use perchside::language::Truth::{self, Blank, False, True};
use proptest::prelude::*;

/// left, right, and, or
const TABLE: [(Truth, Truth, Truth, Truth); 9] = [
    (True, True, True, True),
    (True, False, False, True),
    (True, Blank, Blank, True),
    (False, True, False, True),
    (False, False, False, False),
    (False, Blank, False, Blank),
    (Blank, True, Blank, True),
    (Blank, False, False, Blank),
    (Blank, Blank, Blank, Blank),
];

#[test]
fn and_and_or_follow_every_row_of_the_published_tables() {
    for (left, right, and, or) in TABLE {
        assert_eq!(left.and(right), and, "{left:?} and {right:?}");
        assert_eq!(left.or(right), or, "{left:?} or {right:?}");
    }
}

#[test]
fn not_follows_every_row() {
    assert_eq!([!True, !False, !Blank], [False, True, Blank]);
}

fn truth() -> impl Strategy<Value = Truth> {
    prop_oneof![Just(True), Just(False), Just(Blank)]
}

/// `less` knows no more than `more`: equal, or blank.
fn refines(less: Truth, more: Truth) -> bool {
    less == Blank || less == more
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn laws(a in truth(), b in truth(), c in truth()) {
        prop_assert_eq!(a.and(b), b.and(a));
        prop_assert_eq!(a.or(b), b.or(a));
        prop_assert_eq!(a.and(b).and(c), a.and(b.and(c)));
        prop_assert_eq!(a.or(b).or(c), a.or(b.or(c)));
        prop_assert_eq!(a.or(a.and(b)), a);
        prop_assert_eq!(a.and(a.or(b)), a);
        prop_assert_eq!(!(a.and(b)), (!a).or(!b));
        prop_assert_eq!(!(a.or(b)), (!a).and(!b));
        prop_assert_eq!(!!a, a);
    }

    /// Filling in a blank never turns a known result round.
    #[test]
    fn knowing_more_never_contradicts(less in prop::collection::vec(truth(), 1..6), fill in prop::collection::vec(truth(), 6), least in 1_usize..4) {
        let more: Vec<Truth> = less.iter().zip(&fill).map(|(l, f)| if *l == Blank { *f } else { *l }).collect();
        let and = |v: &[Truth]| v.iter().copied().fold(True, Truth::and);
        let or = |v: &[Truth]| v.iter().copied().fold(False, Truth::or);
        prop_assert!(refines(and(&less), and(&more)));
        prop_assert!(refines(or(&less), or(&more)));
        prop_assert!(refines(Truth::at_least(least, less.iter().copied()), Truth::at_least(least, more.iter().copied())));
        prop_assert!(refines(!and(&less), !and(&more)));
    }

    /// Counting at least one is or; counting all is and.
    #[test]
    fn counting_agrees_with_or_and_and(values in prop::collection::vec(truth(), 1..6)) {
        let or = values.iter().copied().fold(False, Truth::or);
        let and = values.iter().copied().fold(True, Truth::and);
        prop_assert_eq!(Truth::at_least(1, values.iter().copied()), or);
        prop_assert_eq!(Truth::at_least(values.len(), values.iter().copied()), and);
    }
}
