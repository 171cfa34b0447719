//! References and contacts that belong to nobody: a domain that is kept for examples, and numbers that are kept for stories.

use super::random::Random;

/// Words of references and addresses.
const WORDS: &[&str] = &[
    "autumn", "porch", "lamp", "desk", "cedar", "harbour", "window", "kettle", "orchard", "stair",
    "button", "meadow",
];

/// The code of a case, such as `autumn-0412`: no two alike.
pub(crate) fn reference(at: u64, random: &mut Random) -> String {
    format!("{}-{at:04}", random.pick(WORDS).unwrap_or(&"case"))
}

/// How someone is reached: no two homes alike.
pub(crate) fn contact(at: u64, random: &mut Random) -> String {
    match number(at) {
        Some(number) if random.chance(450) => number.shown(random),
        _ => format!(
            "{}+{at:04}@home.example",
            random.pick(WORDS).unwrap_or(&"desk")
        ),
    }
}

/// The same contact as another message has it: spaced, dashed or set in capitals in another way.
pub(crate) fn again(contact: &str, random: &mut Random) -> String {
    if contact.contains('@') {
        let mut letters = contact.chars();
        let first = letters.next().into_iter().flat_map(char::to_uppercase);
        return first.chain(letters).collect();
    }
    let digits: Vec<u16> = contact
        .chars()
        .filter_map(|c| c.to_digit(10))
        .map(|it| it as u16)
        .collect();
    let Some(digits) = digits.len().checked_sub(10).map(|from| &digits[from..]) else {
        return contact.to_owned();
    };
    let of = |from: usize, to: usize| {
        digits[from..to]
            .iter()
            .fold(0, |all, digit| all * 10 + digit)
    };
    Number {
        area: of(0, 3),
        line: of(6, 10),
    }
    .shown(random)
}

/// A number of North America of which nobody has one: 555-0100 to 555-0199, in any area.
struct Number {
    area: u16,
    line: u16,
}

/// The number of a home; there are some seventy thousand.
fn number(at: u64) -> Option<Number> {
    let area = u16::try_from(201 + at / 100)
        .ok()
        .filter(|area| *area < 1000 && area % 100 != 11)?;
    Some(Number {
        area,
        line: 100 + (at % 100) as u16,
    })
}

impl Number {
    fn shown(&self, random: &mut Random) -> String {
        let Self { area, line } = self;
        match random.below(5) {
            0 => format!("({area}) 555-{line:04}"),
            1 => format!("{area}-555-{line:04}"),
            2 => format!("{area}.555.{line:04}"),
            3 => format!("{area} 555 {line:04}"),
            _ => format!("{area}555{line:04}"),
        }
    }
}
