//! Cohen's and Fleiss' kappa held against two general-purpose statistics libraries. `tests/published/agreement.csv` holds tables of
//! judgements with what scikit-learn and statsmodels make of them, their versions in its first line; `agreement.py` beside it makes it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use perchside::figures::agreement::{fleiss_kappa, kappa, linear_weighted_kappa, pairs_alike};

/// A row of the fixture.
struct Case {
    people: String,
    name: String,
    table: Vec<Vec<u32>>,
    kappa: Option<f64>,
    weighted: Option<f64>,
}

fn cases() -> Vec<Case> {
    let figure = |text: &str| (!text.is_empty()).then(|| text.parse().unwrap());
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(include_str!("published/agreement.csv").as_bytes())
        .into_records()
        .map(|row| {
            let row = row.unwrap();
            Case {
                people: row[0].to_owned(),
                name: row[1].to_owned(),
                table: row[2]
                    .split('/')
                    .map(|counts| {
                        counts
                            .split(' ')
                            .map(|count| count.parse().unwrap())
                            .collect()
                    })
                    .collect(),
                kappa: figure(&row[3]),
                weighted: figure(&row[4]),
            }
        })
        .collect()
}

fn same(name: &str, ours: Option<f64>, theirs: Option<f64>) {
    match (ours, theirs) {
        (None, None) => {}
        (Some(ours), Some(theirs)) => {
            assert!((ours - theirs).abs() < 1e-9, "{name}: {ours}, {theirs}");
        }
        _ => panic!("{name}: {ours:?}, {theirs:?}"),
    }
}

#[test]
fn kappas_are_those_of_two_statistics_libraries() {
    let cases = cases();
    let number = |people: &str| cases.iter().filter(|case| case.people == people).count();
    assert!(number("two") >= 35 && number("several") >= 25);
    let blank = cases.iter().filter(|case| case.kappa.is_none()).count();
    assert!(
        (4..=10).contains(&blank),
        "{blank} are not defined: edges, not the rule"
    );
    for case in &cases {
        if case.people == "two" {
            same(&case.name, kappa(&case.table), case.kappa);
            let weighted = linear_weighted_kappa(&case.table);
            same(&case.name, weighted, case.weighted);
        } else {
            same(&case.name, fleiss_kappa(&case.table), case.kappa);
        }
    }
}

/// The extents of agreement that the worked example of the open encyclopaedia prints beside its ten subjects, to three places
/// (from memory; the tests of statsmodels hold the same).
#[test]
fn pairs_alike_are_those_of_the_worked_example() {
    let cases = cases();
    let example = cases
        .iter()
        .find(|case| case.name.starts_with("the worked example"))
        .unwrap();
    let printed = [
        1.000, 0.253, 0.308, 0.440, 0.330, 0.462, 0.242, 0.176, 0.286, 0.286,
    ];
    assert_eq!(example.table.len(), printed.len());
    for (row, printed) in example.table.iter().zip(printed) {
        let ours = pairs_alike(row).unwrap();
        assert!((ours - printed).abs() < 0.0005, "{ours}, {printed}");
    }
    let kappa = fleiss_kappa(&example.table).unwrap();
    assert!((kappa - 0.210).abs() < 0.0005, "{kappa}");
}
