//! Quantities as people write them, held in one unit inside.
//!
//! Factors: the inch is 25.4 mm and the pound 0.453 592 37 kg exactly (international yard and pound agreement, 1959);
//! an ounce is a sixteenth of a pound. A month counts as a twelfth of a year and a year as 365.25 days (convention).

/// The unit a question is held in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// A plain count.
    Count,
    /// Per cent.
    Percent,
    /// Seconds.
    Seconds,
    /// Minutes.
    Minutes,
    /// Hours.
    Hours,
    /// Days.
    Days,
    /// Years of 365.25 days.
    Years,
    /// Millimetres.
    Millimetres,
    /// Centimetres.
    Centimetres,
    /// Grams.
    Grams,
}

/// What is measured: quantities of one dimension can be turned into each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Dimension {
    Count,
    Share,
    Time,
    Length,
    Mass,
}

/// Why a quantity could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BadQuantity {
    /// No number in it.
    NotANumber,
    /// The unit is not known at all.
    UnknownUnit(String),
    /// The unit measures something else.
    WrongUnit(String),
    /// The unit is missing and leaving it out could mislead.
    NoUnit,
}

/// What a written unit measures, and its size in the dimension's base (s, mm, g). Lower case.
fn written(word: &str) -> Option<(Dimension, f64)> {
    use Dimension::{Count, Length, Mass, Share, Time};
    Some(match word {
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => (Length, 1.0),
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => (Length, 10.0),
        "m" | "metre" | "metres" | "meter" | "meters" => (Length, 1000.0),
        "in" | "inch" | "inches" | "\"" | "″" => (Length, 25.4),
        "ft" | "foot" | "feet" | "'" | "′" => (Length, 304.8),
        "g" | "gram" | "grams" | "gramme" | "grammes" => (Mass, 1.0),
        "kg" | "kilo" | "kilos" | "kilogram" | "kilograms" => (Mass, 1000.0),
        "oz" | "ounce" | "ounces" => (Mass, 28.349_523_125),
        "lb" | "lbs" | "pound" | "pounds" => (Mass, 453.592_37),
        "s" | "sec" | "secs" | "second" | "seconds" => (Time, 1.0),
        "min" | "mins" | "minute" | "minutes" => (Time, 60.0),
        "h" | "hr" | "hrs" | "hour" | "hours" => (Time, 3600.0),
        "d" | "day" | "days" => (Time, 86_400.0),
        "week" | "weeks" | "wk" | "wks" => (Time, 604_800.0),
        "month" | "months" => (Time, 2_629_800.0),
        "y" | "yr" | "yrs" | "year" | "years" => (Time, 31_557_600.0),
        "%" | "percent" | "per cent" => (Share, 1.0),
        "times" | "time" | "x" => (Count, 1.0),
        _ => return None,
    })
}

impl Unit {
    /// The unit of a questionnaire's name for it.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Some(match name {
            "count" => Self::Count,
            "percent" => Self::Percent,
            "s" => Self::Seconds,
            "minutes" => Self::Minutes,
            "hours" => Self::Hours,
            "days" => Self::Days,
            "years" => Self::Years,
            "mm" => Self::Millimetres,
            "cm" => Self::Centimetres,
            "g" => Self::Grams,
            _ => return None,
        })
    }

    /// The questionnaire's name for it; empty for a plain count.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Count => "",
            Self::Percent => "%",
            Self::Seconds => "s",
            Self::Minutes => "minutes",
            Self::Hours => "hours",
            Self::Days => "days",
            Self::Years => "years",
            Self::Millimetres => "mm",
            Self::Centimetres => "cm",
            Self::Grams => "g",
        }
    }

    fn dimension(self) -> Dimension {
        match self {
            Self::Count => Dimension::Count,
            Self::Percent => Dimension::Share,
            Self::Seconds | Self::Minutes | Self::Hours | Self::Days | Self::Years => {
                Dimension::Time
            }
            Self::Millimetres | Self::Centimetres => Dimension::Length,
            Self::Grams => Dimension::Mass,
        }
    }

    fn size(self) -> f64 {
        match self {
            Self::Count | Self::Percent | Self::Seconds | Self::Millimetres | Self::Grams => 1.0,
            Self::Minutes => 60.0,
            Self::Hours => 3600.0,
            Self::Days => 86_400.0,
            Self::Years => 31_557_600.0,
            Self::Centimetres => 10.0,
        }
    }

    /// True when a bare number can only mean this unit. Lengths and weights without a unit are asked back, because
    /// centimetres and inches, grams and ounces are easily taken for each other.
    #[must_use]
    pub fn may_be_left_out(self) -> bool {
        !matches!(self.dimension(), Dimension::Length | Dimension::Mass)
    }

    /// The written units that fit, in the words to suggest.
    #[must_use]
    pub fn fitting(self) -> &'static [&'static str] {
        match self.dimension() {
            Dimension::Count => &[],
            Dimension::Share => &["%"],
            Dimension::Time => &[
                "seconds", "minutes", "hours", "days", "weeks", "months", "years",
            ],
            Dimension::Length => &["mm", "cm", "m", "in", "ft"],
            Dimension::Mass => &["g", "kg", "oz", "lb"],
        }
    }

    /// Reads a quantity and turns it into this unit. Parts add up: `5 ft 2 in`, `2 years 3 months`.
    ///
    /// Results are rounded to a millionth, so that `18 in` and `45.72 cm` are the same number.
    ///
    /// # Errors
    /// [`BadQuantity`], telling which part does not fit.
    pub fn read(self, text: &str) -> Result<f64, BadQuantity> {
        let plain = without_fractions(text);
        let mut rest = plain.trim();
        if let Some(stripped) = rest
            .strip_prefix("about ")
            .or_else(|| rest.strip_prefix("approx. "))
            .or_else(|| rest.strip_prefix('~'))
        {
            rest = stripped.trim_start();
        }
        let mut total = 0.0;
        let mut parts = 0;
        while !rest.is_empty() {
            let end = rest
                .char_indices()
                .find(|(at, c)| {
                    !(c.is_ascii_digit()
                        || matches!(c, '.' | ',')
                        || (*at == 0 && matches!(c, '-' | '+')))
                })
                .map_or(rest.len(), |(at, _)| at);
            let (digits, after) = rest.split_at(end);
            let number: f64 = number(digits).ok_or(BadQuantity::NotANumber)?;
            let after = after.trim_start();
            let end = after
                .char_indices()
                .find(|(_, c)| c.is_ascii_digit() || matches!(c, '-' | '+'))
                .map_or(after.len(), |(at, _)| at);
            let (word, after) = after.split_at(end);
            let word = word.trim().trim_end_matches(['.', ',']);
            let word = word.strip_suffix(" and").unwrap_or(word);
            let word = word.strip_suffix(" old").unwrap_or(word).trim();
            rest = after;
            parts += 1;
            if word.is_empty() {
                if parts > 1 || !rest.is_empty() {
                    return Err(BadQuantity::NotANumber);
                }
                if !self.may_be_left_out() {
                    return Err(BadQuantity::NoUnit);
                }
                total += number * self.size();
                continue;
            }
            let Some((dimension, size)) = written(word).or_else(|| written(&word.to_lowercase()))
            else {
                return Err(BadQuantity::UnknownUnit(word.to_owned()));
            };
            if dimension != self.dimension() {
                return Err(BadQuantity::WrongUnit(word.to_owned()));
            }
            total += number * size;
        }
        if parts == 0 {
            return Err(BadQuantity::NotANumber);
        }
        Ok((total / self.size() * 1e6).round() / 1e6)
    }

    /// Writes a number with its unit: `45.7 cm`, `1 year`.
    #[must_use]
    pub fn show(self, number: f64) -> String {
        let digits = show_number(number);
        let label = self.label();
        if label.is_empty() {
            return digits;
        }
        let label = if digits == "1" && label.len() > 3 {
            label.trim_end_matches('s')
        } else {
            label
        };
        if label == "%" {
            format!("{digits}%")
        } else {
            format!("{digits} {label}")
        }
    }
}

/// A number as people say it: three figures are enough, so 589.67 is 590, 45.72 is 45.7 and 0.75 stays.
#[must_use]
pub fn show_number(number: f64) -> String {
    let decimals = match number.abs() {
        n if n >= 100.0 => return format!("{number:.0}"),
        n if n >= 10.0 => 1,
        _ => 2,
    };
    let text = format!("{number:.decimals$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// Fractions as decimals: `1/2` is 0.5, `1 1/2` is 1.5, `¾` is 0.75. Other text stays as it is.
fn without_fractions(text: &str) -> std::borrow::Cow<'_, str> {
    let plain = text.is_ascii() && !text.as_bytes().contains(&b'/');
    if plain || !text.contains(['/', '½', '¼', '¾', '⅛', '⅜', '⅝', '⅞']) {
        return text.into();
    }
    let mut spelled = String::new();
    for c in text.chars() {
        match c {
            '½' => spelled.push_str(" 1/2"),
            '¼' => spelled.push_str(" 1/4"),
            '¾' => spelled.push_str(" 3/4"),
            '⅛' => spelled.push_str(" 1/8"),
            '⅜' => spelled.push_str(" 3/8"),
            '⅝' => spelled.push_str(" 5/8"),
            '⅞' => spelled.push_str(" 7/8"),
            c => spelled.push(c),
        }
    }
    let mut words: Vec<String> = Vec::new();
    for word in spelled.split_whitespace() {
        // A unit may stand right behind it: `1/2in`.
        let end = word
            .find(|c: char| !c.is_ascii_digit() && c != '/')
            .unwrap_or(word.len());
        let (fraction, unit) = word.split_at(end);
        let value = fraction.split_once('/').and_then(|(top, bottom)| {
            let (top, bottom): (f64, f64) = (top.parse().ok()?, bottom.parse().ok()?);
            (bottom > 0.0).then(|| top / bottom)
        });
        match value {
            Some(value) => {
                let whole = words.last().and_then(|word| word.parse::<u32>().ok());
                if whole.is_some() {
                    words.pop();
                }
                words.push((f64::from(whole.unwrap_or(0)) + value).to_string());
                if !unit.is_empty() {
                    words.push(unit.to_owned());
                }
            }
            None => words.push(word.to_owned()),
        }
    }
    words.join(" ").into()
}

/// A number with `.` or a decimal `,`. A comma before exactly three last digits is a thousands mark.
fn number(digits: &str) -> Option<f64> {
    let commas = digits.matches(',').count();
    let plain: std::borrow::Cow<'_, str> = match commas {
        0 => digits.into(),
        1 if digits
            .rsplit(',')
            .next()
            .is_some_and(|tail| tail.len() != 3)
            && !digits.contains('.') =>
        {
            digits.replace(',', ".").into()
        }
        _ => {
            let mut groups = digits.split('.').next().unwrap_or_default().split(',');
            groups.next();
            if !groups.all(|group| group.len() == 3) {
                return None;
            }
            digits.replace(',', "").into()
        }
    };
    plain.parse().ok().filter(|number: &f64| number.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(unit: Unit, text: &str, expected: f64) {
        let read = unit.read(text);
        assert!(
            matches!(read, Ok(value) if (value - expected).abs() < 1e-6),
            "{text}: {read:?}"
        );
    }

    // International yard and pound agreement, 1959: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, exactly.
    #[test]
    fn lengths_and_weights_as_people_write_them() {
        close(Unit::Centimetres, "18 in", 45.72);
        close(Unit::Centimetres, "5 ft 2 in", 157.48);
        close(Unit::Centimetres, "1.2 m", 120.0);
        close(Unit::Centimetres, "1,5 m", 150.0);
        close(Unit::Millimetres, "3 cm", 30.0);
        close(Unit::Millimetres, "1/2 in", 12.7);
        close(Unit::Centimetres, "17 1/2 in", 44.45);
        close(Unit::Millimetres, "⅝ in", 15.875);
        close(Unit::Centimetres, "1½in", 3.81);
        close(Unit::Grams, "1 lb", 453.592_37);
        close(Unit::Grams, "16 oz", 453.592_37);
        close(Unit::Grams, "1,100 g", 1100.0);
        close(Unit::Grams, "0.4 kg", 400.0);
    }

    #[test]
    fn ages_and_times_as_people_write_them() {
        close(Unit::Years, "9 months", 0.75);
        close(Unit::Years, "2 years 6 months", 2.5);
        close(Unit::Years, "9", 9.0);
        close(Unit::Days, "3 weeks", 21.0);
        close(Unit::Hours, "90 min", 1.5);
        close(Unit::Years, "34 years old", 34.0);
    }

    #[test]
    fn what_does_not_fit_is_named() {
        assert_eq!(
            Unit::Grams.read("45 cm"),
            Err(BadQuantity::WrongUnit("cm".into()))
        );
        assert_eq!(Unit::Centimetres.read("45"), Err(BadQuantity::NoUnit));
        assert_eq!(
            Unit::Centimetres.read("4 cubits"),
            Err(BadQuantity::UnknownUnit("cubits".into()))
        );
        assert_eq!(Unit::Years.read("old"), Err(BadQuantity::NotANumber));
        assert_eq!(Unit::Years.read(""), Err(BadQuantity::NotANumber));
        assert!(Unit::Centimetres.read("1/0 in").is_err());
    }

    #[test]
    fn numbers_are_shown_short() {
        assert_eq!(Unit::Years.show(1.0), "1 year");
        assert_eq!(Unit::Years.show(0.75), "0.75 years");
        assert_eq!(Unit::Count.show(3.0), "3");
        assert_eq!(Unit::Centimetres.show(45.72), "45.7 cm");
        assert_eq!(Unit::Grams.show(589.67), "590 g");
        assert_eq!(Unit::Grams.show(1000.0), "1000 g");
    }
}
