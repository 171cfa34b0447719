//! Lengths and weights as a reader in the United States measures them, with the metric value beside it: the rules are metric.
//!
//! Factors: the inch is 25.4 mm and the pound 0.453 592 37 kg exactly (international yard and pound agreement, 1959).

use std::sync::LazyLock;

use regex::{Captures, Regex};

/// Which units are written first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Metric alone.
    #[default]
    Metric,
    /// Inches, feet, ounces and pounds, with the metric value behind them.
    Us,
}

/// Numbers with a unit in running text: `30 cm`, `20 to 30 cm`, `3 m`, `450 g`.
static MEASURED: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(r"\b(\d+(?:\.\d+)?)(?:( to | a |–)(\d+(?:\.\d+)?))? (mm|cm|m|g|kg)\b").ok()
});

impl Units {
    /// Their words, in order.
    pub const WORDS: &[&str] = &["metric", "us"];
    /// All of them, in order.
    pub const ALL: &[Self] = &[Self::Metric, Self::Us];

    /// A text with its lengths and weights as this reader measures them.
    #[must_use]
    pub fn applied(self, text: &str) -> String {
        let Some(measured) = MEASURED.as_ref().filter(|_| self == Self::Us) else {
            return text.to_owned();
        };
        measured
            .replace_all(text, |found: &Captures<'_>| {
                let number = |at: usize| found.get(at).and_then(|it| it.as_str().parse().ok());
                let unit = &found[4];
                let Some(first) = number(1) else {
                    return found[0].to_owned();
                };
                let (value, name) = customary(first, number(3).unwrap_or(first), unit);
                match (number(3), found.get(2)) {
                    (Some(second), Some(between)) => {
                        let (other, _) = customary(second, second, unit);
                        format!("{value}{}{other} {name} ({})", between.as_str(), &found[0])
                    }
                    _ => format!("{value} {name} ({})", &found[0]),
                }
            })
            .into_owned()
    }
}

/// A metric value in customary units. The unit follows from the greater end of a range, so that both ends share it.
fn customary(value: f64, greatest: f64, unit: &str) -> (String, &'static str) {
    let (mm, mm_most) = match unit {
        "mm" => (value, greatest),
        "cm" => (value * 10.0, greatest * 10.0),
        "m" => (value * 1000.0, greatest * 1000.0),
        _ => {
            let scale = if unit == "kg" { 1000.0 } else { 1.0 };
            let (g, most) = (value * scale, greatest * scale);
            return if most >= 2.0 * 453.592_37 {
                (tenths(g / 453.592_37), "lb")
            } else {
                (tenths(g / 28.349_523_125), "oz")
            };
        }
    };
    if mm_most >= 6.0 * 304.8 {
        (halves(mm / 304.8), "ft")
    } else if mm_most < 50.0 {
        (hundredths(mm / 25.4), "in")
    } else {
        (halves(mm / 25.4), "in")
    }
}

/// A length in halves, never less than it is: a rounded distance must not be a nearer one.
fn halves(value: f64) -> String {
    let twice = (value * 2.0 - 1e-9).ceil();
    let whole = (twice / 2.0).floor();
    if twice % 2.0 == 0.0 {
        format!("{whole}")
    } else if whole == 0.0 {
        "½".to_owned()
    } else {
        format!("{whole}½")
    }
}

fn tenths(value: f64) -> String {
    format!("{}", (value * 10.0).round() / 10.0)
}

fn hundredths(value: f64) -> String {
    format!("{}", (value * 100.0).round() / 100.0)
}

#[cfg(test)]
mod tests {
    use super::Units;

    /// Exact factors of 1959: 30 cm is 11.81 in, 85 cm is 33.46 in, 3 m is 9.84 ft, 450 g is 15.87 oz, 12 mm is 0.472 in.
    #[test]
    fn metric_values_are_kept_beside_the_others() {
        for (metric, us) in [
            ("Stay 30 cm away.", "Stay 12 in (30 cm) away."),
            ("20 to 85 cm", "8 to 33½ in (20 to 85 cm)"),
            ("60 cm", "24 in (60 cm)"),
            ("250 cm", "8½ ft (250 cm)"),
            ("3 m off", "10 ft (3 m) off"),
            ("450 g", "15.9 oz (450 g)"),
            ("1.2 kg", "2.6 lb (1.2 kg)"),
            ("12 mm", "0.47 in (12 mm)"),
            ("4 grams, 10 cmx, 5 minutes", "4 grams, 10 cmx, 5 minutes"),
        ] {
            assert_eq!(Units::Us.applied(metric), us);
            assert_eq!(Units::Metric.applied(metric), metric);
        }
    }
}
