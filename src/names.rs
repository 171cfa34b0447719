//! Names in running text: found as whole words however they are written, with or without accents, in any case, across marks of emphasis
//! and signs that nobody sees.

use unicode_normalization::UnicodeNormalization as _;
use unicode_normalization::char::is_combining_mark;

/// A text made plain for comparing, with the place in the original of each of its characters.
struct Plain {
    chars: Vec<char>,
    from: Vec<usize>,
    to: Vec<usize>,
}

impl Plain {
    /// `tight` leaves out what people write differently in numbers and codes: blanks, hyphens, points, strokes, brackets, a plus.
    fn of(text: &str, tight: bool) -> Self {
        let mut plain = Self {
            chars: Vec::new(),
            from: Vec::new(),
            to: Vec::new(),
        };
        for (at, original) in text.char_indices() {
            let end = at + original.len_utf8();
            for c in std::iter::once(original).nfkd() {
                let unseen = is_combining_mark(c)
                    || matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{202a}'..='\u{202e}')
                    || matches!(c, '*' | '_' | '`' | '~');
                if unseen {
                    // It belongs to the character before it.
                    if let Some(last) = plain.to.last_mut() {
                        *last = end;
                    }
                    continue;
                }
                if tight
                    && (c.is_whitespace()
                        || matches!(
                            c,
                            '-' | '.' | '/' | '(' | ')' | '+' | '\u{2010}'..='\u{2015}'
                        ))
                {
                    continue;
                }
                let c = match c {
                    '\u{2bc}' | '\u{2019}' | '\u{2018}' | '\u{b4}' => '\'',
                    c if c.is_whitespace() => ' ',
                    c => c,
                };
                for c in c.to_lowercase() {
                    // A line break between two words counts as one blank.
                    if c == ' ' && plain.chars.last() == Some(&' ') {
                        continue;
                    }
                    plain.chars.push(c);
                    plain.from.push(at);
                    plain.to.push(end);
                }
            }
        }
        plain
    }
}

/// True for two ways to write one name: capitals, accents, blanks and points do not matter.
#[must_use]
pub fn same_name(one: &str, other: &str) -> bool {
    let plain = |name: &str| -> String {
        let spaced = name.replace(['.', ',', '-'], " ");
        let chars = Plain::of(&spaced, false).chars;
        let plain: String = chars.into_iter().collect();
        plain.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    plain(one) == plain(other)
}

/// Where a name stands in a text as a whole word: byte ranges, in order.
#[must_use]
pub fn places(text: &str, name: &str) -> Vec<(usize, usize)> {
    found(text, name, false)
}

/// Where a number or code stands, however it is spaced. Codes of fewer than five signs are looked for as they are written.
#[must_use]
pub fn places_of_code(text: &str, code: &str) -> Vec<(usize, usize)> {
    let tight = Plain::of(code, true).chars.len() >= 5;
    found(text, code, tight)
}

fn found(text: &str, name: &str, tight: bool) -> Vec<(usize, usize)> {
    let wanted = Plain::of(name.trim(), tight).chars;
    // Most texts hold no such name; looking for its first letter is quicker than folding every text.
    if wanted.is_empty() || text.is_empty() {
        return Vec::new();
    }
    let plain = Plain::of(text, tight);
    let mut out = Vec::new();
    let mut at = 0;
    while at + wanted.len() <= plain.chars.len() {
        let end = at + wanted.len();
        let edge = |place: Option<usize>| {
            tight
                || place
                    .and_then(|place| plain.chars.get(place))
                    .is_none_or(|c| !c.is_alphanumeric())
        };
        if plain.chars[at..end] == wanted[..] && edge(at.checked_sub(1)) && edge(Some(end)) {
            out.push((plain.from[at], plain.to[end - 1]));
            at = end;
        } else {
            at += 1;
        }
    }
    out
}

/// A text with a name replaced wherever it stands; and how often.
#[must_use]
pub fn replaced(text: &str, places: &[(usize, usize)], stand_in: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut last = 0;
    for (from, to) in places {
        out.push_str(&text[last..*from]);
        out.push_str(stand_in);
        last = *to;
    }
    out.push_str(&text[last..]);
    out
}

/// The words of a name that tell as much as the whole: those with a capital letter and three letters or more.
#[must_use]
pub fn parts(name: &str) -> Vec<&str> {
    name.split(|c: char| !c.is_alphanumeric() && !is_combining_mark(c))
        .filter(|part| {
            part.chars().count() >= 3 && *part != name && part.starts_with(char::is_uppercase)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_found_however_it_is_written() {
        for (text, name, held) in [
            ("WREN's hand", "Wren", true),
            ("Wrenfield", "Wren", false),
            ("Zoe\u{308} came", "Zoë", true),
            ("Zoe came", "Zoë", true),
            ("Rosalind\u{2bc}s chair", "Rosalind", true),
            ("Ros\u{ad}a\u{200b}lind", "Rosalind", true),
            ("**Ros**alind", "Rosalind", true),
            ("Anna\n  Maria", "Anna Maria", true),
            ("", "Wren", false),
            ("nobody", "", false),
        ] {
            assert_eq!(!places(text, name).is_empty(), held, "{text}");
        }
        for text in ["GB123-ZK9", "gb 123 zk9", "ring GB 123-ZK9."] {
            assert!(!places_of_code(text, "GB 123-ZK9").is_empty(), "{text}");
        }
        for text in ["+44 (20) 7946-0018", "442079460018", "44.20.7946.0018!"] {
            assert!(
                !places_of_code(text, "+44 20 7946 0018").is_empty(),
                "{text}"
            );
        }
    }

    #[test]
    fn what_stands_around_it_stays() {
        let text = "So **Zoe\u{308}** bit, zoë!";
        assert_eq!(
            replaced(text, &places(text, "Zoë"), "person-1"),
            "So **person-1 bit, person-1!"
        );
    }

    #[test]
    fn parts_are_the_words_with_a_capital() {
        assert_eq!(parts("Anna van der Meer"), ["Anna", "Meer"]);
        assert!(parts("Anna").is_empty());
    }
}
